"""Try many harmed inputs on every way in, for a night or a minute; report counts and crashes.

    python tests/bench/fuzz.py [--seconds 60] [--seed 1] [--only NAME]

Each target gets the same share of the time. A crash is written to `tests/fuzz/crashes/` (first of its
kind only), where the tests try it from then on; the exit code is 1 when there was one.
"""

import argparse
import hashlib
import logging
import random
import sys
import time
import traceback
import warnings
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "fuzz"))
from targets import CRASHES, TARGETS, Target, mutated  # noqa: E402


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only")
    asked = parser.parse_args()
    warnings.simplefilter("ignore")
    logging.disable(logging.CRITICAL)
    chosen = [target for target in TARGETS if asked.only in (None, target.name)]
    crashes = total = 0
    for target in chosen:
        tried, taken, found = _fuzz(target, asked.seconds / len(chosen), asked.seed)
        crashes, total = crashes + len(found), total + tried
        print(
            f"{target.name}: {tried} tried, {taken} taken, {len(found)} kinds of crash", flush=True
        )
        for kind, where in found.items():
            print(f"    {kind}\n        {where}", flush=True)
    print(f"{total} in all")
    sys.exit(1 if crashes else 0)


def _fuzz(target: Target, seconds: float, seed: int) -> tuple[int, int, dict[str, str]]:
    rng = random.Random(seed)
    seeds = target.seeds()
    tried = taken = 0
    found: dict[str, str] = {}
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        data = mutated(rng, seeds)
        tried += 1
        try:
            taken += target.try_one(data)
        except Exception as error:
            last = traceback.extract_tb(error.__traceback__)[-1]
            kind = f"{type(error).__name__} at {Path(last.filename).name}:{last.lineno}"
            if kind not in found:
                found[kind] = str(error)[:200]
                CRASHES.mkdir(exist_ok=True)
                name = hashlib.sha256(data).hexdigest()[:8]
                (CRASHES / f"{target.name}-{name}").write_bytes(data)
    return tried, taken, found


if __name__ == "__main__":
    main()
