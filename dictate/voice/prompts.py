"""What to read aloud: few short notes that hold the trade's sounds, numbers and words worth knowing.

Sampled notes, runs of number words and the roster's own numbers are the choices; a greedy solver of
the set-cover problem takes, again and again, the one that adds most for its length (Chvatal 1979;
for speech corpora van Santen and Buchsbaum 1997).
"""

import itertools
import random
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from dictate.voice.sounds import sounds_of
from grammar import sample_note

_NUMBERS = (
    "zero oh one two three four five six seven eight nine ten eleven twelve thirteen fourteen "
    "fifteen sixteen seventeen eighteen nineteen twenty thirty forty fifty sixty seventy eighty "
    "ninety hundred double triple"
).split()
_CONFUSED = (
    "thirteen thirty fourteen forty fifteen fifty sixteen sixty seventeen seventy eighteen eighty "
    "nineteen ninety five nine inner outer hind front left right toe heel sole wall"
).split()
"""Words that are taken for each other most; common practice for numbers, the rest from the review."""
_SAMPLED, _RUNS = 500, 120
_LONGEST = 12
"""Words of a prompt; longer ones are read badly."""
_REMARK = "remark"
"""What follows it is anything, and no note."""
_WORTH = {"word": 2.0, "number": 3.0, "own": 3.0, "confused": 2.0, "sounds": 1.0, "roster": 24.0}
_OFTEN = {"word": 1, "number": 3, "own": 3, "confused": 3, "sounds": 2, "roster": 5}
"""How often each is worth reading, by kind; `sounds` are two phones after each other, `roster` a
number of the person's own rosters."""


def choose_prompts(
    count: int = 30,
    *,
    numbers: Sequence[Sequence[str]] = (),
    used: Mapping[str, int] | None = None,
    seed: int = 0,
) -> list[str]:
    """Choose prompts, the most useful first.

    Args:
        count: how many.
        numbers: numbers of this person's rosters, as words.
        used: words of this person's notes, with how often each came.
        seed: another one gives other prompts.
    """
    rng = random.Random(seed)
    choices = list(dict.fromkeys(_choices(rng, numbers)))
    own = {word for word, times in (used or {}).items() if times > 1}
    holds = {choice: Counter(_holds(choice, own)) for choice in choices}
    for number in _of_roster(numbers):
        holds.setdefault(number, Counter())["roster", "number"] += 1
    have: Counter[tuple[str, str]] = Counter()
    chosen: list[str] = []
    while choices and len(chosen) < count:
        best = max(choices, key=lambda choice: _gain(holds[choice], have) / (3 + len(choice)))
        choices.remove(best)
        have += holds[best]
        chosen.append(" ".join(best))
    return chosen


def _choices(rng: random.Random, numbers: Sequence[Sequence[str]]) -> Iterator[tuple[str, ...]]:
    for _ in range(_SAMPLED):
        yield from _fit(tuple(sample_note(rng).words))
    for _ in range(_RUNS):
        yield from _fit(tuple(rng.sample(_NUMBERS, rng.choice([4, 5, 6]))))
    yield from _of_roster(numbers)


def _of_roster(numbers: Sequence[Sequence[str]]) -> Iterator[tuple[str, ...]]:
    for number in numbers:
        yield from _fit(("cow", *number))


def _fit(words: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    _, unknown = sounds_of(words)
    if 2 <= len(words) <= _LONGEST and not unknown and _REMARK not in words:
        yield words


def _holds(words: tuple[str, ...], own: set[str]) -> Iterator[tuple[str, str]]:
    sounded, _ = sounds_of(words)
    phones = [phone for ways in sounded for phone in ways[0]]
    yield from (("sounds", f"{a} {b}") for a, b in itertools.pairwise(phones))
    for word in words:
        yield "word", word
        if word in _NUMBERS:
            yield "number", word
        if word in own:
            yield "own", word
        if word in _CONFUSED:
            yield "confused", word


def _gain(holds: Counter[tuple[str, str]], have: Counter[tuple[str, str]]) -> float:
    return sum(
        _WORTH[kind] * max(0, min(times, _OFTEN[kind] - have[kind, what]))
        for (kind, what), times in holds.items()
    )
