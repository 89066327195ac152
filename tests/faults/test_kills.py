"""Kill -9 in the middle of a day's work, a few times; `tests/bench/kill_points.py` does it 200 times."""

import signal
import time
from pathlib import Path

import day
import pytest
from forked import ended, started


@pytest.fixture(scope="module")
def undisturbed(tmp_path_factory: pytest.TempPathFactory) -> dict:
    home = tmp_path_factory.mktemp("whole")
    day.run_day(home)
    return day.state(home)


@pytest.mark.parametrize("after", ["record.db", "sounds/*/*", "told.txt", "out", "backups/.part-*"])
def test_killed_and_run_again(tmp_path: Path, undisturbed: dict, after: str) -> None:
    """A kill soon after each stage has left its first file: the next run ends with the same record."""
    work = started(day.run_day, tmp_path)
    while not list(tmp_path.glob(after)) and work.is_alive():
        time.sleep(0.002)
    work.kill()
    status = ended(work)

    day.run_day(tmp_path)

    assert status == -signal.SIGKILL or after == "backups/.part-*", "the work ended before the kill"
    assert undisturbed == day.state(tmp_path)


def test_the_check_can_fail(tmp_path: Path, undisturbed: dict) -> None:
    """A lost clip shows in what the tests compare."""
    day.run_day(tmp_path)
    next((tmp_path / "sounds").glob("??/*")).unlink()

    assert undisturbed != day.state(tmp_path)
