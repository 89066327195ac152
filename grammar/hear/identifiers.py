"""Identifiers: animal numbers and tags as strings of digits, with every reading of the words.

"four twelve" is 412; "four twenty two" is 422 or 4202; "double seven one" is 771; "oh four two"
keeps its zero.  Quantities ("four point one", "half") are no identifiers: see quantities.py.
"""

from collections.abc import Sequence
from itertools import islice, product

from grammar.lexicon.schema import Numbers

__all__ = ["READINGS_MAX", "identifier_readings", "spoken_digits"]

READINGS_MAX = 16
"""The most readings kept of one spoken identifier."""

_Part = tuple[tuple[str, ...], int]
"""Options for the digits of a part, best first, and where the next part starts."""


def identifier_readings(words: Sequence[str], numbers: Numbers) -> tuple[str, ...]:
    """Read the words as a string of digits: every reading, the usual one first.

    "four hundred and twelve" -> 412; "four hundred twelve" -> 412, then 40012.  Empty where the
    words cannot be an identifier.
    """
    parts: list[tuple[str, ...]] = []
    position = 0
    while position < len(words):
        options, position = _part(words, position, numbers)
        if not options:
            return ()
        parts.append(options)
    return _combine(parts)


def _combine(parts: Sequence[tuple[str, ...]]) -> tuple[str, ...]:
    """Join the parts; readings with the fewest unusual options come first."""
    total = 1
    for options in parts:
        total *= len(options)
    if total > 4 * READINGS_MAX:
        return ("".join(options[0] for options in parts),)
    ranked = sorted(
        product(*(tuple(enumerate(options)) for options in parts)),
        key=lambda choice: sum(rank for rank, _ in choice),
    )
    readings = ("".join(text for _, text in choice) for choice in ranked)
    return tuple(islice(dict.fromkeys(readings), READINGS_MAX))


def _digit(word: str, numbers: Numbers) -> str | None:
    if word.isdecimal():
        return word
    for table in (numbers.digits, numbers.identifier_digits):
        if word in table:
            return str(table[word])
    return None


def _part(words: Sequence[str], at: int, numbers: Numbers) -> _Part:
    word = words[at]
    if word in numbers.repeats and at + 1 < len(words):
        digit = _digit(words[at + 1], numbers)
        return ((digit * numbers.repeats[word],), at + 2) if digit else ((), at)
    if word == "a" and at + 1 < len(words) and words[at + 1] in numbers.scales:
        return _scaled("1", words, at + 2, len(str(numbers.scales[words[at + 1]])) - 1, numbers)
    options, after = _two_digits(words, at, numbers)
    if options and after < len(words) and words[after] in numbers.scales and len(options[0]) <= 2:
        zeros = len(str(numbers.scales[words[after]])) - 1
        return _scaled(options[0], words, after + 1, zeros, numbers)
    return options, after


def _two_digits(words: Sequence[str], at: int, numbers: Numbers) -> _Part:
    """Read a digit, a teen, a ten or a ten with its unit."""
    word = words[at]
    if word in numbers.teens:
        return ((str(numbers.teens[word]),), at + 1)
    if word in numbers.tens:
        ten = numbers.tens[word]
        unit = numbers.digits.get(words[at + 1], 0) if at + 1 < len(words) else 0
        return ((str(ten + unit), f"{ten}{unit}"), at + 2) if unit else ((str(ten),), at + 1)
    digit = _digit(word, numbers)
    return ((digit,), at + 1) if digit is not None else ((), at)


def _scaled(head: str, words: Sequence[str], at: int, zeros: int, numbers: Numbers) -> _Part:
    """Read what follows "four hundred" or "two thousand"."""
    round_number = head + "0" * zeros
    joined = at < len(words) and words[at] == "and"
    start = at + 1 if joined else at
    if start >= len(words):
        return ((round_number,), at)
    tails, after = (_part if zeros > 2 else _two_digits)(words, start, numbers)
    merged = tuple(
        head + tail.zfill(zeros)
        for tail in tails
        if len(tail) <= zeros and not tail.startswith("0")
    )
    if not merged:
        return ((round_number,), at)
    split = () if joined else tuple(round_number + tail for tail in tails)
    return (merged + split, after)


def spoken_digits(number: str) -> tuple[str, ...]:
    """Say a string of digits one at a time: "042" -> zero four two."""
    names = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
    return tuple(names[int(digit)] for digit in number)
