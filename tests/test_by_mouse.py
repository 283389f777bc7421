"""Jobs of every course from the first screen to a passed debrief, in the real window, by mouse alone."""

from pathlib import Path

import pytest

import xvfb
from hand import Hand, plan_of
from trainer.authoring.compile import load_job
from trainer.records import attempt_file
from trainer.records.replay import regrade_file


@pytest.mark.parametrize(
    "name",
    [
        *("first-week/couple", "first-week/uncouple", "class/couple_baler", "class/find_rows_wander"),
        "refresher/road_ready",
    ],
)
def test_a_job_is_done_by_mouse_and_its_record_grades_to_what_the_debrief_says(
    name: str, screen: xvfb.Screen, user_folder: Path, tmp_path: Path
) -> None:
    hand = Hand(screen, load_job(name), user_folder, tmp_path)
    hand.start()
    hand.begin()
    plan = plan_of(hand.drawn())
    hand.work(plan)
    hand.click("dialog.debrief")
    told = hand.until(lambda told: told["screen"] == "debrief", "the debrief")
    assert told["findings"] == []
    assert (told["points"], told["passed"], told["ended"]) == (100, True, "handed in")

    again = regrade_file(hand.record())
    assert hand.record().parent.name == "finished"
    assert again.agrees, again.first_difference
    assert again.claimed is not None
    assert again.claimed.result == {"ended": "handed in", "passed": True, "points": 100, "findings": []}
    score = again.attempt.score()
    assert (score.points, score.passed) == (100, True)
    done = [entry.action for entry in again.attempt.log if entry.action.word != "wait"]
    assert done == [intent.action for intent in plan if intent.action.word != "wait"]

    hand.click("debrief.jobs")
    told = hand.until(lambda told: told["screen"] == "first", "the first screen")
    assert "first.resume" not in told["targets"]


def test_a_killed_window_is_gone_on_with_from_its_last_action(
    screen: xvfb.Screen, user_folder: Path, tmp_path: Path
) -> None:
    hand = Hand(screen, load_job("first-week/uncouple"), user_folder, tmp_path)
    plan = plan_of(hand.job)
    words = [intent.action.word for intent in plan]
    drive = words.index("park_at")
    hand.start()
    hand.begin()
    hand.work(plan[:drive])
    hand.click(f"park:{plan[drive].action.thing}")
    hand.until(lambda told: told["busy"] and len(hand.done()) > drive, "the tractor on its way")
    x, y = hand.find("throttle")
    hand.pointer.press((x, y))
    hand.pointer.move((x, y - 40))  # killed with a hand on a control that it has not let go of yet
    hand.program.process.kill()
    assert hand.program.process.wait() != 0
    hand.pointer.release((640, 300))
    before = hand.done()
    assert [action for _, action, _ in before] == [intent.action for intent in plan[: drive + 1]]
    assert attempt_file.read(hand.record()).claim is None

    hand.start()
    told = hand.told()
    assert "first.resume" in told["targets"]
    hand.click("first.resume")
    told = hand.until(lambda told: told["screen"] == "yard", "the yard")
    assert told["station"] == "seat"
    assert told["tick"] > before[-1][0]
    told = hand.free()
    assert told["tick"] >= plan[drive + 1].before.tick
    hand.work(plan[drive + 1 : drive + 4])
    assert hand.done()[: drive + 1] == before
    assert [action for _, action, _ in hand.done()] == [intent.action for intent in plan[: drive + 4]]

    hand.click("yard.pause")
    hand.click("dialog.leave")
    hand.until(lambda told: "first.resume" in told["targets"], "the attempt on offer again")
    assert regrade_file(hand.record()).agrees
