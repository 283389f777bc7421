"""One mistake, one root: what each slip of the shipped jobs is counted as, and when an echo is none.

`MISTAKES` was gone through by hand, slip by slip: a slip that makes one mistake has one root.
`return_not_proved` makes two: a hose on the wrong port, and dials nobody set because no function was tried.
"""

from collections.abc import Sequence
from functools import cache

import pytest

from trainer.authoring.compile import Job, load_job
from trainer.authoring.orders import play_items, slip_items
from trainer.core.actions import Event, mask
from trainer.core.attempt import Attempt
from trainer.core.rules import Memory, Rule, judge
from trainer.core.scoring import mistakes

COUPLE, UNCOUPLE = "first-week/couple", "first-week/uncouple"
MISTAKES: dict[str, dict[str, tuple[str, ...]]] = {
    COUPLE: {
        "drain_on_power_beyond": ("case_pressure",),
        "drain_on_valve_port": ("case_pressure",),
        "drain_left_off": ("drain_not_first",),
        "drain_last": ("drain_not_first",),
        "return_on_valve": ("return_pressure",),
        "return_on_shut_port": ("motor_return_shut",),
        "fan_lines_swapped": ("motor_lines_swapped",),
        "fan_stopped_in_block": ("fan_shut_in",),
        "dial_read_as_flow": ("overspeed",),
        "dial_too_low": ("dial_under_need",),
        "headland_overdrawn": ("starved",),
        "couplers_not_wiped": ("dirty_coupler",),
        "not_bled": ("pressure_kept_it_out",),
        "bled_with_engine_running": ("bled_with_pump_running",),
        "between_with_engine_running": ("between_running",),
        "started_from_the_ground": ("start_from_ground",),
        "latches_not_looked_at": ("latches_unseen",),
        "one_latch_open": ("lifted_unlatched",),
        "stands_under_oil": ("under_raised",),
        "no_ballast": ("light_front",),
        "no_bushings": ("wrong_bushings",),
        "top_hook_forgotten": ("top_hook_missing",),
        "plugged_with_key_on": ("key_left_in",),
        "far_ports": ("hose_too_short",),
        "half_a_lift": ("rod_side_trapped",),
        "not_levelled": ("not_plumb",),
        "wheel_speed_left": ("wrong_speed_source",),
        "nobody_looked": ("area_unseen_backing",),
        "not_proved": ("dial_under_need",),
        "ballast_taken_off_again": ("light_front_lifting",),
        "unlatched_at_the_end": ("handed_over_unlatched",),
        "latched_again_unseen": ("handed_over_unseen",),
        "top_hook_taken_off": ("top_hook_taken",),
        "drawbar_pulled_out": ("drawbar_out_handed_over",),
        "hose_off_and_on_again": ("handed_over_unrouted",),
        "return_not_proved": ("dial_under_need", "return_wrong_at_hand_in"),
        "lamps_pulled_again": ("plugs_missing",),
        "lift_left_up": ("under_raised",),
    },
    UNCOUPLE: {
        "unplugged_at_once": ("unplugged_live",),
        "unplugged_after_two_minutes": ("unplugged_early",),
        "unplugged_with_key_on": ("key_left_in",),
        "uncoupled_under_pressure": ("float_not_set",),
        "drain_first_off": ("drain_not_last",),
        "bled_while_raised": ("lift_dropped",),
        "fan_stopped_in_block": ("fan_shut_in",),
        "left_with_fan_turning": ("left_running",),
        "on_the_slope": ("set_down_on_slope",),
        "markers_out": ("set_down_unfolded",),
        "key_left_while_chocking": ("key_in_at_implement",),
        "no_chocks": ("unlatched_unchocked",),
        "one_chock": ("unlatched_unchocked",),
        "stands_forgotten": ("under_raised",),
        "unlatched_before_lowering": ("under_raised",),
        "hooks_lowered_from_beside": ("between_running",),
        "supports_not_looked_at": ("supports_unseen",),
        "lowered_latched": ("lowered_latched",),
        "driven_off_connected": ("lines_torn",),
        "ends_left_on_the_ground": ("loose_lines",),
        "between_with_engine_running": ("between_running",),
        "ballast_taken_while_carried": ("light_front_moving",),
        "markers_out_again": ("let_go_unfolded",),
        "drawbar_pulled_out": ("drawbar_out_lowering",),
        "chock_taken_home": ("left_unchocked",),
    },
}


@cache
def job(name: str) -> Job:
    return load_job(name)


@cache
def slipped(name: str, slip: str) -> Attempt:
    return play_items(job(name).case, job(name).rules, slip_items(job(name), job(name).slip(slip)))


def counted(attempt: Attempt) -> tuple[str, ...]:
    return tuple(mistake.rule for mistake in mistakes(attempt.findings))


@pytest.mark.parametrize("name", MISTAKES)
def test_the_table_has_every_slip(name: str) -> None:
    assert sorted(MISTAKES[name]) == sorted(slip.name for slip in job(name).slips)


@pytest.mark.parametrize(("name", "slip"), [(name, slip) for name, told in MISTAKES.items() for slip in told])
def test_a_slip_counts_as_the_mistakes_it_makes(name: str, slip: str) -> None:
    assert counted(slipped(name, slip)) == MISTAKES[name][slip]


def test_a_case_that_bursts_for_want_of_its_drain_is_told_under_the_drain() -> None:
    attempt = slipped(COUPLE, "drain_left_off")
    found = {finding.rule: finding.root for finding in attempt.findings}
    assert found["drain_not_first"] == ""
    assert found["case_pressure"] == "drain_not_first"
    assert attempt.score().points == 100 - 35, "once, by the worst of what came of it"


RUNNING = Rule("left_running", on="went", measure="engine_rev_min", once="attempt")
BETWEEN = Rule(
    "between_running",
    on="works_at",
    measure="engine_rev_min",
    once="attempt",
    follows=("left_running",),
    apart=(("left_running", "engine_off", True),),
)


def went(kind: str, rev_min: int, *standing: str) -> Event:
    return Event(kind, 0, "seat", "", (("engine_rev_min", rev_min),), mask(*standing))


@pytest.mark.parametrize(
    ("events", "root"),
    [
        ([went("went", 900, "running"), went("works_at", 900, "running")], "left_running"),
        (
            [went("went", 900, "running"), went("looked", 0, "engine_off"), went("works_at", 900, "running")],
            "",
        ),
    ],
    ids=["the same running engine", "stopped in between, and started again"],
)
def test_a_mistake_that_was_put_right_brings_no_echo_about(events: Sequence[Event], root: str) -> None:
    memory = Memory()
    found = [one for event in events for one in judge((RUNNING, BETWEEN), [event], "couple", memory)]
    assert [(one.rule, one.root) for one in found] == [("left_running", ""), ("between_running", root)]


def test_what_has_to_stand_all_the_time_is_asked_of_every_event() -> None:
    twice = Rule(
        "rod_side_trapped",
        on="rod_side",
        measure="rod_side_pa",
        follows=("rod_side_trapped",),
        apart=(("rod_side_trapped", "lines_all_on", False),),
    )

    def trapped(thing: str, *standing: str) -> Event:
        return Event("rod_side", 0, thing, "", (("rod_side_pa", 9),), mask(*standing))

    swapped = list(judge([twice], [trapped(one, "lines_all_on") for one in ("lift", "markers")], "couple"))
    assert [one.root for one in swapped] == ["", "rod_side_trapped"]
    left_off = list(judge([twice], [trapped(one, "running") for one in ("lift", "markers")], "couple"))
    assert [one.root for one in left_off] == ["", ""]


def test_a_condition_of_one_hose_ends_no_mistake_about_another() -> None:
    first = Rule("drain_not_first", on="coupled", measure="drain_missing_count", once="attempt")
    burst = Rule(
        "case_pressure",
        on="case_pressure",
        measure="case_pa",
        follows=("drain_not_first",),
        apart=(("drain_not_first", "drain_on", True),),
    )
    events = [
        Event("coupled", 0, "fan_return", "", (("drain_missing_count", 1),), mask("running")),
        Event("coupled", 0, "lift_extend", "", (("drain_missing_count", 0),), mask("running", "drain_on")),
        Event("case_pressure", 0, "fan", "", (("case_pa", 9),), mask("running")),
    ]
    assert [one.root for one in judge([first, burst], events, "couple")] == ["", "drain_not_first"]
