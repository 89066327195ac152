"""Which animals may have been meant: numbers in the order of how alike they sound; never applied.

A number is misheard as one that sounds like it, which may differ in every digit ("six nineteen",
"six ninety"); and a digit may be dropped or changed. Both count, and an animal that another note of
the day names already is less likely, for an animal seldom comes twice.
"""

from collections.abc import Collection, Iterable, Sequence
from functools import cache, lru_cache

from rapidfuzz.distance import OSA, Levenshtein
from rapidfuzz.process import cdist

from dictate.decoder.pronunciation import pronunciations
from dictate.entry.values import EntryValues
from grammar.say.say_numbers import ONES, say_quantity

OF_THE_ANIMAL = ("animal-", "number-sounds", "eid-", "alternatives-disagree", "unsure-animal")
"""How the checks begin whose candidates are animals."""
_NEAR = 3.0
"""Phones that differ, up to which a number is offered on the card unasked."""
_A_SLIP = 2.5
"""A changed, dropped, added or swapped digit counts as so many phones: whatever it sounds like, it happens."""
_CAME_ALREADY = 0.5
"""Phones that an animal stands back when another note of the day names it."""
_MOST = 9
"""They have the keys 1 to 9."""
_HUNDREDS = 3
"""Digits of a number that may be said in full, as "four hundred and twelve"."""


def likely_animals(
    values: EntryValues, numbers: Collection[str], *, named: Collection[str] = ()
) -> list[str]:
    """Animals to offer for an entry, likeliest first; none that is far from what was heard.

    Args:
        values: The entry.
        numbers: Numbers on the farm's roster.
        named: Numbers of other entries of the visit.

    First what the grammar itself or other hearings held possible, then the roster's numbers, and
    last the number that fifteen/fifty and its like would make, though the roster lacks it.
    """
    marked = [
        candidate
        for mark in values.mark_details
        if mark.id.startswith(OF_THE_ANIMAL)
        for candidate in mark.candidates
    ]
    found = dict.fromkeys([*marked, *values.animal_candidates])
    if values.animal:
        scored = _scored(values.animal, numbers, named)
        found |= dict.fromkeys(number for likeness, number in scored if likeness <= _NEAR)
        found |= dict.fromkeys(_teen_or_ty(values.animal))
    found.pop(values.animal or "", None)
    return list(found)[:_MOST]


def in_order_of_likeness(
    heard: str | None, numbers: Collection[str], *, named: Collection[str] = ()
) -> list[str]:
    """All numbers but the heard one; without one, those not named yet, in order of their digits."""
    if heard is None:
        return sorted(numbers, key=lambda number: (number in named, len(number), number))
    return [number for _, number in _scored(heard, numbers, named)]


def _scored(
    heard: str, numbers: Collection[str], named: Collection[str]
) -> list[tuple[float, str]]:
    """Numbers with how far they are from the heard one, in phones; nearest first."""
    others = [number for number in numbers if number != heard]
    if not others:
        return []
    ways = _ways(heard)
    sounds = [_ways(number) for number in others]
    apart = [
        cdist([way], [sound[at] for sound in sounds], scorer=Levenshtein.distance)[0]
        for at, way in enumerate(ways)
    ]
    digits = cdist([heard], others, scorer=OSA.distance)[0]
    return sorted(
        (
            min(float(min(way[at] for way in apart)), _A_SLIP * digits[at])
            + _CAME_ALREADY * (number in named),
            number,
        )
        for at, number in enumerate(others)
    )


def _teen_or_ty(number: str) -> list[str]:
    """The number with fifteen for fifty, or the other way, in each of its pairs."""
    found = []
    for at in range(len(number) % 2, len(number) - 1, 2):
        one, two = number[at], number[at + 1]
        if one == "1" and two in "3456789":
            found.append(f"{number[:at]}{two}0{number[at + 2 :]}")
        elif two == "0" and one in "3456789":
            found.append(f"{number[:at]}1{one}{number[at + 2 :]}")
    return found


@lru_cache(maxsize=50_000)
def _ways(number: str) -> tuple[str, str, str]:
    """How a number sounds digit by digit, in pairs, and in full; one letter a phone."""
    singly = [_digit(digit) for digit in number]
    pairs = singly[: len(number) % 2]
    for at in range(len(number) % 2, len(number), 2):
        pairs += _pair(number[at : at + 2])
    in_full = number.isdecimal() and len(number) == _HUNDREDS and number[0] != "0"
    return _sound(singly), _sound(pairs), _sound(say_quantity(int(number)) if in_full else pairs)


def _pair(pair: str) -> Sequence[str]:
    if not pair.isdecimal() or pair[0] == "0":
        return [_digit(digit) for digit in pair]
    return say_quantity(int(pair))


def _digit(digit: str) -> str:
    if digit == "0":
        return "oh"
    return ONES[int(digit)] if digit in "123456789" else digit


def _sound(words: Iterable[str]) -> str:
    return "".join(_phones().get(word, word) for word in words)


@cache
def _phones() -> dict[str, str]:
    """Each word of numbers as one letter a phone."""
    letters: dict[str, str] = {}
    known = pronunciations()
    words = {word for number in (*range(100), 100, 1000, 101) for word in say_quantity(number)}
    return {
        word: "".join(
            letters.setdefault(phone, chr(0xE000 + len(letters))) for phone in known[word][0]
        )
        for word in sorted({*words, "oh"})
    }
