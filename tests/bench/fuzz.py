"""Try many harmed inputs on every way in, for a night or a minute; report counts and crashes.

    python tests/bench/fuzz.py [--seconds 60] [--tries COUNT] [--seed 1] [--jobs 1] [--only NAME …]

Each target gets its share of the time, in one process of its own or several (`--jobs`), or ends before
it with its COUNT of inputs, which are the same on every machine. Stopped by SIGTERM it reports what it
has tried so far. A crash is an error that was
not promised, the end of the process, or an input that takes ten seconds of the processor; the first of its
kind is written to `tests/fuzz/crashes/`, where the tests try it from then on. Ends with code 1 when
there was one.
"""

import argparse
import hashlib
import itertools
import logging
import math
import mmap
import multiprocessing
import os
import random
import resource
import signal
import sys
import threading
import time
import traceback
import warnings
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1] / "fuzz"))
from targets import CRASHES, TARGETS, Target, forget_folder, mutated, own_folder

_SLOW_S = 10
_MEMORY = 8 * 2**30
_INPUT_MAX = 2**20


@dataclass(slots=True, kw_only=True)
class Outcome:
    """What trying one target gave."""

    tried: int = 0
    taken: int = 0
    crashes: dict[str, str] = field(default_factory=dict)
    """What was said, by kind."""


class TooSlowError(Exception):
    """An input took too long."""


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--tries", type=int, help="Inputs of each target, where the time allows.")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=1, help="Processes at once.")
    parser.add_argument("--only", nargs="*", help="Names of targets; none means all.")
    asked = parser.parse_args()
    warnings.simplefilter("ignore")
    logging.disable(logging.CRITICAL)
    chosen = [target for target in TARGETS if not asked.only or target.name in asked.only]
    seeds = {}
    for target in chosen:  # once, and not in each process
        seeds[target.name] = [*target.seeds(), *target.crashes()]
        target.try_one(seeds[target.name][0])  # what is tried imports its modules first
    outcomes = {target.name: Outcome() for target in chosen}

    def stopped(_number: int, _frame: Any) -> None:
        for child in multiprocessing.active_children():
            child.kill()
        _report(outcomes)
        os._exit(1)  # the threads would begin again

    signal.signal(signal.SIGTERM, stopped)
    with ThreadPoolExecutor(asked.jobs) as pool:
        parts = [
            pool.submit(
                _apart, target, seeds[target.name], outcomes[target.name],
                seconds=share, tries=asked.tries, seed=seed,
            )
            for target, share, seed in _parts(chosen, asked.seconds, asked.jobs, str(asked.seed))
        ]  # fmt: skip
    for part in parts:
        part.result()
    _report(outcomes)
    forget_folder()
    sys.exit(any(outcome.crashes for outcome in outcomes.values()))


def _report(outcomes: dict[str, Outcome]) -> None:
    for name, one in outcomes.items():
        print(
            f"{name}: {one.tried:,} tried, {one.taken:,} taken, {len(one.crashes)} kinds of crash"
        )
        for kind, said in one.crashes.items():
            print(f"    {kind}\n        {said}")
    print(f"{sum(outcome.tried for outcome in outcomes.values()):,} in all", flush=True)


def _parts(
    chosen: Sequence[Target], seconds: float, jobs: int, seed: str
) -> list[tuple[Target, float, str]]:
    """What each process tries: a target, seconds and the seed of its faults; the longest first."""
    each = jobs / sum(target.share for target in chosen)
    found = []
    for target in chosen:
        count = max(1, math.ceil(each * target.share - 0.25))
        found += [
            (target, seconds * each * target.share / count, seed if not at else f"{seed}.{at}")
            for at in range(count)
        ]
    return sorted(found, key=lambda part: -part[1])


def _apart(
    target: Target,
    seeds: list[bytes],
    outcome: Outcome,
    *,
    seconds: float,
    tries: int | None,
    seed: str,
) -> None:
    """Fuzz in a process of its own, and begin again after an input that ended it; add to `outcome`."""
    tried = 0
    until = time.monotonic() + seconds
    context = multiprocessing.get_context("fork")
    rounds = 0
    while (left := until - time.monotonic()) > 0 and (tries is None or tried < tries):
        last = mmap.mmap(-1, _INPUT_MAX + 4)
        ours, theirs = context.Pipe(duplex=False)
        more = None if tries is None else tries - tried
        child = context.Process(
            target=_fuzz, args=(target, seeds, left, more, f"{seed}-{rounds}", last, theirs)
        )
        child.start()
        theirs.close()
        while child.is_alive() or ours.poll():
            if ours.poll(0.2):
                try:
                    part = ours.recv()
                    tried += part.tried
                    _add(outcome, part)
                except EOFError:
                    break
        child.join()
        rounds += 1
        if child.exitcode != 0:
            size = int.from_bytes(last[:4], "little")
            said = f"the process ended with {child.exitcode}"
            _note(outcome, target, said, last[4 : 4 + size], "")


_ADDING = threading.Lock()


def _add(total: Outcome, part: Outcome) -> None:
    with _ADDING:  # several processes may try one target
        total.tried += part.tried
        total.taken += part.taken
        total.crashes |= part.crashes


def _fuzz(
    target: Target,
    seeds: list[bytes],
    seconds: float,
    tries: int | None,
    seed: str,
    last: mmap.mmap,
    answer: Any,
) -> None:
    """Try harmed seeds until the time or the tries are over; tell every second how far it came."""
    resource.setrlimit(resource.RLIMIT_AS, (_MEMORY, _MEMORY))
    until = time.monotonic() + seconds
    rng = random.Random(seed)
    own_folder()
    part, told = Outcome(), time.monotonic()
    for _ in itertools.count() if tries is None else range(tries):
        if (moment := time.monotonic()) >= until:
            break
        if moment - told > 1:
            answer.send(part)
            part, told = Outcome(), moment
        data = mutated(rng, seeds)
        last[: 4 + len(data)] = len(data).to_bytes(4, "little") + data
        part.tried += 1
        try:
            with _alarm():
                part.taken += target.try_one(data)
        except Exception as error:
            at = traceback.extract_tb(error.__traceback__)[-1]
            kind = f"{type(error).__name__} at {Path(at.filename).name}:{at.lineno}"
            _note(part, target, kind, data, str(error)[:200])
    answer.send(part)
    answer.close()
    forget_folder()
    os._exit(0)  # forked from a thread: nothing of the parent is to be tidied up here


@contextmanager
def _alarm() -> Iterator[None]:
    def too_slow(_number: int, _frame: Any) -> None:
        raise TooSlowError(f"took more than {_SLOW_S} s of the processor")

    signal.signal(signal.SIGPROF, too_slow)
    signal.setitimer(signal.ITIMER_PROF, _SLOW_S)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)


def _note(outcome: Outcome, target: Target, kind: str, data: bytes, said: str) -> None:
    if kind in outcome.crashes:
        return
    outcome.crashes[kind] = said
    kept = CRASHES / f"{target.name}-{hashlib.sha256(kind.encode()).hexdigest()[:8]}"
    if not kept.exists():
        kept.write_bytes(data)


if __name__ == "__main__":
    main()
