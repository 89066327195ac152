"""Random lives of a herd: `python tests/bench/herd_histories.py [--lives 500] [--steps 30] [--seed 1]`.

Lists, wrong lists taken back, lists of the past, swaps of numbers, notes, corrections, moves, joined
animals and undo, in any order; after every step each animal's history must be whole
(`tests/properties/test_histories.py`). Ends with the falsifying sequence if one is found.
"""

import argparse
import sys
import time
from collections import Counter
from pathlib import Path

from hypothesis import HealthCheck, Phase, seed, settings
from hypothesis.stateful import invariant, run_state_machine_as_test

sys.path.insert(0, str(Path(__file__).parents[2]))
from tests.properties.test_histories import Herd


def main() -> None:
    """Play them and print how many steps there were."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--lives", type=int, default=500)
    asked.add_argument("--steps", type=int, default=30)
    asked.add_argument("--seed", type=int, default=1)
    wanted = asked.parse_args()
    begun, steps = time.monotonic(), Counter[str]()

    @seed(wanted.seed)
    class Counted(Herd):
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
