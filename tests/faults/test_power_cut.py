"""The power goes at any moment of a day: the record opens, is whole, and keeps all that was told.

The writes of a real day are noted and played to a modelled disk that loses, keeps or tears what was
not synced; `tests/bench/power_cuts.py` plays thousands.
"""

import random
import shutil
import sys
from pathlib import Path

import pytest

from tests.bench.power_cuts import LOST, told_before
from tests.faults import day
from tests.faults.power.check import faults_after
from tests.faults.power.cuts import Disk, Noted, moments, noted_day

pytestmark = pytest.mark.skipif(
    sys.platform != "linux" or shutil.which("cc") is None, reason="notes writes by a C library"
)


@pytest.fixture(scope="module")
def a_day(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[Noted]]:
    top = tmp_path_factory.mktemp("power")
    home = top / "home"
    return home, noted_day(home, Path(day.__file__), top)


def _cuts(home: Path, notes: list[Noted], there: Path, count: int) -> list[str]:
    rng, faults = random.Random(3), []
    for at, place in enumerate(rng.choices(moments(notes), k=count)):
        disk = Disk()
        for one in notes[:place]:
            disk.play(one)
        left = there / str(at)
        disk.cut(home, left, rng, lost=LOST[at % len(LOST)])
        try:
            faults += faults_after(left, told_before(notes[:place], home))
        except Exception as error:
            faults.append(repr(error))
    return faults


def test_whatever_the_disk_lost(a_day: tuple[Path, list[Noted]], tmp_path: Path) -> None:
    """Sound, record, backups and exports are whole, and nobody was told of what is gone."""
    home, notes = a_day
    assert [] == _cuts(home, notes, tmp_path, 24)


def test_the_model_finds_what_was_never_synced(
    a_day: tuple[Path, list[Noted]], tmp_path: Path
) -> None:
    """The same day without its syncs breaks: the model is no test that cannot fail."""
    home, notes = a_day
    careless = [one for one in notes if one.what not in "SD"]
    assert _cuts(home, careless, tmp_path, 24)


def test_what_a_synced_day_leaves_is_the_day(
    a_day: tuple[Path, list[Noted]], tmp_path: Path
) -> None:
    """Played to the end with nothing lost, the disk holds every file as it is."""
    home, notes = a_day
    disk = Disk()
    for one in notes:
        disk.play(one)
    disk.cut(home, tmp_path / "left", random.Random(1), lost=0.0)

    files = {path.relative_to(home) for path in home.rglob("*") if path.is_file()}
    assert files == {p.relative_to(tmp_path / "left") for p in (tmp_path / "left").rglob("*") if p.is_file()}  # fmt: skip
    for name in files:
        assert (home / name).read_bytes() == (tmp_path / "left" / name).read_bytes(), name
