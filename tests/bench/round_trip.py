"""Say and read back: sampled notes must give their own entries; no word list may raise.

Of the random lists it also prints how long a parse took: CPU milliseconds, so that other work on
the machine does not matter.

python tests/bench/round_trip.py [notes=100000] [lists=1000000] [seed=1]
"""

import random
import sys
import time
from array import array

from grammar import as_json, parse, sample_note, vocabulary
from grammar.say.sample import essence

SHOWN_MAX = 10


def round_trips(count, seed):
    """Return how many sampled notes do not come back as they were meant; show the first."""
    rng = random.Random(seed)
    wrong = 0
    for _ in range(count):
        said = sample_note(rng)
        got = [essence(entry) for entry in as_json(parse(said.words))["entries"]]
        if got != list(said.entries):
            wrong += 1
            if wrong <= SHOWN_MAX:
                print(" ".join(said.words), f"\n  meant {list(said.entries)}\n  read  {got}")
    return wrong


def random_lists(count, seed):
    """Parse random word lists of 1 to 12 words; return how many raised, and the times of all, sorted."""
    rng = random.Random(seed)
    words = [*sorted(vocabulary()), "[unk]", "banana", "412", ""]
    raised = 0
    took = array("f")
    for _ in range(count):
        heard = rng.choices(words, k=rng.randint(1, 12))
        start = time.process_time_ns()
        try:
            as_json(parse(heard))
        except Exception as error:
            raised += 1
            if raised <= SHOWN_MAX:
                print(repr(error), heard)
        took.append((time.process_time_ns() - start) / 1e6)
    return raised, sorted(took)


def main():
    notes, lists, seed = (
        int(x) for x in (*sys.argv[1:], *("100000", "1000000", "1")[len(sys.argv) - 1 :])
    )
    start = time.process_time()
    print(f"{round_trips(notes, seed)} of {notes:,} sampled notes did not round-trip "
          f"({time.process_time() - start:.0f} s CPU)", flush=True)  # fmt: skip
    if lists:
        raised, took = random_lists(lists, seed)
        half, most = took[lists // 2], took[lists * 999 // 1000]
        print(f"{raised} of {lists:,} random word lists raised ({sum(took) / 1000:.0f} s CPU; "
              f"median {half:.2f} ms, 99.9th percentile {most:.2f} ms, worst {took[-1]:.2f} ms)")  # fmt: skip


if __name__ == "__main__":
    main()
