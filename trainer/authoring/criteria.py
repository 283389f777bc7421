"""What counts as harm for the judge that knows no rules: criteria, and the orders of steps they stand for.

Every criterion says why it is one and where that comes from. None was taken from `scenarios/rules.yaml`.
`oracle.py` looks for them in the states of a run.
"""

from __future__ import annotations

from dataclasses import dataclass

from trainer.core.case import Case

INJURY, DAMAGE, FUNCTION, NONE = "injury", "damage", "function", "none"
CLASSES = (INJURY, DAMAGE, FUNCTION, NONE)
"""What a run can come to, worst first."""


@dataclass(frozen=True, slots=True)
class Criterion:
    """One way to come to harm. `orders` names the orders of steps it stands for, as `earlier<later` in the
    conditions that show the two steps done (`case.Step.done`); with `by_order` it is looked at only where
    the job holds one of them with kind I or D."""

    name: str
    harm: str
    why: str
    source: str
    standing: str
    orders: tuple[str, ...] = ()
    by_order: bool = False


_TRADE = "order of the steps, common practice"
_CRITERIA = (
    # people
    Criterion(
        "between_running",
        INJURY,
        "somebody stands between the machines while the engine runs",
        "NIOSH FACE 05IA034: crushed between tractor and implement",
        "published",
        (
            "engine_off<latches_seen",
            "engine_off<lines_all_on",
            "engine_off<plugs_all_off",
            "engine_off<lines_all_off",
            "engine_off<pinned",
            "engine_off<unpinned",
            "engine_off<unchained",
            "unpinned<seated",
        ),
    ),
    Criterion(
        "running_alone",
        INJURY,
        "the engine runs with nobody in the seat",
        "safe stop: engine off and key out before leaving the seat",
        "practice",
        ("engine_off<jack_carries", "engine_off<bus_ended"),
    ),
    Criterion(
        "unbraked",
        INJURY,
        "nobody in the seat and the brake off: the tractor can roll over who stands beside it",
        "safe stop: brake set before leaving the seat",
        "practice",
    ),
    Criterion(
        "key_left",
        INJURY,
        "hands at the machines while the key is in: another can start the engine",
        "safe stop: key out before anyone comes near",
        "practice",
    ),
    Criterion(
        "fan_turning",
        INJURY,
        "out of the seat while the fan turns",
        "29 CFR 1928.57: wait for all movement to stop",
        "published",
        ("fan_still<engine_off", "fan_still<stands_down", "fan_still<chocked", "fan_still<parts_locked"),
    ),
    Criterion(
        "shaft_engaged",
        INJURY,
        "out of the seat with the power take-off engaged",
        "29 CFR 1928.57: power off before anyone comes near the shaft",
        "published",
    ),
    Criterion(
        "under_oil",
        INJURY,
        "hands or feet under a mass that nothing but oil holds up",
        "block a raised implement, never trust oil",
        "practice",
        (
            "raised<lift_locked",
            "lift_locked<stands_up",
            "lift_locked<unchocked",
            "lift_locked<sway_set",
            "parked<chocked",
            "folded<chocked",
            "parts_locked<chocked",
            "frame_down<chocked",
            "lift_locked<plumb",
            "sway_set<at_work",
            "frame_down<jack_carries",
        ),
    ),
    Criterion(
        "ground_start",
        INJURY,
        "the engine started from beside the tractor: it can run over who starts it",
        "start only from the seat",
        "practice",
        ("running<raised", "running<functions_proved", "seated<crept"),
    ),
    Criterion(
        "hitch_from_beside",
        INJURY,
        "the hitch moved from beside the coupler: whoever presses the button is within its reach",
        _TRADE,
        "practice",
        ("seated<hooks_clear",),
    ),
    Criterion(
        "backed_unseen",
        INJURY,
        "backed towards a place nobody had looked at",
        "NIOSH FACE 05IA034: 35 rearward movements, 28 fatal",
        "published",
        ("area_clear<backed_in",),
    ),
    Criterion(
        "moved_unseen",
        INJURY,
        "markers or frame moved by oil and nobody had looked round: they strike a bystander",
        _TRADE,
        "practice",
        ("area_clear<functions_proved", "area_clear<folded", "area_clear<frame_down"),
    ),
    Criterion(
        "lowered_unseen",
        INJURY,
        "the frame set down and nobody had looked round: feet and legs under the toolbar",
        _TRADE,
        "practice",
        ("area_clear<parked",),
        True,
    ),
    # what holds the machine
    Criterion(
        "fell",
        INJURY,
        "the frame fell",
        "a mass without support",
        "derived",
    ),
    Criterion(
        "pulled_off",
        DAMAGE,
        "the tractor pulled the standing frame off its stands: the hooks were not clear of the pins",
        _TRADE,
        "practice",
        ("hooks_clear<crept", "unchained<crept", "unpinned<crept"),
    ),
    Criterion(
        "lifted_open",
        INJURY,
        "lifted with a latch open: the pins jump out of the hooks",
        _TRADE,
        "practice",
        ("pinned<clipped",),
    ),
    Criterion(
        "latches_unproved",
        INJURY,
        "lifted, or handed over to be lifted, without a look at both closed latches since they were closed",
        "the place of the handle is no proof; " + _TRADE,
        "practice",
        ("latched<latches_seen", "latches_seen<raised", "clipped<latches_seen"),
    ),
    Criterion(
        "support_taken",
        INJURY,
        "stands or chocks taken away before both latches were proved: nothing else holds the machine",
        _TRADE,
        "practice",
        (
            "latches_seen<stands_up",
            "latches_seen<unchocked",
            "latches_seen<jack_stowed",
            "clipped<jack_stowed",
            "clipped<unchocked",
        ),
        True,
    ),
    Criterion(
        "latched_empty",
        INJURY,
        "a latch closed on no pin: it looks closed and holds nothing",
        _TRADE,
        "practice",
        ("pins_seated<latched",),
        True,
    ),
    Criterion(
        "light_front",
        INJURY,
        "the implement on the hitch with less than the least share on the front axle: no steering, the front "
        "can rise",
        "front axle at least 20 % of the tractor's own mass",
        "published",
        ("balanced<pins_seated", "balanced<jack_stowed"),
    ),
    Criterion(
        "set_on_slope",
        INJURY,
        "set down where the ground slopes: stands sink, the frame rolls",
        "NIOSH FACE 05IA034: it happened on a knoll; limit of the job",
        "practice",
        ("site_level<parked", "site_level<chocked"),
        True,
    ),
    Criterion(
        "parked_unfolded",
        INJURY,
        "set down or let go with the markers out: the centre of mass is not where the stands expect it",
        _TRADE,
        "practice",
        ("folded<parked", "folded<jack_carries"),
        True,
    ),
    Criterion(
        "unlatched_hanging",
        INJURY,
        "a latch opened while the frame did not stand on its stands alone",
        _TRADE,
        "practice",
        ("parked<latches_open", "stands_down<parked"),
        True,
    ),
    Criterion(
        "unlatched_unchocked",
        INJURY,
        "let go of a machine on wheels without both chocks",
        "NIOSH FACE 05IA034: one block at one wheel",
        "published",
        ("chocked<latches_open", "chocked<unpinned", "chocked<unchained", "chocked<jack_carries"),
        True,
    ),
    Criterion(
        "left_rolling",
        INJURY,
        "left standing, nobody by, without both chocks",
        "NIOSH FACE 05IA034: one block at one wheel",
        "published",
    ),
    Criterion(
        "support_unproved",
        INJURY,
        "the hooks let go of a frame and nobody had looked that it stands, chocked, by itself",
        _TRADE,
        "practice",
        ("supports_seen<hooks_clear", "parked<supports_seen"),
        True,
    ),
    Criterion(
        "no_lamps",
        INJURY,
        "handed over for the road with lamps not proved or not plugged in",
        _TRADE,
        "practice",
        ("plugs_all_on<lights_proved",),
        True,
    ),
    Criterion(
        "wrong_fit",
        DAMAGE,
        "backed in or lifted without knowing that pins fit hooks: thin pins ride on the hook's edge",
        "smaller pins take bushings up to the hook size",
        "practice",
        ("fit_checked<backed_in",),
    ),
    Criterion(
        "drawbar_struck",
        DAMAGE,
        "backed in or lowered with the drawbar out: it strikes toolbar and coupler frame",
        _TRADE,
        "practice",
        ("drawbar_clear<backed_in",),
    ),
    Criterion(
        "hooks_struck",
        DAMAGE,
        "backed in with the hooks as high as the pins: they push the frame off instead of passing under it",
        _TRADE,
        "practice",
        ("backed_in<pins_seated",),
    ),
    Criterion(
        "mast_loose",
        DAMAGE,
        "lifted or handed over without the top hook the mast needs: the frame tips about its lower pins",
        _TRADE,
        "practice",
        ("top_hook_right<raised",),
    ),
    Criterion(
        "dragged",
        DAMAGE,
        "the hooks lowered with a latch closed and the frame on its stands: it is dragged over",
        _TRADE,
        "practice",
        ("latches_open<hooks_clear",),
    ),
    Criterion(
        "stand_bent",
        DAMAGE,
        "handed over for work with the stands down: they bend in the first row",
        _TRADE,
        "practice",
        ("stands_up<at_work", "backed_in<jack_stowed", "jack_stowed<functions_proved"),
        True,
    ),
    Criterion(
        "chocks_dragged",
        DAMAGE,
        "the pair moved against its chocks",
        "chocks away before the pair moves",
        "practice",
    ),
    # what holds a drawn machine
    Criterion(
        "tongue_hit",
        DAMAGE,
        "backed in with the eye off the clevis, or with no drawbar out to meet it: they meet face to face",
        "geometry",
        "derived",
        ("tongue_right<backed_in", "drawbar_right<backed_in"),
    ),
    Criterion(
        "pushed_rolling",
        INJURY,
        "backed towards a drawn machine without both chocks: a push and it rolls onto a helper",
        _TRADE,
        "practice",
        ("chocked<backed_in",),
        True,
    ),
    Criterion(
        "cranked_free",
        INJURY,
        "a tongue that nothing holds cranked up or down without both chocks: the machine rolls off its jack",
        _TRADE,
        "practice",
        ("chocked<tongue_right",),
        True,
    ),
    Criterion(
        "finger_in_hole",
        INJURY,
        "the pin tried with the holes apart: whoever steers the eye has a finger in it",
        "never a finger in a hole",
        "practice",
        ("backed_in<pinned",),
    ),
    Criterion(
        "pin_hammers",
        DAMAGE,
        "a pin fitted that is loose in its eye: it hammers at every start",
        "play of a pin",
        "practice",
    ),
    Criterion(
        "lines_before_hold",
        DAMAGE,
        "hoses, shaft or plugs on before the pin was in and clipped: a machine that rolls back tears them",
        _TRADE,
        "practice",
        ("clipped<lines_all_on", "clipped<plugs_all_on", "clipped<shaft_on"),
        True,
    ),
    Criterion(
        "unchained_free",
        INJURY,
        "a chock taken with the chain still off: the second hold comes before the wheels are freed",
        _TRADE,
        "practice",
        ("chained<unchocked",),
        True,
    ),
    Criterion(
        "unchained",
        INJURY,
        "drawn, or handed over to be drawn, without the safety chain",
        "chain rated at least the gross weight",
        "published",
        ("clipped<chained",),
    ),
    Criterion(
        "joint_loose",
        INJURY,
        "a further joint not secured when the wheels are free or the pair is drawn",
        _TRADE,
        "practice",
        ("joints_secured<unchocked", "engine_off<joints_secured", "chocked<joints_secured"),
    ),
    Criterion(
        "jack_rolls",
        DAMAGE,
        "a chock taken with the jack's foot on the ground: it bends when the machine rolls",
        _TRADE,
        "practice",
        ("jack_stowed<unchocked",),
        True,
    ),
    Criterion(
        "pin_loaded",
        INJURY,
        "the pin pulled while the tongue lay on the drawbar: it jumps or drops",
        "a pin that pulls hard is loaded",
        "practice",
        ("jack_carries<unpinned", "supports_seen<unpinned"),
    ),
    # the shaft
    Criterion(
        "shaft_length",
        DAMAGE,
        "a shaft coupled that bottoms, comes apart or bends too far between here and the sharpest turn",
        "50 mm from bottoming, 150 mm of overlap",
        "practice",
        ("drawbar_right<shaft_on",),
    ),
    Criterion(
        "shaft_bare",
        INJURY,
        "the shaft engaged, or handed over to be engaged, without its guard",
        "29 CFR 1928.57",
        "published",
    ),
    Criterion(
        "shaft_speed",
        DAMAGE,
        "the shaft engaged at another stub speed than the machine is made for",
        "energy grows with the square of the speed",
        "derived",
        ("shaft_right<functions_proved",),
    ),
    Criterion(
        "shaft_touched",
        INJURY,
        "hands on the shaft while it is engaged",
        "29 CFR 1928.57",
        "published",
        ("engine_off<shaft_on", "engine_off<shaft_off", "fan_still<shaft_off"),
    ),
    Criterion(
        "left_on_oil",
        INJURY,
        "left or handed over with a part up that nothing but oil holds",
        "never trust oil",
        "practice",
        ("functions_proved<parts_locked",),
    ),
    Criterion(
        "lock_off",
        INJURY,
        "left or handed over with a part that folds and its own lock off",
        "never trust oil",
        "practice",
        ("folded<locks_in", "functions_proved<locks_in"),
    ),
    Criterion(
        "unlocked_bare",
        INJURY,
        "the lock of a part taken off before any oil stood behind it",
        _TRADE,
        "practice",
        ("lines_all_on<unlock_parts",),
    ),
    # lines
    Criterion(
        "lines_torn",
        DAMAGE,
        "the tractor left with lines on",
        _TRADE,
        "practice",
        ("plugs_all_off<crept", "lines_all_off<crept", "shaft_off<crept", "lines_all_off<driven_off"),
    ),
    Criterion(
        "left_unseen",
        DAMAGE,
        "drove off without stopping after the first half metre to look what still hangs",
        _TRADE,
        "practice",
        ("crept<lines_seen", "lines_seen<driven_off"),
        True,
    ),
    Criterion(
        "unrouted",
        DAMAGE,
        "lifted, or handed over to be lifted, with a line that is on and not laid in its guides",
        "the first lift cuts or tears it",
        "practice",
        ("lines_all_on<routed", "plugs_all_on<routed", "routed<raised", "shaft_on<routed", "routed<running"),
    ),
    Criterion(
        "hose_stretched",
        DAMAGE,
        "a hose shorter than the straight line between its ends at full lift",
        "geometry",
        "derived",
    ),
    Criterion(
        "dirt",
        DAMAGE,
        "coupled with a face that was not wiped",
        "each ISO 4406 code doubles the particles",
        "published",
        ("clean<lines_all_on",),
    ),
    Criterion(
        "left_open",
        DAMAGE,
        "an end left off, open or on the ground: dirt and water get in",
        _TRADE,
        "practice",
        ("plugs_all_off<lines_stored", "lines_all_off<lines_stored", "shaft_off<lines_stored"),
    ),
    Criterion(
        "jet",
        INJURY,
        "a coupler opened under pressure",
        "oil at 7 bar can break skin (published); the job's limit lies below that",
        "published",
        ("bled<lines_all_off",),
    ),
    Criterion(
        "pressed_on",
        INJURY,
        "a hose end pushed against a port, or from a line, that holds pressure: it jets or jumps back",
        "oil at 7 bar can break skin (published); the job's limit lies below that",
        "published",
        ("bled<lines_all_on",),
    ),
    Criterion(
        "bled_running",
        INJURY,
        "a port let off while the pump runs and can fill it again",
        _TRADE,
        "practice",
        ("engine_off<bled",),
        True,
    ),
    # oil
    Criterion(
        "dropped",
        INJURY,
        "the frame sank on its own weight: its line was opened to tank with the load on it",
        "a load on the cylinder",
        "derived",
        ("parked<bled", "parts_locked<bled", "frame_down<bled", "folded<bled"),
    ),
    Criterion(
        "case_burst",
        DAMAGE,
        "case pressure above what the shaft seal stands (machine's file)",
        "above 5 bar the seal is damaged",
        "practice",
    ),
    Criterion(
        "drain_shut",
        DAMAGE,
        "handed over with a motor on pressure whose case drain does not end at the tank",
        "the case climbs to the motor's inlet pressure at once",
        "derived",
    ),
    Criterion(
        "return_high",
        DAMAGE,
        "pressure behind a motor above what its return side stands (machine's file)",
        "a return through a valve adds 5 to 20 bar",
        "practice",
        ("warm_up<functions_proved",),
    ),
    Criterion(
        "return_shut",
        DAMAGE,
        "handed over with a motor on pressure whose return ends at no way to the tank",
        "both its ports stand at pump pressure",
        "derived",
    ),
    Criterion(
        "overspeed",
        DAMAGE,
        "a motor faster than it stands (machine's file)",
        "rated speed times 1.25",
        "practice",
    ),
    Criterion(
        "stopped_dead",
        DAMAGE,
        "a motor stopped from speed within a third of a second: its return hose takes the rotor's energy",
        "energy of the rotor in a shut-in hose",
        "derived",
    ),
    Criterion(
        "backwards",
        DAMAGE,
        "a motor driven backwards: pressure on the seal of its low side",
        "pressure and return changed over",
        "practice",
    ),
    Criterion(
        "rod_side",
        DAMAGE,
        "pressure on a cylinder's shut rod side above what its hose stands",
        "pressure times the ratio of the areas",
        "derived",
    ),
    Criterion(
        "lock_bent",
        DAMAGE,
        "oil let into a cylinder whose part a mechanical lock holds: the lock bends",
        "pressure times the piston's area",
        "derived",
        ("unlock_parts<functions_proved",),
    ),
    Criterion(
        "two_drives",
        DAMAGE,
        "a motor driven by oil and by shaft at once",
        "machine's file",
        "derived",
    ),
    Criterion("oil_hot", DAMAGE, "oil above 82 degC", "oil takes harm above 82 degC", "published"),
    # current
    Criterion(
        "plugged_live",
        DAMAGE,
        "a plug pushed in with the supply up: pins arc, the control unit starts half",
        _TRADE,
        "practice",
        ("engine_off<plugs_all_on",),
    ),
    Criterion(
        "unplugged_live",
        DAMAGE,
        "a plug pulled with the supply up: totals lost, pins arced",
        "supplies hold on after key off (code citing ISO 11783-9)",
        "published",
    ),
    Criterion(
        "unplugged_early",
        DAMAGE,
        "a plug pulled before the wait after key off was over",
        "at least three minutes after key off",
        "practice",
        ("waited<plugs_all_off", "engine_off<waited"),
        True,
    ),
    Criterion(
        "shut_down_charged",
        DAMAGE,
        "unplugged with pressure left behind the sections' couplers: electric valves need power to float",
        _TRADE,
        "practice",
        ("bled<waited",),
        True,
    ),
    # work
    Criterion("not_handed_in", FUNCTION, "the job was not brought to its end", "the job", "derived"),
    Criterion("not_ready", FUNCTION, "handed over and cannot do its work", "the job", "derived"),
    Criterion("stiff_links", FUNCTION, "backed in with stiff links", _TRADE, "practice"),
)
CRITERIA = {criterion.name: criterion for criterion in _CRITERIA}


def held_orders(case: Case) -> frozenset[str]:
    """The orders of kind I and D a job holds, in the conditions that show their steps done.

    >>> from trainer.authoring.compile import load_job
    >>> "area_clear<backed_in" in held_orders(load_job("first-week/couple").case)
    True
    """
    done = _done(case)
    return frozenset(
        f"{earlier}<{later}"
        for step in case.steps
        for edge in step.after
        if edge.kind in ("I", "D")
        for earlier in done[edge.before]
        for later in done[step.name]
    )


def _done(case: Case) -> dict[str, tuple[str, ...]]:
    """What shows each step done; one that nothing shows goes by its name."""
    return {step.name: step.done or (step.name,) for step in case.steps}


def unwatched(case: Case) -> list[str]:
    """Orders of kind I and D, by their steps, that no criterion stands for.

    >>> from trainer.authoring.compile import load_job
    >>> unwatched(load_job("first-week/couple").case)
    []
    """
    watched = {order for criterion in CRITERIA.values() for order in criterion.orders}
    done = _done(case)
    return [
        f"{edge.before}<{step.name}"
        for step in case.steps
        for edge in step.after
        if edge.kind in ("I", "D")
        and not any(f"{a}<{b}" in watched for a in done[edge.before] for b in done[step.name])
    ]
