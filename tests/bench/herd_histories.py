"""Random lives of a herd: `python tests/bench/herd_histories.py [--lives 500] [--steps 30] [--seed 1]`.

Lists, wrong lists taken back, lists of the past, swaps of numbers, notes, corrections, moves, joined
animals and undo, in any order; after every step each animal's history must be whole
(`tests/properties/test_histories.py`). Ends with the falsifying sequence if one is found. With
`--postgres` each life is kept in a database of a PostgreSQL of its own, where keys are as wide as
they are declared; its counters begin at 3,000,000,000 in the tables that grow without end.
"""

import argparse
import itertools
import sys
import time
from collections import Counter
from contextlib import nullcontext
from pathlib import Path

from hypothesis import HealthCheck, Phase, seed, settings
from hypothesis.stateful import invariant, run_state_machine_as_test

sys.path[:0] = [
    str(Path(__file__).parents[2]),
    str(Path(__file__).parents[1] / "dictate" / "store"),
]
from postgres_cluster import count_far_on, new_database, running_cluster  # noqa: E402

from tests.properties.test_histories import Herd  # noqa: E402


def main() -> None:
    """Play them and print how many steps there were."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--lives", type=int, default=500)
    asked.add_argument("--steps", type=int, default=30)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--postgres", action="store_true")
    wanted = asked.parse_args()
    with running_cluster() if wanted.postgres else nullcontext("") as cluster:
        _play(wanted, cluster)


def _play(wanted: argparse.Namespace, cluster: str) -> None:
    begun, steps, lives = time.monotonic(), Counter[str](), itertools.count()

    @seed(wanted.seed)
    class Counted(Herd):
        def address(self) -> str:
            if not cluster:
                return super().address()
            url = new_database(cluster, f"life{next(lives)}")
            count_far_on(url)
            return url

        @invariant()
        def a_step_was_checked(self) -> None:
            steps["checked"] += 1

    run_state_machine_as_test(  # type: ignore[no-untyped-call]
        Counted,
        settings=settings(
            max_examples=wanted.lives, stateful_step_count=wanted.steps, deadline=None, database=None,
            suppress_health_check=list(HealthCheck), phases=(Phase.generate,),
        ),
    )  # fmt: skip
    print(
        f"{wanted.lives} lives, {steps['checked']} steps checked, no fault;"
        f" {time.monotonic() - begun:.0f} s"
    )


if __name__ == "__main__":
    main()
