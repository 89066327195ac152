"""Every command with every hostile argument: `python tests/bench/fuzz_commands.py [--only herd]`.

Each command line runs in a fork of this process, which has loaded everything; of each command some
also run in an interpreter of their own, and must end alike. Prints each kind of fault once with the
first command line that showed it. Ends with code 1 if any.
"""

import os

os.environ |= dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), "1")

import argparse
import random
import sys
import tempfile
import threading
import time
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "fuzz")]
from commands import SECONDS, all_cases, fault_in, fill_folder, leaves, sample  # noqa: E402
from running import load_everything, ran_alone, ran_in_fork  # noqa: E402


def main() -> None:
    """Try them all, or some."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", nargs="*", help="First words of commands.")
    parser.add_argument("--each", type=int, help="Cases tried of each command; all by default.")
    parser.add_argument("--alone", type=int, default=2, help="Of each, in a process of their own.")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    begun, tried, alone, seen, slowest = time.monotonic(), 0, 0, Counter[str](), (0.0, "")
    commands = list(leaves())
    load_everything()
    assert threading.active_count() == 1, threading.enumerate()
    rng = random.Random(asked.seed)
    shared = "/dev/shm" if Path("/dev/shm").is_dir() else None
    with tempfile.TemporaryDirectory(dir=shared) as top:
        folder = Path(top, "nothing else", "here")  # `..` must not be the computer's own files
        folder.mkdir(parents=True)
        fill_folder(folder)

        def note(case: object, name: str, fault: str) -> None:
            if not seen[f"{name}: {fault}"]:
                print(f"{case}\n    {fault}", flush=True)
            seen[f"{name}: {fault}"] += 1

        for words, command in commands:
            if asked.only and not any(" ".join(words).startswith(one) for one in asked.only):
                continue
            cases = list(all_cases(words, command))
            chosen = sample(cases, asked.each, asked.seed) if asked.each else cases
            also = set(rng.sample(range(len(chosen)), min(asked.alone, len(chosen))))
            for at, case in enumerate(chosen):
                code, err, seconds = ran_in_fork(folder, case)
                tried += 1
                slowest = max(slowest, (seconds, str(case)))
                if fault := fault_in(code, err):
                    note(case, case.command, fault)
                if at in also:
                    own, err, _ = ran_alone(folder, case)
                    alone += 1
                    if fault := fault_in(own, err):
                        note(case, case.command, f"alone: {fault}")
                    elif own != code:
                        note(case, case.command, f"ended with {code} in a fork, with {own} alone")
            print(f"{' '.join(words)}: {tried} so far", flush=True)
    print(
        f"{tried} command lines, {alone} of them also alone, {sum(seen.values())} faults of {len(seen)} "
        f"kinds, slowest {slowest[0]:.1f} s by the clock ({slowest[1]}), {time.monotonic() - begun:.0f} s; "
        f"limit {SECONDS} s of a processor"
    )
    sys.exit(1 if seen else 0)


if __name__ == "__main__":
    main()
