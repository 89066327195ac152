"""Kill -9 a day's work at random moments and run it again: nothing may be lost or doubled.

    python tests/bench/kill_points.py [--points 200] [--seed 1] [--minutes 60]

Each point: a new home, the work of `tests/faults/day.py` in a forked process, SIGKILL after a random
time between its first and its last moment, sometimes a second kill during the repair run, then one
undisturbed run whose record must equal that of a day without kills. The database must be whole right
after the kill, and whatever the person was told is confirmed must be there.
"""

import argparse
import os
import random
import shutil
import signal
import sqlite3
import sys
import tempfile
import time
from collections import Counter
from contextlib import closing
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1] / "faults"))
import day


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--points", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--minutes", type=float, default=60, help="Stop early after this time.")
    asked = parser.parse_args()
    rng = random.Random(asked.seed)
    stages: Counter[str] = Counter()
    faults: list[str] = []
    with tempfile.TemporaryDirectory() as folder:
        whole = Path(folder, "whole")
        began = time.monotonic()
        _child(whole, None)
        longest = time.monotonic() - began
        expected = day.state(whole)
        done = 0
        for point in range(asked.points):
            if time.monotonic() - began > asked.minutes * 60:
                break
            done += 1
            home = Path(folder, f"point{point}")
            for _ in range(rng.choice((1, 1, 2))):
                killed = _child(home, rng.uniform(0, longest))
                stages[_stage(home) if killed else "finished before the kill"] += 1
                faults += [f"point {point}: {fault}" for fault in _damage(home)]
            _child(home, None)
            found = day.state(home)
            if found != expected:
                faults.append(f"point {point}: {found} is not {expected}")
            shutil.rmtree(home)
    print(f"{done} points, {sum(stages.values())} kills or ends; where they fell: {dict(stages)}")
    print(f"faults: {len(faults)}", *faults[:10], sep="\n")
    sys.exit(1 if faults else 0)


def _child(home: Path, kill_after: float | None) -> bool:
    """Run the day in a forked process; true when it was killed by us."""
    child = os.fork()
    if child == 0:
        try:
            home.mkdir(exist_ok=True)
            day.run_day(home)
        except BaseException as error:
            print(repr(error), file=sys.stderr)
            os._exit(1)
        os._exit(0)
    if kill_after is not None:
        time.sleep(kill_after)
        os.kill(child, signal.SIGKILL)
    status = os.waitpid(child, 0)[1]
    if os.WIFSIGNALED(status):
        return True
    if os.WEXITSTATUS(status):
        raise SystemExit("the day itself failed")
    return False


def _stage(home: Path) -> str:
    """How far the work had come."""
    if not (home / "record.db").exists():
        return "before the database"
    with closing(sqlite3.connect(home / "record.db")) as plain:
        try:
            clips, notes, waiting, entries = (
                plain.execute(f"SELECT count(*) FROM {what}").fetchone()[0]
                for what in ("clip", "note", "entry WHERE state = 'waiting'", "entry")
            )
        except sqlite3.OperationalError:
            return "migration"
    if clips < len(day.SAYS):
        return "taking in"
    if notes < len(day.SAYS):
        return "hearing"
    if waiting or not entries:
        return "reading or confirming"
    return "export or backup"


def _damage(home: Path) -> list[str]:
    if not (home / "record.db").exists():
        return []
    with closing(sqlite3.connect(home / "record.db")) as plain:
        faults = [row[0] for row in plain.execute("PRAGMA integrity_check") if row[0] != "ok"]
        told = (home / "told.txt").read_text().split() if (home / "told.txt").exists() else []
        for entry in told:
            row = plain.execute("SELECT state FROM entry WHERE id = ?", (int(entry),)).fetchone()
            if row != ("confirmed",):
                faults.append(f"entry {entry} was told confirmed and is {row}")
    return faults


if __name__ == "__main__":
    main()
