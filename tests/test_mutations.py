"""The qualification table would notice a wrong formula: deliberate faults, each caught by some row."""

import re

import pytest

import mutations
from mutations import FAULTS, Fault, Outcome, Stale, broken, outcome, outcomes
from trainer.authoring.qualify import PHYSICS, read_reference


@pytest.fixture(scope="module")
def found() -> list[Outcome]:
    return outcomes()


def test_every_fault_is_noticed(found: list[Outcome]) -> None:
    assert [each.fault.what for each in found if not each.noticed] == []
    assert len(found) == len(FAULTS) >= 100


def test_most_faults_are_noticed_by_figures_from_outside(found: list[Outcome]) -> None:
    outside = [each for each in found if each.outside]
    assert len(outside) >= 0.8 * len(found)


def test_every_module_is_broken_in_several_ways_and_none_twice_alike() -> None:
    assert {fault.module for fault in FAULTS} == set(PHYSICS)
    assert len({(fault.module, fault.right, fault.wrong) for fault in FAULTS}) == len(FAULTS)
    for module in PHYSICS:
        assert len([fault for fault in FAULTS if fault.module == module]) >= 3


def test_the_core_itself_stays_whole(found: list[Outcome]) -> None:
    del found
    assert PHYSICS["hydraulics"].hydraulic_power_w(2.0, 3.0) == 6.0


def test_a_fault_that_changes_nothing_is_missed() -> None:
    harmless = Fault("hydraulics", "other words", "with ηv from 0 to 1.", "with ηv from nought to 1.")
    assert outcome(harmless, read_reference()).noticed == 0


@pytest.mark.parametrize("text", ["no such text in there", "return", "def pump_flow_m3_s"])
def test_a_fault_applies_once_or_it_is_stale(text: str) -> None:
    wrong = text if text.startswith("def") else "pass"
    with pytest.raises(Stale, match=r"stands \d+ times"):
        broken(Fault("hydraulics", "gone", text, wrong))


def test_the_script_tells_what_it_found(
    found: list[Outcome], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(mutations, "outcomes", lambda: found)
    assert mutations.main() == 0
    told = capsys.readouterr().out
    assert len(told.splitlines()) == len(FAULTS) + 1
    assert re.search(
        rf"{len(FAULTS)} faults: {len(FAULTS)} caught, \d+ of them by a figure from outside", told
    )
    missed = Outcome(FAULTS[0], 0, 0, "")
    monkeypatch.setattr(mutations, "outcomes", lambda: [missed])
    assert mutations.main() == 1
    assert "MISSED" in capsys.readouterr().out
