"""Every safe order is accepted; an order that breaks an edge of kind I or D is found out.

The edges stand in the job files. They are the trade's order of steps for a mounted implement on a U-frame
quick coupler (common practice; the physical reason stands beside each edge), and what the two demo jobs
add for their own reasons (a lock that is in, lines that do not reach).
"""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest

from trainer.authoring import orders
from trainer.authoring.compile import Item, Job, load_job

COUPLE, UNCOUPLE = "first-week/couple", "first-week/uncouple"
JOBS = {name: load_job(name) for name in (COUPLE, UNCOUPLE)}

_COUPLE_EDGES = """
        check_fit<back_align check_ballast_lift<raise_engage drawbar_clear<back_align sway_free<back_align
        area_clear<back_align back_align<raise_engage raise_engage<latch_lock latch_lock<verify_latches
        safe_stop<verify_latches verify_latches<raise_slow_clear safe_stop<bleed_zero bleed_zero<hyd_connect
        clean_couplers<hyd_connect safe_stop<elec_connect safe_stop<hyd_connect hyd_connect<route_hoses
        elec_connect<route_hoses route_hoses<raise_slow_clear start_from_seat<raise_slow_clear
        raise_slow_clear<lift_lock lift_lock<stands_stow stands_stow<lower_to_work verify_latches<stands_stow
        sway_set<function_test lower_to_work<plumb_height sway_set<plumb_height elec_connect<light_check
        elec_connect<bus_check bus_check<speed_source speed_source<function_test area_clear<function_test
        hyd_connect<function_test
"""
_UNCOUPLE_EDGES = """
        pto_fan_stop<safe_stop area_clear<fold_park site_level<lower_to_stands fold_park<lower_to_stands
        stands_down<lower_to_stands area_clear<lower_to_stands lower_to_stands<bleed_zero bleed_zero<ecu_wait
        bleed_zero<hyd_off safe_stop<ecu_wait ecu_wait<elec_off safe_stop<elec_off safe_stop<hyd_off
        elec_off<creep_forward hyd_off<creep_forward elec_off<stow_plugs hyd_off<stow_plugs
        verify_supported<lower_coupler lower_to_stands<verify_supported latch_open<lower_coupler
        lower_to_stands<latch_open reseat<lower_coupler lower_coupler<creep_forward creep_forward<check_hoses
        check_hoses<drive_off
"""
PRACTICE = {COUPLE: _COUPLE_EDGES.split(), UNCOUPLE: _UNCOUPLE_EDGES.split()}
"""Which step comes before which (common practice). `store` is done here with `stow_plugs`."""


def edges(job: Job) -> dict[str, str]:
    return {f"{edge.before}<{step.name}": edge.kind for step in job.case.steps for edge in step.after}


@pytest.mark.parametrize("name", JOBS)
def test_the_job_holds_every_edge_of_the_trade(name: str) -> None:
    missing = set(PRACTICE[name]) - set(edges(JOBS[name]))
    assert not missing


@pytest.mark.parametrize("seed", range(20))
@pytest.mark.parametrize("name", JOBS)
def test_a_safe_order_earns_no_finding(name: str, seed: int) -> None:
    job = JOBS[name]
    order = orders.safe_order(job.case, random.Random(f"{name} {seed}"))  # noqa: S311  a draw, not a secret
    attempt = orders.play_order(job, order)
    assert [(finding.rule, finding.thing) for finding in attempt.findings] == []
    assert not [entry for entry in attempt.log if entry.refused]
    assert attempt.score().passed


def test_safe_orders_differ() -> None:
    for name, job in JOBS.items():
        rngs = [random.Random(f"{name} {seed}") for seed in range(20)]  # noqa: S311  a draw, not a secret
        drawn = {orders.safe_order(job.case, rng) for rng in rngs}
        assert len(drawn) == 20


# --- one edge broken --------------------------------------------------------------------------------------
# Where the earlier step is a *state* (stopped, seated, waited), the later step would bring that state about
# by itself. These runs do the later step in the contrary state instead.


def lines(*texts: str) -> list[Item]:
    return [Item(line=text) for text in texts]


def raw_step(job: Job, step: str) -> list[Item]:
    return [
        Item(item.step, False, item.line) if item.step else item for item in orders.answer_items(job, [step])
    ]


def with_step_instead(job: Job, step: str, items: list[Item]) -> list[Item]:
    """The answer with other items in the place of one step."""
    out: list[Item] = []
    for name in job.answer:
        out += items if name == step else orders.answer_items(job, [name])
    return out


SEATED_RUNNING = ["go: seat", "key: on", "engine: start"]
FAN_ON = ["lever: v1 to extend", "wait: 6 s"]


def while_running(job: Job, step: str) -> list[Item]:
    return with_step_instead(job, step, [*lines(*SEATED_RUNNING), *raw_step(job, step)])


CONTRARY: dict[str, Callable[[Job], list[Item]]] = {
    # Before anything is coupled nothing moves: the look has to come after the test, not the test before it.
    "area_clear<function_test": lambda job: orders_moved(job, "area_clear", behind="function_test"),
    "safe_stop<verify_latches": lambda job: while_running(job, "verify_latches"),
    "safe_stop<hyd_connect": lambda job: while_running(job, "hyd_connect"),
    "safe_stop<elec_connect": lambda job: while_running(job, "elec_connect"),
    "safe_stop<bleed_zero": lambda job: with_step_instead(
        job, "bleed_zero", [*lines(*SEATED_RUNNING), *raw_step(job, "bleed_zero")]
    ),
    "start_from_seat<raise_slow_clear": lambda job: with_step_instead(
        job, "start_from_seat", lines("go: seat", "key: on", "go: yard", "engine: start", "go: seat")
    ),
    "pto_fan_stop<safe_stop": lambda job: with_step_instead(
        job, "safe_stop", [*lines(*FAN_ON, "engine: stop", "key: out"), *raw_step(job, "safe_stop")]
    ),
    "pto_fan_stop<stands_down": lambda job: with_step_instead(
        job, "pto_fan_stop", lines("engine: stop", "key: out", "go: yard", "wait: 60 s")
    ),
    "bleed_zero<ecu_wait": lambda job: orders_moved(job, "bleed_zero", behind="elec_off"),
    "safe_stop<ecu_wait": lambda job: [
        item
        for name in job.answer
        for item in (
            lines("wait: 180 s")
            if name == "safe_stop"
            else lines("engine: stop", "key: out")
            if name == "ecu_wait"
            else raw_step(job, name)
            if name == "elec_off"
            else orders.answer_items(job, [name])
        )
    ],
    "ecu_wait<elec_off": lambda job: [
        item
        for name in job.answer
        if name != "ecu_wait"
        for item in (raw_step(job, name) if name == "elec_off" else orders.answer_items(job, [name]))
    ],
    "safe_stop<elec_off": lambda job: while_running(job, "elec_off"),
    "safe_stop<hyd_off": lambda job: while_running(job, "hyd_off"),
    "reseat<lower_coupler": lambda job: with_step_instead(
        job, "lower_coupler", lines("go: panel", "hitch: 450 mm", "go: seat")
    ),
}


def orders_moved(job: Job, step: str, behind: str) -> list[Item]:
    order = [name for name in job.answer if name != step]
    order.insert(order.index(behind) + 1, step)
    return list(orders.answer_items(job, order))


def broken(job: Job) -> list[tuple[str, list[Item]]]:
    found = []
    for edge, order in orders.reversed_orders(job.case):
        items = CONTRARY[edge](job) if edge in CONTRARY else list(orders.answer_items(job, order))
        found.append((edge, items))
    return found


CASES = [(name, edge, items) for name, job in JOBS.items() for edge, items in broken(job)]


def test_every_edge_of_kind_i_and_d_is_broken_once() -> None:
    wanted = [(name, edge) for name, job in JOBS.items() for edge, kind in edges(job).items() if kind in "ID"]
    assert sorted((name, edge) for name, edge, _ in CASES) == sorted(wanted)


@pytest.mark.parametrize(
    ("name", "edge", "items"), CASES, ids=[f"{n.split('/')[1]}-{e}" for n, e, _ in CASES]
)
def test_a_broken_edge_earns_its_finding(name: str, edge: str, items: list[Item]) -> None:
    job = JOBS[name]
    guards = {rule.name for rule in job.rules if edge in rule.guards}
    assert guards, f"no rule guards {edge}"
    attempt = orders.play_items(job.case, job.rules, items)
    assert guards & {finding.rule for finding in attempt.findings}
