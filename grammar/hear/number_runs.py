"""Where numbers stand among the words, and where one number ends and the next begins."""

import itertools
from collections.abc import Sequence

from grammar.hear.identifiers import identifier_readings
from grammar.hear.quantities import counted_on, quantity_prefix, quantity_suffix
from grammar.lexicon.schema import Numbers

SMALL_LIMITS = {
    "ZONE": 12,
    "M": 5,
    "GRADE": 10,
    "LOCOMOTION": 10,
    "SCORE": 10,
    "OUTOF": 10,
    "CONDITION": 10,
}
"""Cues that are followed by a small quantity, and the largest that is taken for one."""
_GROUPED_DIGITS = 2
_SINGLE_DIGITS = 3
"""The fewest digits of a number that a count may follow, said in groups and one by one."""
_REST = 2
"""Words of a number that is said behind a fraction: "two and a half | four twelve"."""
IDENTIFIER_CUES = frozenset({"ANIMAL", "ENDING"})
_SIGH = "oh"
Run = tuple[int, int]
"""First word and one past the last word of a stretch of number words."""


def _is_number(word: str, numbers: Numbers) -> bool:
    return (
        word.isdecimal()
        or word in numbers.digits
        or word in numbers.identifier_digits
        or word in numbers.quantity_digits
        or word in numbers.teens
        or word in numbers.tens
        or word in numbers.scales
        or word in numbers.repeats
        or word in numbers.fractions
        or word in numbers.points.words
    )


def find_runs(words: Sequence[str], free: Sequence[bool], numbers: Numbers) -> list[Run]:
    """Find the stretches of number words among the words that no term has taken.

    `and` joins after hundred or thousand ("four hundred and twelve") and before a fraction ("two
    and a half"); `a` belongs to a following hundred or thousand.
    """
    runs: list[Run] = []
    position = 0
    while position < len(words):
        if not _starts(words, free, position, numbers):
            position += 1
            continue
        first = position
        position = _run_end(words, free, first, numbers)
        while position > first + 1 and words[position - 1] in numbers.points.words:
            position -= 1
        position -= _ends_in_a_sigh(words, first, position, numbers)
        runs.append((first, position))
    return runs


def _ends_in_a_sigh(words: Sequence[str], first: int, end: int, numbers: Numbers) -> bool:
    """ "Two sixty eight, oh she's grand": behind a whole number, and before what is said of her."""
    after = words[end] if end < len(words) else ""
    sighed = end - first > 1 and words[end - 1] == _SIGH and after in numbers.behind_a_sigh.words
    return sighed and ends_a_number(words[first : end - 1], numbers)


def _starts(words: Sequence[str], free: Sequence[bool], at: int, numbers: Numbers) -> bool:
    word = words[at]
    after = words[at + 1] if at + 1 < len(words) and free[at + 1] else ""
    if not free[at] or word in numbers.points.words:
        return False
    if word == "a":
        return after in numbers.scales
    if word in numbers.ordinals:
        return _is_measured(words, at, numbers)
    return _is_number(word, numbers)


def _is_measured(words: Sequence[str], at: int, numbers: Numbers) -> bool:
    """Whether "third", "eighth" is a fraction here and no ordinal: "an eighth of an inch"."""
    ahead = [word for word in words[at + 1 : at + 4] if word not in ("of", "a", "an")]
    return words[at] in numbers.fractions and bool(ahead) and ahead[0] in numbers.units


def _run_end(words: Sequence[str], free: Sequence[bool], first: int, numbers: Numbers) -> int:
    position = first + 1
    while position < len(words) and free[position]:
        if words[position] in numbers.ordinals and not _is_measured(words, position, numbers):
            break
        if _is_number(words[position], numbers):
            position += 1
        elif words[position] == "and" and (step := _joined(words, free, position, numbers)):
            position += step
        else:
            break
    return position


def _joined(words: Sequence[str], free: Sequence[bool], at: int, numbers: Numbers) -> int:
    """Return how many words from `and` on belong to the number before it."""
    ahead = [words[i] if free[i] else "" for i in range(at + 1, min(at + 3, len(words)))]
    ahead += [""] * (2 - len(ahead))
    if words[at - 1] in numbers.scales and _is_number(ahead[0], numbers):
        return 2
    if ahead[0] in ("a", "one", *numbers.digits) and ahead[1] in numbers.fractions:
        return 3
    return 2 if ahead[0] in numbers.fractions else 0


def ends_a_number(words: Sequence[str], numbers: Numbers) -> bool:
    """Whether a whole animal number may end here, before a further digit that counts.

    "Four twelve", "nine oh six", "eighty six" may; "four hundred", "forty" or "double" wait for
    what follows, and of "seven oh" and "two two" the next digit is a part.
    """
    last = words[-1]
    if last == "and" or any(last in t for t in (numbers.tens, numbers.scales, numbers.repeats)):
        return False
    readings = identifier_readings(words, numbers)
    if not readings:
        return False
    grouped = not {*numbers.tens, *numbers.teens}.isdisjoint(words)
    return len(readings[0]) >= (_GROUPED_DIGITS if grouped else _SINGLE_DIGITS)


def cut_run(
    words: Sequence[str], run: Run, *, cue: str, before_unit: bool, numbers: Numbers
) -> list[Run]:
    """Cut a run where two numbers meet: "zone four | two weeks", "cow four twelve | ten days".

    cue: the tag before the run; a small-quantity cue takes its longest quantity.  before_unit: a
    unit follows, which takes the longest quantity at the end (never an animal's last word).
    """
    first, last = run
    cuts: list[int] = []
    if cue in SMALL_LIMITS:
        count = quantity_prefix(words[first:last], numbers, SMALL_LIMITS[cue])
        if 0 < count < last - first:
            listed = cue == "ZONE" and not before_unit and counted_on(words[first:last], numbers)
            cuts += [] if listed else [first + count]
    if before_unit:
        start = cuts[-1] if cuts else first + (cue in IDENTIFIER_CUES)
        count = quantity_suffix(words[start:last], numbers) if last > start else 0
        if count and last - count > first and last - count not in cuts:
            cuts.append(last - count)
    if not cuts:
        cuts = [at + 1 for at in range(first, last - _REST) if words[at] in numbers.fractions]
    edges = [first, *cuts[:1], last] if not before_unit else [first, *cuts, last]
    return list(itertools.pairwise(edges))
