"""Plays power cuts of a day's work: `python tests/bench/power_cuts.py [--cuts 2000] [--seed 1]`.

The day of `tests/faults/day.py` runs once, and everything that it does to its home folder is noted.
Then a disk is played up to a moment by chance, what is not sure is lost, kept or torn, and the home
that is left is opened and checked (`tests/faults/power/check.py`); one in twenty is run to the end of
its day and compared with a day without cuts. Needs Linux on x86-64 and a C compiler.
"""

import argparse
import random
import shutil
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
from tests import forked
from tests.faults import day
from tests.faults.power.check import faults_after
from tests.faults.power.cuts import Disk, Noted, moments, noted_day

LOST = (1.0, 0.0, 0.5, 0.9)
"""Shares of what is not sure that are gone, in turn."""
_FINISHED = 20


def main() -> None:
    """Print what was tried and each kind of fault."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--cuts", type=int, default=2000)
    asked.add_argument("--seed", type=int, default=1)
    wanted = asked.parse_args()
    begun, faults, finished = time.monotonic(), Counter[str](), 0
    rng = random.Random(wanted.seed)
    with tempfile.TemporaryDirectory() as top:
        home = Path(top, "home")
        notes = noted_day(home, Path(day.__file__), Path(top))
        expected = day.state(home)
        places = sorted(rng.choices(moments(notes), k=wanted.cuts))
        disk, played = Disk(), 0
        for at, place in enumerate(places):
            for one in notes[played:place]:
                disk.play(one)
            played = place
            left = Path(top, "left", "home")
            shutil.rmtree(left.parent, ignore_errors=True)
            disk.cut(home, left, rng, lost=LOST[at % len(LOST)])
            found = faults_after(left, told_before(notes[:place], home))
            if not found and at % _FINISHED == 0:
                finished += 1
                found = _run_on(left, expected)
            for fault in found:
                if not faults[fault]:
                    print(f"after {place} of {len(notes)} writes, lost {LOST[at % len(LOST)]}: {fault}", flush=True)  # fmt: skip
                faults[fault] += 1
    print(
        f"{wanted.cuts} cuts among {len(notes)} writes and syncs, {finished} run on to the end: "
        f"{sum(faults.values())} faults; {time.monotonic() - begun:.0f} s"
    )
    sys.exit(1 if faults else 0)


def told_before(notes: list[Noted], home: Path) -> set[int]:
    """The entries that the person was told are confirmed by then."""
    place = str(home / "told.txt").encode()
    files = [one.file for one in notes if one.what == "C" and one.data == place]
    text = b"".join(one.data for one in notes if one.what == "W" and one.file in files)
    return {int(line) for line in text.split()}


def _run_on(home: Path, expected: dict[str, object]) -> list[str]:
    (home / "told.txt").unlink(missing_ok=True)
    forked.ended(forked.started(day.run_day, home), 300)
    found = day.state(home)
    return [] if found == expected else [f"run on: {found} is not {expected}"]


if __name__ == "__main__":
    main()
