"""The rules as a book: the risk table, a page for each rule, and the command that shows them."""

import json

import pytest
from typer.testing import CliRunner

from trainer import cli
from trainer.authoring.compile import load_job
from trainer.core.rules import LIKELIHOODS, RISKS, SEVERITIES, Rule, risk
from trainer.lang import Texts
from trainer.records import rulebook

RULES = load_job("first-week/couple").rules
TEXTS = Texts.load()
RANK = ("eliminated", "low", "medium", "serious", "high")


def shown(*arguments: str) -> str:
    done = CliRunner().invoke(cli.app, ["rules", *arguments])
    assert done.exit_code == 0, done.output
    return done.output


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_every_rule_says_how_likely_its_harm_is_and_has_its_texts(rule: Rule) -> None:
    assert rule.likely in LIKELIHOODS[:-1]
    page = rulebook.pages([rule], TEXTS)[0]
    for said in (page.title, page.asks, page.why, page.typical, page.right, page.source, page.standing):
        assert said
        assert "{" not in said
    assert page.risk == risk(rule.severity, rule.likely)
    assert page.typical.endswith(".")
    assert page.typical != page.why


def test_the_risk_table_has_a_cell_for_every_pair_and_never_falls_the_wrong_way() -> None:
    assert tuple(RISKS) == LIKELIHOODS
    assert {len(row) for row in RISKS.values()} == {len(SEVERITIES)}
    ranks = [[RANK.index(cell) for cell in row] for row in RISKS.values()]
    for row in ranks:
        assert row == sorted(row, reverse=True), "a worse category is never a lower risk"
    for column in zip(*ranks, strict=True):
        assert list(column) == sorted(column, reverse=True), "a likelier harm is never a lower risk"
    assert risk("catastrophic", "occasional") == "high"
    assert risk("critical", "remote") == "medium"
    assert risk("negligible", "frequent") == "medium"


def test_all_rules_are_shown_under_the_table() -> None:
    text = shown()
    for rule in RULES:
        assert f"({rule.name})" in text
    for word in (
        "I catastrophic",
        "IV negligible",
        "A frequent",
        "F eliminated",
        "amounts of money are not used",
    ):
        assert word in " ".join(text.split())


def test_one_rule_has_its_page() -> None:
    text = " ".join(shown("case_pressure").split())
    assert "II critical" in text
    assert "A frequent (our judgement)" in text
    assert "Typically Shaft seal pushed out of its seat, oil in the fan." in text
    assert "(sway_not_set)" not in text


def test_the_book_as_json_and_one_page_of_it() -> None:
    book = json.loads(shown("--format", "json"))
    assert [row["category"] for row in book["severities"]] == ["I", "II", "III", "IV"]
    assert [row["level"] for row in book["likelihoods"]] == list("ABCDEF")
    assert book["risk"]["remote"]["catastrophic"] == "serious"
    assert [row["rule"] for row in book["rules"]] == [rule.name for rule in RULES]
    page = json.loads(shown("unplugged_early", "--format", "json"))
    assert page == next(row for row in book["rules"] if row["rule"] == "unplugged_early")
    assert page["follows"] == ["unplugged_live"]
    assert (page["level"], page["risk"]) == ("D", "medium")


def test_what_a_rule_asks_is_put_together_from_its_data() -> None:
    said = {page.rule: page.asks for page in rulebook.pages(RULES, TEXTS)}
    assert said["sway_not_set"] == (
        "At hand-in: total sway of the lower links, within the machine's limit; only in coupling; "
        "not with drawn machine"
    )
    assert said["starved"].endswith("; only in coupling; only with implement at working height")
    assert said["between_running"].startswith("When you go between the machines: engine stopped; shown by")
    for name, asked in said.items():
        assert "_" not in asked, (name, "plain words, no names of the program's own")


def test_a_rule_that_is_not_there_is_told_with_the_nearest() -> None:
    done = CliRunner().invoke(cli.app, ["rules", "case_presure"])
    assert isinstance(done.exception, cli.Unusable)
    assert "Write: case_pressure" in str(done.exception)
