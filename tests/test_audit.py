"""The rules hold against a judge that does not know them: safe orders earn nothing, harm is found."""

from __future__ import annotations

import ast
import json
import random
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest
from typer.testing import CliRunner

from trainer import cli
from trainer.authoring import audit, criteria, oracle, orders
from trainer.authoring.compile import Item, Job, list_jobs, load_job
from trainer.core.engine import start
from trainer.core.readings import front_permille

COUPLE, UNCOUPLE = "first-week/couple", "first-week/uncouple"
JOBS = {name: load_job(name) for name in (COUPLE, UNCOUPLE)}
RUNS = 20
"""Of each kind and job, so that it stays short; `coupling-yard audit` plays fifteen times as many."""


@pytest.fixture(scope="module")
def pool() -> ProcessPoolExecutor:
    with audit.workers(list(JOBS.values())) as made:
        yield made


@pytest.mark.parametrize("name", JOBS)
def test_harm_is_caught_and_safe_orders_earn_nothing(name: str, pool: ProcessPoolExecutor) -> None:
    report = audit.audit_job(JOBS[name], RUNS, 2026, pool)
    assert [run.to_json() for run in report.missed] == []
    assert [run.to_json() for run in report.alarms] == []
    assert len(report.safe) == RUNS
    assert len(report.unsafe) == RUNS
    assert len({run.actions for run in report.wrong}) == len(report.wrong)
    # What hurts is told when it happens.
    late = [
        name
        for name, (harm, met, _, near) in report.by_criterion().items()
        if harm in audit.WEIGHTS and near < met
    ]
    assert late == []
    assert {run.harm for run in report.unsafe} == {criteria.INJURY, criteria.DAMAGE}


def test_one_process_draws_the_same_as_many(pool: ProcessPoolExecutor) -> None:
    job = JOBS[UNCOUPLE]
    assert audit.audit_job(job, 3, 5) == audit.audit_job(job, 3, 5, pool)


def test_what_a_wrong_run_shares_with_a_right_one_is_played_once() -> None:
    """From the right run's standing as from the beginning: the same run."""
    job = JOBS[UNCOUPLE]
    bench, afresh = audit.Bench(job, 5), audit.Bench(job, 5)
    assert [bench.safe(number).findings for number in range(4)] == [()] * 4
    begun = [number for number in range(4) if bench.unsafe(number) == afresh.unsafe(number)]
    assert begun == [0, 1, 2, 3]


def test_a_search_gone_about_otherwise_is_as_good() -> None:
    job = load_job("class/find_lamps_dim")
    runs = [audit.Bench(job, 3).safe(number) for number in range(4)]
    assert [run.findings for run in runs] == [()] * 4
    assert all(run.passed for run in runs)
    assert len({run.actions for run in runs}) == 4
    assert len({run.edit for run in runs}) > 1, "not always the same fault"


def test_harm_of_a_drawn_fault_is_nobodys_and_harm_done_is() -> None:
    job = load_job("class/find_rows_wander").posed("bushings_gone")
    items = list(orders.answer_items(job))
    assert audit.watch(job.case, job.rules, items).oracle.harm == criteria.NONE
    meddled = [*items[:-2], *(Item(line=line) for line in ("go: hitch", "unlatch: right")), *items[-2:]]
    run = audit.audited(0, "", "", audit.watch(job.case, job.rules, meddled))
    assert (run.harm, run.caught, run.passed) == (criteria.INJURY, True, False)


def test_another_seed_draws_other_runs() -> None:
    job = JOBS[COUPLE]
    items = list(orders.answer_items(job))
    drawn = {audit.unsafe_items(job.case, items, audit.draw(seed, "x"))[1] for seed in range(20)}
    assert len(drawn) > 10


@pytest.mark.parametrize("name", JOBS)
def test_every_operator_makes_a_wrong_run(name: str) -> None:
    """Each but the wrong port, which the way back has no couplings for, changes the answer."""
    items = list(orders.answer_items(JOBS[name]))
    made = set()
    for operator, edit in audit.OPERATORS.items():
        for seed in range(20):
            try:
                _, changed = edit(JOBS[name].case, items, random.Random(seed))  # noqa: S311  a draw
            except IndexError:
                continue
            assert changed != items
            made.add(operator)
    assert set(audit.OPERATORS) - made == ({"wrong_port"} if name == UNCOUPLE else set())


def test_the_oracle_knows_no_rule() -> None:
    trees = [ast.parse(Path(module.__file__).read_text("utf-8")) for module in (criteria, oracle)]
    nodes = [node for tree in trees for node in ast.walk(tree)]
    modules = {node.module for node in nodes if isinstance(node, ast.ImportFrom)}
    known = {"__future__", "collections.abc", "copy", "dataclasses", "typing", "trainer.authoring.criteria"}
    assert modules == known | {"trainer.core.actions", "trainer.core.case", "trainer.core.state"}


@pytest.mark.parametrize("name", list_jobs())
def test_a_criterion_stands_for_every_order_of_injury_or_damage(name: str) -> None:
    assert criteria.unwatched(load_job(name).case) == []


def test_every_criterion_says_why_and_from_where() -> None:
    standings = {"published", "practice", "derived", "memory"}
    for criterion in criteria.CRITERIA.values():
        assert criterion.why
        assert criterion.source
        assert criterion.standing in standings
        assert criterion.harm in criteria.CLASSES


@pytest.mark.parametrize("ballast_kg", [0, 400, 600])
def test_both_sums_of_the_front_axle_agree(ballast_kg: int) -> None:
    case = JOBS[COUPLE].case
    share = oracle.Oracle(case).front_share(start(case)._replace(ballast_kg=ballast_kg))
    assert share * 1000 == pytest.approx(front_permille(case, ballast_kg), abs=0.6)


def watched(job: Job, name: str) -> audit.Watched:
    return audit.watch(job.case, job.rules, orders.slip_items(job, name))


@pytest.mark.parametrize(
    ("name", "slip", "criterion"),
    [
        (COUPLE, "drain_on_power_beyond", "case_burst"),
        (COUPLE, "drain_left_off", "drain_shut"),
        (COUPLE, "return_on_valve", "return_high"),
        (COUPLE, "return_on_shut_port", "return_high"),
        (COUPLE, "fan_stopped_in_block", "stopped_dead"),
        (COUPLE, "dial_read_as_flow", "overspeed"),
        (COUPLE, "couplers_not_wiped", "dirt"),
        (COUPLE, "not_bled", "pressed_on"),
        (COUPLE, "between_with_engine_running", "between_running"),
        (COUPLE, "started_from_the_ground", "ground_start"),
        (COUPLE, "latches_not_looked_at", "latches_unproved"),
        (COUPLE, "one_latch_open", "lifted_open"),
        (COUPLE, "stands_under_oil", "under_oil"),
        (COUPLE, "no_ballast", "light_front"),
        (COUPLE, "no_bushings", "wrong_fit"),
        (COUPLE, "top_hook_forgotten", "mast_loose"),
        (COUPLE, "plugged_with_key_on", "plugged_live"),
        (COUPLE, "far_ports", "hose_stretched"),
        (COUPLE, "half_a_lift", "rod_side"),
        (COUPLE, "nobody_looked", "backed_unseen"),
        (UNCOUPLE, "unplugged_at_once", "unplugged_live"),
        (UNCOUPLE, "unplugged_after_two_minutes", "unplugged_early"),
        (UNCOUPLE, "uncoupled_under_pressure", "jet"),
        (UNCOUPLE, "bled_while_raised", "dropped"),
        (UNCOUPLE, "left_with_fan_turning", "fan_turning"),
        (UNCOUPLE, "on_the_slope", "set_on_slope"),
        (UNCOUPLE, "markers_out", "parked_unfolded"),
        (UNCOUPLE, "one_chock", "unlatched_unchocked"),
        (UNCOUPLE, "stands_forgotten", "unlatched_hanging"),
        (UNCOUPLE, "hooks_lowered_from_beside", "hitch_from_beside"),
        (UNCOUPLE, "supports_not_looked_at", "support_unproved"),
        (UNCOUPLE, "lowered_latched", "dragged"),
        (UNCOUPLE, "driven_off_connected", "lines_torn"),
        (UNCOUPLE, "ends_left_on_the_ground", "left_open"),
    ],
)
def test_the_oracle_sees_what_a_slip_does(name: str, slip: str, criterion: str) -> None:
    assert criterion in watched(JOBS[name], slip).oracle.marks


def test_an_audit_without_the_rule_is_not_good() -> None:
    """The audit can fail: with the rule of the front axle taken out, lifting without ballast is missed."""
    job = JOBS[COUPLE]
    kept = tuple(rule for rule in job.rules if not rule.name.startswith("light_front"))
    items = orders.slip_items(job, "no_ballast")
    for rules, missed in ((job.rules, 0), (kept, 1)):
        run = audit.audited(0, "slip", "no_ballast", audit.watch(job.case, rules, items))
        assert run.harm == criteria.INJURY
        report = audit.Report(job.name, 0, (), (run,))
        assert (len(report.missed), report.ok) == (missed, not missed)


def test_a_rule_that_cries_wolf_is_told() -> None:
    """A safe order that earns anything, and a harmless run that is failed, are false alarms."""
    job = JOBS[UNCOUPLE]
    strict = replace(next(rule for rule in job.rules if rule.name == "drain_not_last"), low=-1, high=-1)
    strict = replace(strict, severity="critical", harm="destruction")
    rules = (*(rule for rule in job.rules if rule.name != strict.name), strict)
    items = orders.answer_items(job)
    for operator, ok in ((audit.SAFE, False), ("nothing", True)):
        run = audit.audited(0, operator, "", audit.watch(job.case, rules, items))
        assert run.harm == criteria.NONE
        assert run.alarmed
        safe = (run,) if operator == audit.SAFE else ()
        report = audit.Report(job.name, 0, safe, () if safe else (run,))
        assert [each.operator for each in report.alarms] == [operator]
        assert report.ok is ok


def test_a_run_left_half_way_is_no_harm_but_poor_work() -> None:
    job = JOBS[COUPLE]
    run = audit.watch(job.case, job.rules, [Item(line="look: area")])
    assert list(run.oracle.marks) == ["not_handed_in"]
    assert run.oracle.harm == criteria.FUNCTION


def test_random_sequences_are_played_and_faults_are_told(
    pool: ProcessPoolExecutor, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert audit.audit_random(list(JOBS.values()), 40, 3, pool) == []

    def broken(*_: object) -> list[str]:
        raise ZeroDivisionError("no yard")

    monkeypatch.setattr(audit, "random_run", broken)
    faults = audit.audit_random([JOBS[COUPLE]], 2, 3)
    assert faults[1] == f"{COUPLE}, sequence 1 of seed 3: ZeroDivisionError: no yard"


def test_the_command_prints_a_table_and_json() -> None:
    ran = CliRunner().invoke(cli.app, ["audit", UNCOUPLE, "--runs", "2", "--random", "2", "--format", "json"])
    assert ran.exit_code == 0, ran.output
    told = json.loads(ran.output)
    assert told["faults"] == []
    assert told["jobs"][0]["safe"] == 2
    assert sum(told["jobs"][0]["classes"][harm]["runs"] for harm in ("injury", "damage")) == 2
    ran = CliRunner().invoke(cli.app, ["audit", UNCOUPLE, "--runs", "2"])
    assert ran.exit_code == 0, ran.output
    assert "safe order" in ran.output
    assert "every run that hurts or breaks is caught" in ran.output
