"""A new implement is files and nothing else: a machine and its job in a folder of somebody's own, played by
its answer and drawn at every station."""

from __future__ import annotations

from pathlib import Path

import pytest

from trainer import app
from trainer.authoring.check import check_job
from trainer.authoring.compile import load_job
from trainer.authoring.matching import match_all
from trainer.authoring.new import new_file
from trainer.authoring.orders import answer_items, play_items
from trainer.core.case import STATIONS


@pytest.mark.parametrize("coupling", ["three_point", "drawbar"])
def test_a_whole_new_implement_is_files_only(coupling: str, tmp_path: Path) -> None:
    machine = new_file("implement", "hedge_mulcher", tmp_path, coupling, "", "", "couple")
    text = machine.read_text("utf-8")
    assert "title: Hedge mulcher" in text
    machine.write_text(text.replace("title: Hedge mulcher", "title: Hedge mulcher (invented)"), "utf-8")
    path = new_file("job", "autumn/hedge", tmp_path, "", "rowcrop_mid", "hedge_mulcher", "couple")
    job = load_job(path)
    assert job.case.implement.title == "Hedge mulcher (invented)"
    (answer,) = check_job(job).runs
    assert answer.ok, answer.faults
    attempt = play_items(job.case, job.rules, answer_items(job))
    for station in STATIONS:
        picture = app.draw_offscreen(job, attempt, station)
        assert picture.get_width() > 600
        assert len(set(bytes(picture.get_buffer()))) > 100, station  # shades, and no bare ground
    (found,) = match_all(tmp_path, ["rowcrop_mid"], ["hedge_mulcher"])
    assert found.level() in ("fits", "adapt")
