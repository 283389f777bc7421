"""How fast a whole circuit is solved, against scipy's `root` on the same circuits in the same run.

    python tests/bench_solver.py [CIRCUITS]

Tells the median time of `trainer.core.circuits.solve` and of `root` on all unknowns of the network at once
(each function's flow and the pressures at its section, before it, behind it and where its oil comes home; the
pump's), their ratio, and how near the flows of both lie. Times are not asserted anywhere: they are read off
where they are wanted.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from scipy.optimize import root

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parent), str(HERE), str(HERE / "reference")]

from network import Consumer, Network  # noqa: E402 (found once the folders above are on the path)

from random_circuits import some_circuit  # noqa: E402
from trainer.core import circuits  # noqa: E402

REPEATS = 20
AGREES = 1e-6


def residual_of(network: Network, consumers: list[Consumer]) -> Callable[[np.ndarray], np.ndarray]:
    """Every equation of the network: flows as shares of what is asked, pressures of the cut-off."""
    tractor, implement = network.case.tractor, network.case.implement
    cutoff = tractor.pump_cutoff_pa
    legs = []
    for each in consumers:
        function = implement.functions[each.function]
        ends = ("pressure", "return") if function.is_motor else ("extend", "retract")
        feed, back = ends if each.forward else ends[::-1]
        areas = (function.bore_area_m2, function.rod_side_area_m2)
        driven, other = areas if each.forward else areas[::-1]
        force = function.load_n if each.forward else function.back_load_n
        legs.append(
            (
                each.asked,
                function,
                network.hose(each.function, feed),
                network.port(each.function, feed),
                network.hose(each.function, back),
                network.port(each.function, back),
                1.0 if function.is_motor else other / driven,
                force / driven if driven else 0.0,
            )
        )

    def residual(unknown: np.ndarray) -> np.ndarray:
        rows, highest = [], 0.0
        for index, (asked, function, hose_in, feed, hose_out, back, ratio, push) in enumerate(legs):
            share, section, before, behind, home = unknown[5 * index : 5 * index + 5]
            flow = max(0.0, share) * asked
            if function.is_motor:
                speed = flow * function.volumetric_efficiency / function.displacement_m3 * 60.0
                torque = function.rated_torque_n_m * (speed / function.rated_rev_min) ** 2
                drop = torque * 2 * np.pi / function.displacement_m3 / function.mechanical_efficiency
                needed = behind + drop / cutoff
            else:
                needed = max(0.0, push / cutoff + behind * ratio)
            rows += [
                min(1.0 - share, 1.0 - section),
                section - before - network.loss(hose_in, feed, flow) / cutoff,
                before - needed,
                behind - home - network.loss(hose_out, back, flow * ratio) / cutoff,
                home - network.home(back, flow * ratio) / cutoff,
            ]
            highest = max(highest, section)
        pump = max(tractor.pump_standby_pa / cutoff, highest + tractor.pump_margin_pa / cutoff)
        return np.array([*rows, unknown[-1] - min(1.0, pump)])

    return residual


def main(count: int) -> str:
    ours, theirs, worst, agreed = [], [], 0.0, 0
    for seed in range(10_000):
        case, plumbing = some_circuit(seed)
        solution = circuits.solve(case, plumbing)
        network = Network(case, plumbing)
        consumers = [each for each in network.solve().consumers if each.asked > 0.0]
        if len(consumers) < 3 or sum(each.asked for each in consumers) > solution.available_m3_s:
            continue
        began = time.perf_counter()
        for _ in range(REPEATS):
            circuits.solve(case, plumbing)
        ours.append((time.perf_counter() - began) / REPEATS)
        residual = residual_of(network, consumers)
        start = np.array([*(0.9, 0.5, 0.4, 0.05, 0.05) * len(consumers), 0.6])
        began = time.perf_counter()
        found = root(residual, start, tol=1e-11)
        theirs.append(time.perf_counter() - began)
        asked = np.array([each.asked for each in consumers])
        mine = np.array([abs(solution.functions[each.function].flow_m3_s) for each in consumers])
        gap = float(np.max(np.abs(found.x[:-1:5] * asked - mine) / asked))
        if found.success and gap < AGREES:
            agreed, worst = agreed + 1, max(worst, gap)
        if len(ours) == count:
            break
    fast, slow = statistics.median(ours), statistics.median(theirs)
    return (
        f"{len(ours)} circuits of three functions and more that have oil enough, median of each\n"
        f"circuits.solve       {fast * 1e6:9.1f} us\n"
        f"scipy.optimize.root  {slow * 1e6:9.1f} us\n"
        f"ratio                {slow / fast:9.0f}\n"
        f"root came to the same flows, within {worst:.0e} of what was asked, in {agreed} of them\n"
    )


if __name__ == "__main__":
    sys.stdout.write(main(int(sys.argv[1]) if len(sys.argv) > 1 else 60))
