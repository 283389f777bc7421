"""Content files become the right numbers, bad ones the right messages, and steps the right runs.

The bad files are the shipped ones with one thing changed. Each row says where the message must stand: at the
first letter of its mark, in the file as changed.
"""

from __future__ import annotations

import math
import random
import re
from functools import cache
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from trainer.authoring.catalogue import PAPERS_FILE
from trainer.authoring.check import check_job, check_paths, edges_of
from trainer.authoring.compile import Item, Job, compile_texts, list_jobs, load_job, names_of
from trainer.authoring.orders import (
    actions_of,
    play_items,
    play_order,
    ready_actions,
    reversed_orders,
    safe_order,
    slip_items,
    stands,
)
from trainer.authoring.papers import filled
from trainer.authoring.quantities import Refused
from trainer.authoring.source import ContentError, Problem
from trainer.content import content_root
from trainer.core.actions import Action, as_line
from trainer.core.attempt import Attempt
from trainer.core.hoses import TooShort, hose_lie
from trainer.core.readings import front_permille

TRACTOR = "machines/tractors/rowcrop_mid.yaml"
IMPLEMENT = "machines/implements/planter_8row.yaml"
RULES = "rules.yaml"
TRADE = "steps.yaml"
COUPLE, UNCOUPLE = "first-week/couple", "first-week/uncouple"

# Steps and slips of these tests' own: the shipped ones are the trainees' and may change.
STEPS = """\
trade_steps: no
steps:
  look_round:
    title: Look round the pair
    do:
      - look: area
    done: [area_clear]
  stow:
    title: Stow the drawbar
    ready: ground
    do:
      - go: hitch
      - drawbar: stow
    done: [drawbar_clear]
  free_sway:
    title: Let the links swing
    ready: ground
    do:
      - go: hitch
      - sway: 60 mm
    done: [sway_free]
  back_in:
    title: Back in under the pins
    ready: running
    do:
      - hitch: 500 mm
      - brake: release
      - reverse: in
      - brake: set
    done: [backed_in]
    after:
      look_round: {kind: I, why: nobody may stand behind}
      stow: {kind: D, why: the drawbar strikes the frame}
      free_sway: {kind: F, why: stiff links do not find the pins}
  give_back:
    title: Hand over
    ready: ground
    do:
      - hand_in:
    after:
      back_in: {kind: F, why: it is the last thing}
"""


@cache
def shipped(name: str) -> Job:
    return load_job(name)


def couple_texts() -> dict[str, str]:
    """The files of the coupling job, with the steps of these tests in place of its own."""
    texts = dict(shipped(COUPLE).files)
    job = f"jobs/{COUPLE}.yaml"
    texts[job] = texts[job].partition("\nslips:\n")[0] + "\n" + STEPS
    return texts


def with_slips(slips: str) -> dict[str, str]:
    texts = couple_texts()
    texts[f"jobs/{COUPLE}.yaml"] += slips
    return texts


@cache
def small() -> Job:
    return compile_texts(COUPLE, couple_texts())


def changed(file: str, old: str, new: str) -> dict[str, str]:
    texts = couple_texts()
    assert old in texts[file], f"{old!r} is no longer in {file}"
    texts[file] = texts[file].replace(old, new, 1)
    return texts


def place_of(text: str, mark: str, changed_at: int) -> str:
    """Line and column of a mark: from the changed line on, else the last one before it."""
    position = text.find(mark, text.rfind("\n", 0, changed_at) + 1)
    if position < 0:
        position = text.rindex(mark, 0, changed_at)
    before = text[:position]
    return f"{before.count(chr(10)) + 1}:{len(before) - before.rfind(chr(10))}"


def messages(texts: dict[str, str]) -> list[str]:
    with pytest.raises(ContentError) as caught:
        compile_texts(COUPLE, texts)
    return [problem.render().splitlines()[0] for problem in caught.value.problems]


# --- the shipped machines and jobs -------------------------------------------------------------------------


def test_the_tractor_comes_out_in_si() -> None:
    tractor = shipped(COUPLE).case.tractor
    assert tractor.pump_displacement_m3 == pytest.approx(63e-6 / 1.0, rel=1e-11)
    assert tractor.pump_cutoff_pa == 20_000_000.0
    assert tractor.oil.viscosity_40_m2_s == pytest.approx(60e-6, rel=1e-11)
    assert tractor.oil.bulk_modulus_pa == 1.4e9
    assert tractor.oil_volume_m3 == pytest.approx(0.060, rel=1e-11)
    assert tractor.hook_diameter_m == 0.0365125
    assert tractor.engine_rise_rev_min_s == 500.0
    assert (tractor.hitch_low_m, tractor.hitch_high_m) == (0.25, 1.05)
    assert tractor.linkage.lower_pivot_m == (0.05, 0.55)
    assert tractor.linkage.mast_height_m == 0.685  # the planter's
    assert tractor.valves[0].dial_flow_m3_s[6] == pytest.approx(40e-3 / 60, rel=1e-11)
    assert [valve.top for valve in tractor.valves] == [10] * 5
    # A return through a section at 40 L/min: 56 bar at 100 L/min, with the square of the flow.
    assert tractor.valves[0].return_loss_pa * 0.4**2 == pytest.approx(8.96e5)


def test_ports_carry_their_valve_and_the_rated_point_of_their_size() -> None:
    case = shipped(COUPLE).case
    port = case.tractor.ports[case.port("v3_retract")]
    assert (port.kind, port.valve, port.form) == ("retract", 2, "poppet")
    assert port.rated_flow_m3_s == pytest.approx(45e-3 / 60)
    assert port.rated_loss_pa == pytest.approx(1.5e5)
    drain = case.tractor.ports[case.port("case_drain")]
    assert (drain.valve, drain.rated_flow_m3_s) == (-1, pytest.approx(23e-3 / 60))
    assert case.tractor.ports[case.port("pto_stub")].seat_diameter_m == 0.0


def test_the_planter_comes_out_in_si() -> None:
    case = shipped(COUPLE).case
    planter = case.implement
    fan = planter.functions[case.function("fan")]
    lift = planter.functions[case.function("frame_lift")]
    assert planter.pin_diameter_m == 0.028575
    assert planter.carried_share == 0.7
    assert (planter.underside_low_m, planter.underside_high_m) == (0.508, 0.5588)
    assert planter.plumb_limit_rad == pytest.approx(math.radians(0.5))
    # 34 000 on 43 560 square feet.
    assert planter.population_per_m2 == pytest.approx(34_000 / (43_560 * 0.3048**2))
    assert fan.displacement_m3 == pytest.approx(10e-6)
    # A fan that gets its 40 L/min turns at the speed the file calls rated.
    assert fan.volumetric_efficiency * fan.needs_m3_s / fan.displacement_m3 * 60 == pytest.approx(
        fan.rated_rev_min
    )
    # Two cylinders of 80 mm bore and 40 mm rod together.
    assert lift.bore_area_m2 == pytest.approx(2 * math.pi / 4 * 0.080**2)
    assert lift.rod_side_area_m2 == pytest.approx(2 * math.pi / 4 * (0.080**2 - 0.040**2))
    assert lift.bore_area_m2 * lift.stroke_m / lift.needs_m3_s < lift.longest_s
    hose = planter.hoses[case.hose("fan_drain")]
    assert planter.functions[hose.function].name == "fan"
    assert (hose.line.bore_m, hose.line.length_m, hose.length_m) == (0.0095, 2.9, 1.4)
    shaft = planter.hoses[case.hose("drive_shaft")]
    assert (shaft.role, shaft.line.bore_m) == ("shaft", 0.0)


def test_the_yard_is_found_as_the_job_says() -> None:
    couple, uncouple = shipped(COUPLE).case.start, shipped(UNCOUPLE).case.start
    assert (couple.station, couple.key, couple.engine, couple.brake) == ("yard", "out", False, True)
    assert couple.lines_on == ()
    assert dict(couple.pressures)["v3_retract"] == 12_000_000.0
    assert (uncouple.engine, uncouple.engine_rev_min) == (True, 1200.0)
    assert dict(uncouple.lines_on)["fan_drain"] == "case_drain"
    assert ("v1", "extend", 6.0) in uncouple.levers
    assert dict(uncouple.cylinders) == {"frame_lift": 1.0, "markers": 1.0}
    assert uncouple.latched
    assert uncouple.latches_seen
    assert shipped(UNCOUPLE).case.site("apron").slope == 0.04


def test_the_front_axle_wants_two_steps_of_ballast() -> None:
    case = shipped(COUPLE).case
    limit = case.limits.front_share * 1000
    assert [front_permille(case, kg) >= limit for kg in (0, 300, 600, 900)] == [False, False, True, True]


def lie_at_full_lift(hose_name: str, port_name: str) -> float:
    """Smallest bend radius of a hose on a port with the planter fully raised."""
    case = shipped(COUPLE).case
    hose = case.implement.hoses[case.hose(hose_name)]
    across, rearward, up = case.tractor.ports[case.port(port_name)].at_m
    linkage = case.tractor.linkage
    back = linkage.lower_pivot_m[0] + linkage.lower_link_m + case.tractor.coupler_offset_m
    root = (back + hose.root_m[1], hose.root_m[0], case.tractor.hitch_high_m + hose.root_m[2])
    return hose_lie((rearward, across, up), root, 0.0, 180.0, hose.length_m).smallest_bend_radius_m


def test_hoses_reach_where_they_belong_and_some_wrong_ports_are_too_far() -> None:
    case = shipped(UNCOUPLE).case
    for hose, port in case.start.lines_on:
        assert lie_at_full_lift(hose, port) > case.implement.hoses[case.hose(hose)].least_bend_m
    for hose, port in (
        ("lift_extend", "v4_extend"),
        ("lift_retract", "v4_retract"),
        ("gen_pressure", "v5_extend"),
    ):
        with pytest.raises(TooShort):
            lie_at_full_lift(hose, port)


@pytest.mark.parametrize("name", [COUPLE, UNCOUPLE])
def test_a_record_can_compile_the_job_from_the_texts_it_carries(name: str) -> None:
    job = shipped(name)
    assert set(job.files) == {f"jobs/{name}.yaml", TRACTOR, IMPLEMENT, RULES, TRADE, PAPERS_FILE}
    assert job.files[TRACTOR] == (content_root() / "scenarios" / TRACTOR).read_text("utf-8")
    assert compile_texts(name, job.files) == job


def test_jobs_are_listed_by_their_course() -> None:
    assert {COUPLE, UNCOUPLE} <= set(list_jobs())
    assert shipped(COUPLE).case.course == "first-week"


# --- files that are wrong ----------------------------------------------------------------------------------

JOB = f"jobs/{COUPLE}.yaml"

BAD = yaml.safe_load((Path(__file__).parent / "problems" / "content.yaml").read_text("utf-8"))


@pytest.mark.parametrize("case", BAD.values(), ids=BAD)
def test_a_bad_file_is_told_with_its_place_and_what_to_write(case: dict[str, str]) -> None:
    texts = changed(case["file"], case["old"], case["new"])
    at = place_of(texts[case["file"]], case["mark"], couple_texts()[case["file"]].index(case["old"]))
    expected = f"{case['file']}:{at}: "
    told = messages(texts)
    assert [line for line in told if line.startswith(expected) and case["message"] in line], (at, told)


def test_everything_wrong_in_all_files_is_told_at_once() -> None:
    texts = couple_texts()
    texts[TRACTOR] = texts[TRACTOR].replace("margin: 20 bar", "margin: 20")
    texts[IMPLEMENT] = texts[IMPLEMENT].replace("boot: 8 s", "boots: 8 s")
    texts[JOB] = texts[JOB].replace("par: 30 min", "par: soon")
    told = messages(texts)
    assert [line.partition(":")[0] for line in told] == [JOB, TRACTOR, IMPLEMENT]


def test_a_file_of_a_record_that_is_missing_is_told() -> None:
    texts = couple_texts()
    del texts[RULES]
    assert messages(texts) == [f"{RULES}:1:1: there is no such file. Write: the name of a file that is there"]


def test_a_job_of_a_trainer_may_lie_anywhere(tmp_path: Path) -> None:
    own = tmp_path / "wet_spring.yaml"
    own.write_text(couple_texts()[JOB], "utf-8")
    job = load_job(own)
    assert job.name == "own/wet_spring"
    assert compile_texts(job.name, job.files) == job
    own.write_text(own.read_text("utf-8").replace("brake: set", "brake: sat"), "utf-8")
    with pytest.raises(ContentError, match=r"wet_spring\.yaml:[0-9]+:10: 'sat' is not one of set, released"):
        load_job(own)


def test_a_job_that_is_not_there_is_told_with_the_nearest_name(tmp_path: Path) -> None:
    with pytest.raises(ContentError, match=r"no job called 'first-week/copule'\. Write: first-week/couple"):
        load_job("first-week/copule")
    with pytest.raises(ContentError, match="there is no such file"):
        load_job(tmp_path / "nowhere.yaml")
    (tmp_path / "odd.yaml").write_bytes(b"title: \xff")
    with pytest.raises(ContentError, match=r"odd\.yaml:1:8: byte FF hex is not UTF-8"):
        load_job(tmp_path / "odd.yaml")


@given(
    st.sampled_from([TRACTOR, IMPLEMENT, JOB]),
    st.integers(0, 400),
    st.sampled_from(["drop", "twice", "empty"]),
)
def test_whatever_is_done_to_a_line_it_compiles_or_says_why(file: str, number: int, deed: str) -> None:
    texts = couple_texts()
    lines = texts[file].splitlines(keepends=True)
    number %= len(lines)
    line = lines[number]
    lines[number] = {"drop": "", "twice": line + line, "empty": line.partition(":")[0] + ":\n"}[deed]
    texts[file] = "".join(lines)
    problems: tuple[Problem, ...] = ()
    try:
        compile_texts(COUPLE, texts)
    except ContentError as error:
        problems = error.problems
    assert all(problem.message and problem.advice and problem.place.line for problem in problems)


# --- papers ------------------------------------------------------------------------------------------------


def lines_of(job: Job, paper: str) -> list[str]:
    return list(next(item.lines for item in job.case.papers if item.name == paper))


def test_papers_say_what_the_machines_are() -> None:
    job = shipped(COUPLE)
    assert lines_of(job, "hitch_card")[:2] == [
        "Tractor, hooks of the quick coupler: 1 7/16 in (36.5 mm)",
        "Implement, lower pins: 1 1/8 in (28.6 mm)",
    ]
    assert "Dial 6: 10.6 gal/min (40 L/min)" in lines_of(job, "flow_table")
    assert any("Vacuum fan: 10.6 gal/min (40 L/min)" in line for line in lines_of(job, "implement_needs"))
    assert any("Generator: 6.3 gal/min (24 L/min)" in line for line in lines_of(job, "implement_needs"))
    assert any("20 in to 22 in (508 mm to 559 mm)" in line for line in lines_of(job, "setting_card"))
    assert any("1/4 in (6 mm)" in line for line in lines_of(job, "setting_card"))
    assert any("34000 per acre" in line for line in lines_of(job, "setting_card"))
    assert any("Tractor: 16760 lb (7600 kg)" in line for line in lines_of(job, "weights"))
    assert {port.tag for port in job.case.tractor.ports} <= set(
        re.findall(r"[A-Z0-9-]+", " ".join(lines_of(job, "port_plan")))
    )


def test_a_job_gets_the_usual_papers_that_suit_its_pair() -> None:
    """By hand, from the machines' files: a mounted machine with rows; a baler on its tongue and shaft."""
    mounted, drawn, parked = shipped(COUPLE), shipped("class/couple_baler"), shipped(UNCOUPLE)
    assert not [line for line in lines_of(mounted, "hitch_card") if "clevis" in line]
    settings = [line for line in lines_of(drawn, "hitch_card") if line.startswith("Drawbar setting")]
    assert [line.rpartition(": ")[2] for line in settings] == [
        "14 in (356 mm)",
        "16 in (406 mm)",
        "20 in (508 mm)",
    ]
    assert any("Drive shaft 540 rev/min" in line for line in lines_of(drawn, "setting_card"))
    assert not any("Rows" in line or "Sway" in line for line in lines_of(drawn, "setting_card"))
    assert lines_of(parked, "setting_card")[:2] == ["Sloping apron: slope 4.0 %", "Concrete pad: slope 0.5 %"]
    assert "weights" not in [paper.name for paper in parked.case.papers]


def test_a_jobs_own_paper_takes_the_place_of_the_usual_one() -> None:
    own = "papers: {weights: {title: Scale ticket, lines: [Weighed this morning]}}\nsites:"
    job = compile_texts(COUPLE, changed(f"jobs/{COUPLE}.yaml", "sites:", own))
    assert lines_of(job, "weights") == ["Weighed this morning"]
    assert lines_of(job, "hitch_card") == lines_of(shipped(COUPLE), "hitch_card")


def test_a_job_that_carries_no_file_of_papers_lacks_its_hitch_card() -> None:
    """A record of before there was such a file has its papers in the job; without either it is told."""
    texts = {name: text for name, text in shipped(COUPLE).files.items() if name != PAPERS_FILE}
    with pytest.raises(ContentError, match=r"there is no paper called 'hitch_card'"):
        compile_texts(COUPLE, texts)


def test_a_paper_follows_its_machine() -> None:
    job = compile_texts(COUPLE, changed(IMPLEMENT, "needs: 24 L/min", "needs: 30 L/min"))
    assert any("Generator: 7.9 gal/min (30 L/min)" in line for line in lines_of(job, "implement_needs"))


@pytest.mark.parametrize("name", [TRACTOR, IMPLEMENT])
def test_no_paper_has_a_figure_typed_into_it(name: str) -> None:
    text = (content_root() / "scenarios" / name).read_text("utf-8")
    papers = re.search(r"^papers:\n(?:[ #].*\n|\n)+", text, re.MULTILINE)
    assert papers
    unit = r"(?:gal/min|L/min|rev/min|in|mm|m|lb|kg|psi|bar|min|s|%|deg|°)"
    assert not re.findall(rf"[0-9] ?{unit}\b", re.sub(r"\{[^}]*\}", "", papers[0]))


@pytest.mark.parametrize(
    ("line", "shown"),
    [
        ("{a.play_m as 1/4 in}", "0 in"),
        ("{a.play_m as 1/16 in, 1 mm}", "1/16 in (2 mm)"),
        ("{a.reach_m as 1 in, 0.01 m, 10 mm}", "39 in (1.00 m, 1000 mm)"),
        ("{a.used}, {a.name}, {a.count}", "yes, left side, 3"),
        ("{list.1 as 1 bar}", "not reached"),
    ],
)
def test_figures_are_rounded_to_the_step_they_name(line: str, shown: str) -> None:
    roots = {
        "a": {"play_m": 0.002, "reach_m": 1.0, "used": True, "name": "left_side", "count": 3},
        "list": (1.0,),
    }
    if shown == "not reached":
        with pytest.raises(Refused, match="leads nowhere at '1'"):
            filled(line, roots)
    else:
        assert filled(line, roots) == shown


# --- slips: edits of the answer ----------------------------------------------------------------------------


def edited(*edits: str) -> list[str]:
    """The items of a slip with these edits, one text each: `[step]`, `[step raw]` or the action."""
    change = "".join(f"      - {edit}\n" for edit in edits)
    slips = f"slips:\n  wrong:\n    title: Wrong\n    change:\n{change}    earns: [area_unseen_backing]\n"
    job = compile_texts(COUPLE, with_slips(slips))
    assert slip_items(job, "wrong") == job.slips[0].items
    return [
        (f"[{item.step}]" if item.ready else f"[{item.step} raw]") if item.step else item.line
        for item in job.slips[0].items
    ]


WHOLE = [
    "[look_round]", "look: area", "[stow]", "go: hitch", "drawbar: stow",
    "[free_sway]", "go: hitch", "sway: 60 mm", "[back_in]", "hitch: 500 mm",
    "brake: release", "reverse: in", "brake: set", "[give_back]", "hand_in:",
]  # fmt: skip


@pytest.mark.parametrize(
    ("edits", "expected"),
    [
        (['leave_out: "look: area"'], [*WHOLE[:1], *WHOLE[2:]]),
        (['leave_out: "go:  hitch"'], [line for line in WHOLE if line != "go: hitch"]),
        (['{instead: "sway: 60 mm", do: ["sway: 0 mm"]}'], [*WHOLE[:7], "sway: 0 mm", *WHOLE[8:]]),
        (['{instead: "go: hitch", nth: 2, do: ["go: yard"]}'], [*WHOLE[:6], "go: yard", *WHOLE[7:]]),
        (['{before: "reverse: in", do: [{look: area}]}'], [*WHOLE[:11], "look: area", *WHOLE[11:]]),
        (['{after: "look: area", do: [{step: stow}]}'], [*WHOLE[:2], *WHOLE[2:5], *WHOLE[2:]]),
        (["swap_steps: [back_in, look_round]"], [*WHOLE[8:13], *WHOLE[:8], *WHOLE[13:]]),
        (["raw: back_in"], [*WHOLE[:8], "[back_in raw]", *WHOLE[9:]]),
        (["leave_out_step: free_sway"], [*WHOLE[:5], *WHOLE[8:]]),
        (['stop_after: "reverse: in"'], WHOLE[:12]),
        (["leave_out_step: give_back", 'stop_after: "brake: set"'], WHOLE[:13]),
    ],
)
def test_a_slip_is_the_answer_with_its_edits(edits: list[str], expected: list[str]) -> None:
    assert edited(*edits) == expected


@pytest.mark.parametrize(
    ("edit", "mark", "message"),
    [
        ('leave_out: "look: latches"', '"look: latches"',
         "'look: latches' is not in the answer, or an edit above took it out. Write: look: area"),
        ('{instead: "go: hitch", nth: 3, do: ["go: yard"]}', '"go: hitch", nth',
         "'go: hitch' is in the answer 2 times only. Write: nth: 2"),
        ('leave_out: "lok: area"', '"lok: area"', "'lok' is not an action. Write: look"),
        ("leave_out_step: stove", "stove",
         "the answer has no step 'stove', or an edit above took it out. Write: stow"),
        ("swap_steps: [look_round, back_in]", "look_round, back_in]",
         "look_round already comes before back_in. Write: [back_in, look_round]"),
        ("{raw: stow, leave_out_step: stow}", "{raw", "an edit has one of its keys"),
        ('{before: "reverse: in", do: [{step: stove}]}', "stove",
         "there is no step called 'stove'. Write: stow"),
        ("swap_steps: [back_in]", "[back_in]", "'swap_steps' has 1 entry"),
        ("forget: stow", "forget: stow", "this edit says nothing to do"),
    ],
)  # fmt: skip
def test_an_edit_that_fits_nothing_is_told_at_its_place(edit: str, mark: str, message: str) -> None:
    slips = (
        f"slips:\n  wrong:\n    title: Wrong\n    change:\n      - {edit}\n    earns: [area_unseen_backing]\n"
    )
    texts = with_slips(slips)
    at = place_of(texts[JOB], mark, texts[JOB].index("slips:\n  wrong"))
    told = messages(texts)
    assert [line for line in told if line.startswith(f"{JOB}:{at}: ") and message in line], (at, told)


def test_a_slip_earns_rules_that_are_there_for_its_goal() -> None:
    slips = "slips:\n  wrong:\n    title: Wrong\n    change: [{raw: stow}]\n    earns: [area_unseen_backin]\n"
    (told,) = messages(with_slips(slips))
    assert (
        "there is no rule for the goal couple called 'area_unseen_backin'. Write: area_unseen_backing" in told
    )


# --- bringing the yard into a state ------------------------------------------------------------------------


def dice(seed: int) -> random.Random:
    return random.Random(seed)  # noqa: S311 - the same orders in every run


def brought(attempt: Attempt, ready: str, *also: str) -> list[str]:
    lines = []
    for action in ready_actions(attempt, ready, also):
        attempt.settle()
        assert attempt.do(action) is None, as_line(action)
        attempt.settle()
        lines.append(as_line(action))
    return lines


def test_the_yard_as_found_is_already_on_the_ground() -> None:
    attempt = Attempt(small().case, ())
    assert brought(attempt, "ground") == []
    assert brought(attempt, "running") == ["go: seat", "key: on", "engine: start"]
    assert brought(attempt, "running") == []
    assert brought(attempt, "ground") == ["engine: stop", "key: out"]


def test_a_turning_fan_is_let_run_down_before_anybody_leaves_the_seat() -> None:
    attempt = Attempt(shipped(UNCOUPLE).case, ())
    lines = brought(attempt, "ground")
    assert lines[0] == "lever: v1 to float"
    assert lines.index("engine: stop") > lines.index("wait: 1 s")
    assert lines[-1] == "key: out"
    for condition in ("engine_off", "brake_set", "key_out", "fan_still", "pto_off"):
        assert stands(attempt, condition), condition


def test_key_on_is_seated_with_the_engine_at_rest() -> None:
    attempt = Attempt(shipped(UNCOUPLE).case, ())
    brought(attempt, "key_on")
    assert attempt.state.key == "on"
    for condition in ("seated", "engine_off", "brake_set", "fan_still"):
        assert stands(attempt, condition), condition


def test_what_was_lost_is_made_good_again() -> None:
    attempt = Attempt(shipped(UNCOUPLE).case, ())
    brought(attempt, "ground")
    off_tick = attempt.state.key_off_tick
    brought(attempt, "ground", "waited", "supplies_down")
    assert attempt.state.tick - off_tick >= 180 * 20
    assert attempt.state.tick - off_tick < 182 * 20
    assert stands(attempt, "supplies_down")
    brought(attempt, "running")
    assert not stands(attempt, "waited")
    brought(attempt, "", "waited")
    assert stands(attempt, "waited")


def test_trapped_pressure_is_let_go_and_the_area_looked_over() -> None:
    attempt = Attempt(small().case, ())
    assert not stands(attempt, "bled")
    brought(attempt, "ground", "bled", "area_clear")
    assert stands(attempt, "bled")
    assert stands(attempt, "area_clear")
    with pytest.raises(ValueError, match="no way to bring the yard into the state 'plumb'"):
        brought(attempt, "ground", "plumb")


# --- orders ------------------------------------------------------------------------------------------------


@given(st.integers(0, 2**32), st.sampled_from([COUPLE, UNCOUPLE]))
def test_a_safe_order_keeps_every_edge(seed: int, name: str) -> None:
    case = shipped(name).case
    order = safe_order(case, dice(seed))
    assert sorted(order) == sorted(step.name for step in case.steps)
    for step in case.steps:
        for edge in step.after:
            assert order.index(edge.before) < order.index(step.name)
    assert any(as_line(Action("hand_in")) in step.actions for step in case.steps if step.name == order[-1])


def test_every_order_of_free_steps_is_drawn_sooner_or_later() -> None:
    drawn = {safe_order(small().case, dice(seed)) for seed in range(200)}
    assert len(drawn) == 6  # the three steps before backing in, in every order


@pytest.mark.parametrize("name", [COUPLE, UNCOUPLE])
def test_a_reversed_order_breaks_its_edge_and_no_more_than_it_must(name: str) -> None:
    job = shipped(name)
    edges = dict(edges_of(job))
    found = dict(reversed_orders(job.case))
    assert set(found) == {edge for edge, kind in edges.items() if kind in ("I", "D")}
    for broken, order in found.items():
        before, after = broken.split("<")
        assert order.index(after) + 1 == order.index(before)
        assert sorted(order) == sorted(step.name for step in job.case.steps)
        for edge in edges:
            first, second = edge.split("<")
            if edge != broken and second != after:
                assert order.index(first) < order.index(second), f"{edge} in the order for {broken}"


def test_steps_are_played_in_any_order_and_a_raw_one_as_the_yard_is() -> None:
    job = small()
    safe = play_order(job, ["look_round", "free_sway", "stow", "back_in", "give_back"])
    assert safe.state.ended == "handed in"
    assert not [entry for entry in safe.log if entry.refused]
    rules = {finding.rule for finding in safe.findings}
    assert not rules & {"area_unseen_backing", "drawbar_in_the_way", "sway_tight_backing"}
    wrong = play_order(job, ["stow", "back_in", "look_round", "free_sway", "give_back"])
    rules = {finding.rule for finding in wrong.findings}
    assert {"area_unseen_backing", "sway_tight_backing"} <= rules
    assert "drawbar_in_the_way" not in rules
    raw = play_order(job, ["back_in"], {"back_in"})
    assert [entry.refused for entry in raw.log] == ["not_here"] * 4


def test_who_is_there_already_stays() -> None:
    attempt = Attempt(small().case, ())
    assert list(actions_of(attempt, Item(line="go: yard"))) == []
    assert list(actions_of(attempt, Item(line="go: seat"))) == [Action("go", "seat")]


def test_playing_stops_where_the_attempt_ends() -> None:
    job = small()
    attempt = play_items(job.case, job.rules, [Item(line="hand_in:"), Item(line="look: area")])
    assert attempt.state.ended == "handed in"
    assert [entry.action.word for entry in attempt.log] == ["hand_in"]


# --- a job proves itself -----------------------------------------------------------------------------------


def test_an_answer_that_does_half_the_job_is_found_out() -> None:
    report = check_job(small())
    (answer,) = report.runs
    assert not report.ok
    assert not answer.passed
    assert any("does not earn full marks" in fault for fault in answer.faults)
    assert any("the answer is found wanting" in fault for fault in answer.faults)
    assert report.to_json()["runs"][0]["findings"]


def test_a_step_that_is_not_done_is_found_out() -> None:
    job = compile_texts(COUPLE, changed(JOB, "done: [sway_free]", "done: [sway_set]"))
    (answer,) = check_job(job).runs
    assert "step free_sway is not done after its actions: sway_set" in answer.faults


def test_an_action_the_yard_refuses_is_found_out() -> None:
    job = compile_texts(COUPLE, changed(JOB, "- reverse: in", "- reverse: in\n      - reverse: in"))
    (answer,) = check_job(job).runs
    assert "the yard refuses an action of the answer: reverse: in (already_under)" in answer.faults


def test_a_slip_has_to_earn_its_rules_and_no_other_failing_one() -> None:
    slips = """\
slips:
  nobody_looked:
    title: Nobody looked
    change: [{leave_out: "look: area"}]
    earns: [area_unseen_backing]
  not_found:
    title: The drawbar left out
    change: [{leave_out: "drawbar: stow"}]
    earns: [drawbar_in_the_way, sway_tight_backing]
  too_much:
    title: Nobody looked and the links are stiff
    change: [{leave_out: "look: area"}, {leave_out: "sway: 60 mm"}]
    earns: [sway_tight_backing]
"""
    report = check_job(compile_texts(COUPLE, with_slips(slips)))
    faults = {run.name: run.faults for run in report.runs}
    assert not [fault for fault in faults["nobody_looked"] if "area_unseen" in fault or "not found" in fault]
    assert "rule sway_tight_backing is not found" in faults["not_found"]
    assert any(
        fault.startswith("found, but not among what it earns: area_unseen_backing")
        for fault in faults["too_much"]
    )
    assert any(line.startswith("too_much: found, but not") for line in report.all_faults())


def test_a_rule_on_a_reading_no_event_has_is_found_out() -> None:
    texts = changed(RULES, "measure: fit_papers_count", "measure: fit_leaflets_count")
    (answer,) = check_job(compile_texts(COUPLE, texts)).runs
    assert any(
        fault.startswith("a rule asks for what its event does not tell") and "fit_leaflets_count" in fault
        for fault in answer.faults
    )


def test_a_rule_without_words_is_found_out() -> None:
    texts = changed(RULES, "\nbetween_running:\n", "\nbetween_galloping:\n")
    report = check_job(compile_texts(COUPLE, texts))
    assert "rule between_galloping has no text rules.between_galloping.title in en.yaml" in report.faults


def test_what_cannot_be_read_does_not_keep_the_others_from_being_checked(tmp_path: Path) -> None:
    (tmp_path / "good.yaml").write_text(couple_texts()[JOB], "utf-8")
    (tmp_path / "bad.yaml").write_text("title: 5\n", "utf-8")
    checked = check_paths([tmp_path / "bad.yaml", tmp_path / "good.yaml"])
    assert not checked.ok
    assert [report.job for report in checked.reports] == ["own/good"]
    assert checked.problems[0].place.file.endswith("bad.yaml")
    assert checked.to_json()["problems"][0]["line"] == 1


def test_an_action_knows_which_names_it_may_use() -> None:
    case = shipped(COUPLE).case
    assert names_of(case, "end")[-2:] == ("bus", "lighting")
    assert "case_drain" in names_of(case, "line_or_port")
    assert names_of(case, "function_or_line")[-2:] == ("lights", "bus")
    assert names_of(case, "source") == ("wheel", "ground_radar", "navigation", "simulated")
