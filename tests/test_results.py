"""Results on the first screen: whose, how good, and when a refresher falls due."""

from datetime import date, timedelta
from pathlib import Path

from trainer.records import results
from trainer.records.results import REFRESH_AFTER, Result, Standing

DAY = date(2030, 1, 10)


def result(job: str, points: int, passed: bool = True, **other: object) -> Result:
    kept = {"trainee": "Ana", "mode": "check_out", "day": DAY, **other}
    return Result(job=job, points=points, passed=passed, **kept)  # type: ignore[arg-type]


def test_what_is_written_is_read_again_and_broken_lines_are_passed_over(tmp_path: Path) -> None:
    assert results.load(tmp_path) == ()
    first, second = result("a", 90), result("b", 40, passed=False, trainee="Zoë")
    assert results.add(first, tmp_path)
    with open(tmp_path / results.FILE_NAME, "a") as file:
        file.write('{"day": "2030-13-01"}\n[1\n7\n{"trainee": "Ana"\n\n')
        file.write('{"trainee":1,"job":"a","mode":"m","points":1,"passed":true,"day":"2030-01-01"}\n')
        file.write('{"trainee":"A","job":"a","mode":"m","points":true,"passed":true,"day":"2030-01-01"}\n')
    assert results.add(second, tmp_path)
    assert results.load(tmp_path) == (first, second)


def test_a_folder_that_cannot_be_written_to_is_no_reason_to_stop(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    assert not results.add(result("a", 90), tmp_path / "file")


def test_the_best_is_one_that_passed_and_it_is_each_trainees_own() -> None:
    found = results.standings(
        [
            result("a", 95, passed=False),
            result("a", 84),
            result("a", 81, day=DAY + timedelta(days=5)),
            result("a", 100, trainee="Ben"),
            result("b", 20, passed=False, trainee=" ANA "),
        ],
        "Ana",
    )
    assert found["a"] == Standing(result("a", 84), DAY + timedelta(days=5))
    assert found["b"].last_pass is None
    assert not found["b"].due(DAY + 9 * REFRESH_AFTER)
    assert not found["a"].due(DAY + REFRESH_AFTER)
    assert found["a"].due(DAY + timedelta(days=5) + REFRESH_AFTER)


def test_sign_off_counts_different_jobs_passed_in_check_out() -> None:
    done = [result("a", 90), result("a", 95), result("b", 90, mode="practice"), result("c", 70, passed=False)]
    assert results.signed_for(done, "ana") == 1
    assert results.signed_for([*done, result("b", 90)], "Ana") == 2
    assert results.signed_for(done, "Ben") == 0


def test_the_lesson_of_the_hands_counts_for_no_sign_off() -> None:
    assert results.signed_for([result(results.LESSON, 100)], "Ana") == 0
    assert results.signed_for([result(results.LESSON, 100), result("a", 90)], "Ana") == 1
