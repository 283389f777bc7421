"""One mistake, one root: what each slip of the shipped jobs is counted as, and when an echo is none.

`MISTAKES` and `DRAWN` were gone through by hand, slip by slip: a slip that makes one mistake has one root.
`return_not_proved` makes two: a hose on the wrong port, and dials nobody set because no function was tried.
So do a drain and a return pushed onto another port that nobody had wiped, and a machine let go on a slope
that no chock holds either.
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

_UNPINNED = ("chain_before_pin", "hoses_before_pin", "plugs_before_pin")
DRAWN: dict[str, dict[str, tuple[tuple[str, ...], ...]]] = {
    "class/couple_baler": {
        "tongue_left_low": (
            (
                *("tongue_height", "tongue_struck", "pin_forced", *_UNPINNED),
                *("chock_taken_early", "chock_taken_on_jack", "stands_left_down"),
            ),
        ),
        "no_clip": ((*_UNPINNED, "stands_taken_early", "chock_taken_early", "handed_over_unlatched"),),
        "nobody_looked_at_the_pin": (("stands_taken_early", "chock_taken_early", "handed_over_unseen"),),
        "one_chock_gone": (
            (
                *("chock_taken_early", "chock_taken_unchained", "chock_taken_on_jack"),
                *("cranked_unchocked", "backed_unchocked"),
            ),
        ),
        "stub_at_thousand": (("shaft_wrong_speed", "overspeed", "functions_unproved"),),
        "driven_off_on_the_jack": (("moved_on_jack", "stands_left_down"),),
        "under_the_open_gate": (("under_part", "parts_left_up", "part_left_unlocked"),),
    },
    "class/uncouple_baler": {
        "no_chocks": (("jacked_unchocked", "chain_off_unchocked", "pin_pulled_unchocked", "left_unchocked"),),
        "on_the_slope_unchocked": (
            ("set_down_on_slope",),
            ("jacked_unchocked", "chain_off_unchocked", "pin_pulled_unchocked", "rolled_away"),
        ),
        "jack_forgotten": (("pin_pulled_loaded", "frame_fell"),),
        "pin_left_in": (
            (
                *("crept_pinned", "moved_against_chocks", "moved_unchained", "moved_unseen"),
                *("moved_on_jack", "not_driven_off"),
            ),
        ),
        "gate_dropped": (("under_part", "lift_dropped", "part_left_unlocked"),),
    },
    "class/couple_sprayer": {
        "drain_on_power_beyond": (
            ("dirty_coupler",),
            ("case_pressure", "seal_blown", "drain_wrong_at_hand_in"),
        ),
        "boom_left_up": (("parts_left_up",),),
        "unfolded_against_the_lock": (("lock_forced", "functions_unproved"),),
        "unlocked_before_the_hoses": (("lock_taken_bare",),),
        "stopped_in_block": (("fan_shut_in",),),
    },
    "class/uncouple_sprayer": {
        "accumulator_forgotten": (("float_not_set", "uncoupled_under_pressure"),),
        "boom_left_out": (("under_part", "lift_dropped", "set_down_unfolded", "pin_pulled_unfolded"),),
        "bus_left_on": (("lines_torn", "loose_lines"),),
    },
    "first-week/couple_grain_cart": {
        "no_chain": (("chock_taken_unchained", "handed_over_unchained"),),
        "jack_left_down": (("chock_taken_on_jack", "stands_left_down"),),
        "shaft_on_while_it_turns": (("left_pto_on", "between_running", "caught_by_shaft"),),
        "lamps_forgotten": (("plugs_missing", "lamps_dead", "lights_unproved"),),
    },
    "class/couple_air_seeder": {
        "driven_off_with_the_cart_loose": (("chock_taken_joint_open", "moved_joint_open", "joint_parted"),),
        "return_on_the_valve": (("dirty_coupler",), ("return_pressure", "return_wrong_at_hand_in")),
        "wings_unlocked": (("part_left_unlocked",),),
        "source_as_found": (("wrong_speed_source",),),
    },
}
"""Of machines drawn by the drawbar some slips: each mistake with all that is listed under it."""


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


@pytest.mark.parametrize(("name", "slip"), [(name, slip) for name, told in DRAWN.items() for slip in told])
def test_what_follows_from_a_mistake_at_the_drawbar_is_listed_under_it(name: str, slip: str) -> None:
    found = slipped(name, slip).findings
    groups = [{found[place].rule for place in mistake.findings} for mistake in mistakes(found)]
    assert groups == [set(told) for told in DRAWN[name][slip]]
    assert counted(slipped(name, slip)) == tuple(told[0] for told in DRAWN[name][slip])


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
