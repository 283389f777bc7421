"""A mistake and what followed from it, the same in the printed debrief, on the page and for the window."""

from functools import cache

from rich.console import Console

from trainer.authoring.compile import Item, load_job
from trainer.authoring.orders import answer_items, play_items
from trainer.core.attempt import Attempt
from trainer.core.scoring import TIME_RULE
from trainer.lang import Texts
from trainer.records import debriefing, pages
from trainer.terminal import print_debrief

TEXTS = Texts.load()
COUPLE = load_job("first-week/couple")


@cache
def drain_left_off() -> Attempt:
    """Without the case drain, and with a coupler that was not wiped: two mistakes."""
    items = [item for item in COUPLE.slip("drain_left_off").items if item.line != "wipe: fan_pressure"]
    return play_items(COUPLE.case, COUPLE.rules, items)


@cache
def dawdled() -> Attempt:
    job = load_job("first-week/uncouple")
    items: list[Item] = []
    for item in answer_items(job):
        items.append(item)
        if item.line in ("look: area", "read: port_plan"):
            items.append(Item(line="wait: 1200 s"))
    return play_items(job.case, job.rules, items)


def number_of(attempt: Attempt, rule: str) -> int:
    return 1 + [finding.rule for finding in attempt.findings].index(rule)


def test_what_follows_comes_behind_its_root_with_the_roots_number() -> None:
    attempt = drain_left_off()
    told = {each.number: each.follows for each in debriefing.turns(attempt.findings)}
    assert sorted(told) == list(range(1, len(attempt.findings) + 1))
    root = number_of(attempt, "drain_not_first")
    assert told[root] == 0
    assert told[number_of(attempt, "case_pressure")] == root
    order = list(told)
    for number, follows in told.items():
        assert not follows or order.index(follows) < order.index(number)
        assert not follows or attempt.findings[follows - 1].rule == attempt.findings[number - 1].root


def test_each_deduction_says_why_it_is_as_high_as_it_is() -> None:
    attempt = drain_left_off()
    rows = debriefing.taken(attempt.case, attempt.score(), attempt.findings, TEXTS)
    assert [row.rule for row in rows] == ["drain_not_first", "dirty_coupler"]
    assert rows[1].why == "marginal"
    others = ", ".join(str(number) for number in rows[0].numbers[1:])
    assert rows[0].why == f"critical, the worst of 6: what followed ({others}) is not counted again"
    assert rows[0].numbers[0] == number_of(attempt, "drain_not_first")
    assert sum(row.points for row in rows) == 100 - attempt.score().points


def test_time_is_told_last_and_with_the_wait_that_does_not_count() -> None:
    attempt = dawdled()
    row = debriefing.taken(attempt.case, attempt.score(), attempt.findings, TEXTS)[-1]
    assert (row.rule, row.part, row.numbers) == (TIME_RULE, "time", ())
    score = attempt.score()
    assert debriefing.minutes(score.over_s) in row.why
    assert f"{debriefing.minutes(score.waited_s)} waited before unplugging not counted" in row.why
    assert debriefing.parts_line(score, TEXTS).endswith(f"Time −{row.points}")


def test_the_printed_debrief_lists_what_follows_under_its_root() -> None:
    attempt = drain_left_off()
    console = Console(width=140, record=True, quiet=False, file=None, force_terminal=False)
    with console.capture() as caught:
        print_debrief(console, attempt, TEXTS, "x")
    text = caught.get()
    root = number_of(attempt, "drain_not_first")
    assert "Safety 0  ·  Workmanship −43  ·  Result 0  ·  Time 0" in text
    lines = text.splitlines()
    head = next(line for line in lines if "Coupled" in line and line.strip().startswith(str(root)))
    under = next(line for line in lines if f"followed from {root}: Case pressure" in line)
    assert under.index("followed") == head.index("Coupled") + 4, "indented"
    assert f"−35: {root}. Coupled" in text


def test_the_page_lists_what_follows_under_its_root_and_every_part() -> None:
    page = pages.render(COUPLE, drain_left_off(), TEXTS)
    root = number_of(drain_left_off(), "case_pressure")
    assert page.count(f"<b>followed from {root}</b>") == 3
    assert page.count('class="finding fails under"') == 3
    for part in ("Safety", "Workmanship", "Result", "Time"):
        assert f"</b>{part}</div>" in page
    assert "<b>−43</b>Workmanship" in page
    assert "is not counted again" in page
