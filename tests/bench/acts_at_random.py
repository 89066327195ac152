"""Plays random sequences of acts on queues, and names each that breaks what must hold.

    python tests/bench/acts_at_random.py 10000 [FIRST_SEED]

What holds is asserted after every act by `tests/properties/acts_at_random.py`: carrying notes agree,
untouched notes read as they stand, the history replays, the record is what is confirmed, and undoing
everything gives the first state. Each sequence has its own visit and farm; a seed plays the same again.
"""

import random
import sys
import tempfile
import time
from pathlib import Path

from dictate.settings import Settings
from dictate.store.database import open_database

sys.path.insert(0, str(Path(__file__).parents[2]))
from tests.properties.acts_at_random import make_day, play

STEPS = 10
_MEMORY = "/dev/shm" if Path("/dev/shm").is_dir() else None
"""Nothing is tested of disks here, and ten commits a sequence wait for them long."""
A_DATABASE = 50
"""Sequences in one database, so that its tables stay small."""


def main() -> None:
    count, first = int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 0
    began, acts, faults = time.monotonic(), 0, 0
    for start in range(first, first + count, A_DATABASE):
        with tempfile.TemporaryDirectory(dir=_MEMORY) as folder:
            settings = Settings(home=Path(folder), trimmer="Robin Field")
            with open_database(settings.database_url) as database:
                for seed in range(start, min(start + A_DATABASE, first + count)):
                    day = make_day(database, settings, random.Random(seed), seed)
                    try:
                        play(day, STEPS)
                    except AssertionError as fault:
                        faults += 1
                        print(f"seed {seed}: {str(fault).splitlines()[0]}", flush=True)
                    acts += day.steps
        print(
            f"{start + A_DATABASE - first} sequences, {acts} acts, {faults} faults,"
            f" {time.monotonic() - began:.0f} s", flush=True,
        )  # fmt: skip
    sys.exit(1 if faults else 0)


if __name__ == "__main__":
    main()
