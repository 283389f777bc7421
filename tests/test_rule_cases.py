"""Every rule by its cases: a run that earns it, one just inside that does not, and the edge between them.

`tests/rules/<rule>.yaml` holds three lists. A case says what it is and is either a run (`job`, and `change`:
edits of its answer as in the slips of a job; none is the answer itself) or an `event` with its readings and
the conditions that stood, where a value cannot be met exactly by anything that can be done.

========  =================================================================================================
`earns`   the rule is found; the run stops there. An event needs a `why`: what keeps it from being a run
`inside`  the rule looks and finds nothing. `silent`: yes where the yard tells no such event inside the limit
`edge`    both sides of the limit or condition, `found` yes or no
========  =================================================================================================
"""

from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from trainer.authoring.compile import Item, Job, compile_texts, load_job
from trainer.authoring.orders import actions_of, answer_items
from trainer.core.actions import CONDITIONS, Event, mask
from trainer.core.attempt import Attempt
from trainer.core.rules import Rule, judge

FOLDER = Path(__file__).parent / "rules"
KINDS = ("earns", "inside", "edge")
JOBS = ("first-week/couple", "first-week/uncouple", "class/couple_baler", "class/uncouple_baler")
RULES = {rule.name: rule for rule in load_job(JOBS[0]).rules}
KEYS = {"says", "job", "fault", "change", "event", "goal", "found", "why", "silent"}
EVENT_KEYS = {"kind", "thing", "place", "values", "standing"}


@cache
def cases(rule: str) -> dict[str, list[dict[str, Any]]]:
    """What a file holds, every scalar a text: `off` stays `off`."""
    text = (FOLDER / f"{rule}.yaml").read_text("utf-8")
    held = yaml.load(text, Loader=yaml.BaseLoader)  # noqa: S506  it makes texts, lists and maps only
    assert isinstance(held, dict), rule
    return held


def numbered() -> Iterator[tuple[str, str, int]]:
    for path in sorted(FOLDER.glob("*.yaml")):
        for kind, listed in cases(path.stem).items():
            for number in range(len(listed)):
                yield path.stem, kind, number


@cache
def job_with_cases(name: str) -> Job:
    """A job with every changed run as one more slip of its own."""
    job = load_job(name)
    slips = {}
    for rule, kind, number in numbered():
        case = cases(rule)[kind][number]
        if case.get("job") == name and "change" in case:
            title = {"title": case["says"], "change": case["change"], "earns": [rule]}
            if "fault" in case:
                title["fault"] = case["fault"]
            slips[f"{rule}__{kind}_{number}"] = title
    file = f"jobs/{name}.yaml"
    assert "\nslips:\n" in job.files[file]
    text = yaml.dump(slips, Dumper=Plain, sort_keys=False, allow_unicode=True, width=1000)
    added = "".join(f"  {line}\n" for line in text.splitlines())
    return compile_texts(name, {**job.files, file: job.files[file].rstrip("\n") + "\n" + added})


class Plain(yaml.SafeDumper):
    """Writes everything out: jobs refer to no other place."""

    def ignore_aliases(self, data: object) -> bool:
        del data
        return True


def looks(rule: Rule, event: Event, goal: str) -> bool:
    """Whether the rule looks at this event at all."""
    return (
        event.kind == rule.on
        and (not rule.goals or goal in rule.goals)
        and (not rule.things or event.thing in rule.things)
        and (not rule.places or event.place in rule.places)
        and event.standing & mask(*rule.only) == mask(*rule.only)
        and not event.standing & mask(*rule.unless)
    )


@cache
def answer(name: str) -> Attempt:
    job = load_job(name).posed("")
    return played(job, answer_items(job), "")


def played(job: Job, items: tuple[Item, ...], until: str) -> Attempt:
    """Play items until a rule is found; whatever was wrong before does not stop it."""
    attempt = Attempt(job.case, job.rules)
    for item in items:
        for action in actions_of(attempt, item):
            attempt.settle()
            attempt.do(action)
            attempt.settle()
            if any(finding.rule == until for finding in attempt.findings):
                return attempt
        if attempt.state.ended:
            break
    return attempt


def run_of(rule: str, kind: str, number: int) -> Attempt:
    case = cases(rule)[kind][number]
    if "change" not in case:
        return answer(case["job"])
    job = job_with_cases(case["job"])
    slip = job.slip(f"{rule}__{kind}_{number}")
    return played(job.posed(slip.fault), slip.items, rule)


def event_of(told: dict[str, Any]) -> Event:
    assert set(told) <= EVENT_KEYS
    values = tuple((name, int(value)) for name, value in told.get("values", {}).items())
    standing = told.get("standing", [])
    assert set(standing) <= set(CONDITIONS)
    return Event(told["kind"], 0, told.get("thing", ""), told.get("place", ""), values, mask(*standing))


def expected(kind: str, case: dict[str, Any]) -> bool:
    if kind == "edge":
        return {"yes": True, "no": False}[case["found"]]
    assert "found" not in case
    return kind == "earns"


def test_every_rule_has_its_cases_and_nothing_else_lies_there() -> None:
    assert sorted(path.name for path in FOLDER.iterdir()) == sorted(f"{rule}.yaml" for rule in RULES)


@pytest.mark.parametrize("rule", RULES)
def test_a_file_holds_the_three_kinds_and_nothing_else(rule: str) -> None:
    held = cases(rule)
    assert tuple(held) == KINDS
    for kind, listed in held.items():
        assert listed, kind
        for case in listed:
            assert set(case) <= KEYS
            assert case["says"]
            assert ("event" in case) != ("job" in case)
            assert "change" not in case or "job" in case
            assert "silent" not in case or (kind == "inside" and "job" in case)
    assert any("job" in case or case.get("why") for case in held["earns"]), "a run, or why there is none"
    assert any("job" in case for case in held["inside"])
    assert {case["found"] for case in held["edge"]} == {"yes", "no"}


@pytest.mark.parametrize(("rule", "kind", "number"), list(numbered()))
def test_a_rule_finds_what_its_case_says(rule: str, kind: str, number: int) -> None:
    case = cases(rule)[kind][number]
    if "event" in case:
        goal = case.get("goal", (*RULES[rule].goals, "couple")[0])
        found = any(judge([RULES[rule]], [event_of(case["event"])], goal))
    else:
        attempt = run_of(rule, kind, number)
        found = any(finding.rule == rule for finding in attempt.findings)
        if kind == "inside":
            looked = any(looks(RULES[rule], event, attempt.case.goal) for event in attempt.events)
            assert looked != (case.get("silent") == "yes"), "whether the rule had anything to look at"
    assert found == expected(kind, case)
