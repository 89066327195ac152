"""Every command with every hostile argument: `python tests/bench/fuzz_commands.py [--only herd]`.

Prints each kind of fault once with the first command line that showed it. Ends with code 1 if any.
"""

import argparse
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "fuzz")]
from commands import SECONDS, all_cases, fault_in, fill_folder, leaves, sample  # noqa: E402
from running import ran  # noqa: E402


def main() -> None:
    """Try them all, or some."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", nargs="*", help="First words of commands.")
    parser.add_argument("--each", type=int, help="Cases tried of each command; all by default.")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    begun, tried, seen, slowest = time.monotonic(), 0, Counter[str](), (0.0, "")
    with tempfile.TemporaryDirectory() as top:
        folder = Path(top, "nothing else", "here")  # `..` must not be the computer's own files
        folder.mkdir(parents=True)
        fill_folder(folder)
        for words, command in leaves():
            if asked.only and not any(" ".join(words).startswith(one) for one in asked.only):
                continue
            cases = list(all_cases(words, command))
            for case in sample(cases, asked.each, asked.seed) if asked.each else cases:
                code, err, seconds = ran(folder, case)
                tried += 1
                slowest = max(slowest, (seconds, str(case)))
                if fault := fault_in(code, err):
                    if not seen[f"{case.command}: {fault}"]:
                        print(f"{case}\n    {fault}", flush=True)
                    seen[f"{case.command}: {fault}"] += 1
            print(f"{' '.join(words)}: {tried} so far", flush=True)
    print(
        f"{tried} command lines, {sum(seen.values())} faults of {len(seen)} kinds, "
        f"slowest {slowest[0]:.1f} s ({slowest[1]}), {time.monotonic() - begun:.0f} s; limit {SECONDS} s"
    )
    sys.exit(1 if seen else 0)


if __name__ == "__main__":
    main()
