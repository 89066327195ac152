"""How fast notes are parsed: 10,000 notes, the spread up to 60 words, growth to 2,000 words.

    python tests/bench/parse_speed.py

CPU seconds of this process are counted, so that other work on the machine does not matter.
"""

import platform
import random
import statistics
import time

from grammar import parse, sample_note

WORDS_MAX = 60


def cpu_ms(words):
    """CPU milliseconds of one parse."""
    start = time.process_time_ns()
    parse(words)
    return (time.process_time_ns() - start) / 1e6


def notes(rng, count):
    """Sampled notes of at most WORDS_MAX words."""
    found = []
    while len(found) < count:
        words = sample_note(rng).words
        if words and len(words) <= WORDS_MAX:
            found.append(words)
    return found


def long_note(rng, length):
    """One note of exactly `length` words, all to be read: no remark, which ends the reading."""
    words = []
    while len(words) < length:
        said = sample_note(rng).words
        words += said if "remark" not in said else ()
    return words[:length]


def main():
    rng = random.Random(1)
    parse(("cow", "one"))
    sample = notes(rng, 10_000)
    start = time.process_time()
    times = sorted(cpu_ms(words) for words in sample)
    total = time.process_time() - start
    print(f"{platform.python_implementation()} {platform.python_version()}, {platform.machine()}")
    print(f"10,000 notes ({statistics.mean(map(len, sample)):.1f} words on average): {total:.1f} s")
    print(
        f"median {statistics.median(times):.2f} ms, 99th percentile {times[9_900]:.2f} ms, worst {times[-1]:.2f} ms"
    )
    lengthy = [long_note(rng, WORDS_MAX) for _ in range(500)]
    times = sorted(cpu_ms(words) for words in lengthy)
    print(
        f"notes of 60 words: median {statistics.median(times):.2f} ms, 99th percentile {times[495]:.2f} ms"
    )
    for length in (125, 250, 500, 1000, 2000):
        rows = [long_note(rng, length) for _ in range(7)]
        ms = statistics.median(cpu_ms(words) for words in rows)
        print(f"{length:>5} words: {ms:7.2f} ms, {1000 * ms / length:6.1f} us a word")


if __name__ == "__main__":
    main()
