"""Quantities: exact numbers for zones, intervals, scores and measures.

"twenty one" is 21, "two and a half" is 5/2, "four point one" is 41/10.  "four twelve" is no
quantity: it is an identifier and is read in identifiers.py, from other tables.
"""

from collections.abc import Sequence
from fractions import Fraction

from grammar.lexicon.schema import Numbers

WORDS_MAX = 12
"""The most words one quantity can have ("nine hundred and ninety nine thousand …")."""
_NUMBER_WORDS_MAX = 24
"""More words than a whole number has; each "hundred" of a run is read within the one before it."""
_DIGITS_MAX = 6


def quantity(words: Sequence[str], numbers: Numbers) -> Fraction | None:
    """Read all the words as one exact quantity below a million, or return None."""
    words = [word for word in words if word not in ("an", "of")]
    if not words:
        return None
    for at, word in enumerate(words):
        if word in numbers.points.words:
            return _decimal(words[:at], words[at + 1 :], numbers)
    if words[-1] in numbers.fractions:
        return _with_fraction(words, numbers)
    whole = _whole(words, numbers)
    return None if whole is None else Fraction(whole)


def _decimal(left: Sequence[str], right: Sequence[str], numbers: Numbers) -> Fraction | None:
    whole = _whole(left, numbers) if left else 0
    digits = [_digit(word, numbers) for word in right]
    if whole is None or not digits or None in digits:
        return None
    text = "".join(str(digit) for digit in digits)
    return whole + Fraction(int(text), 10 ** len(text))


def _with_fraction(words: Sequence[str], numbers: Numbers) -> Fraction | None:
    """Read "half", "three quarters", "two and a half"."""
    numerator, denominator = numbers.fractions[words[-1]]
    part = Fraction(numerator, denominator)
    rest = list(words[:-1])
    if rest and rest[-1] == "a":
        rest.pop()
    elif rest and rest[-1] in numbers.digits and (len(rest) == 1 or rest[-2] == "and"):
        if numerator == 1 and denominator == 2:
            return None
        part *= numbers.digits[rest.pop()]
    if not rest:
        return part
    if rest[-1] != "and":
        return None
    whole = _whole(rest[:-1], numbers)
    return None if whole is None else whole + part


def _digit(word: str, numbers: Numbers) -> int | None:
    if word.isdecimal():
        return _written(word)
    found = numbers.digits.get(word)
    return found if found is not None else numbers.quantity_digits.get(word)


def _written(digits: str) -> int | None:
    """The number that digits write; a longer one is nothing that is counted or measured."""
    return int(digits) if len(digits) <= _DIGITS_MAX else None


def _whole(words: Sequence[str], numbers: Numbers) -> int | None:
    if len(words) > _NUMBER_WORDS_MAX:
        return None
    if len(words) == 1 and words[0].isdecimal():
        return _written(words[0])
    for scale, size in sorted(numbers.scales.items(), key=lambda item: -item[1]):
        if scale in words:
            return _scaled(words, words.index(scale), size, numbers)
    return _below_hundred(words, numbers)


def _scaled(words: Sequence[str], at: int, size: int, numbers: Numbers) -> int | None:
    """Read "four hundred and twelve" around its "hundred"."""
    left = 1 if words[:at] in ([], ["a"]) else _whole(words[:at], numbers)
    right = list(words[at + 1 :])
    if right and right[0] == "and":
        right = right[1:]
        if not right:
            return None
    rest = _whole(right, numbers) if right else 0
    if not left or rest is None or rest >= size:
        return None
    return left * size + rest


def _below_hundred(words: Sequence[str], numbers: Numbers) -> int | None:
    if len(words) == 1:
        for table in (numbers.digits, numbers.quantity_digits, numbers.teens, numbers.tens):
            if words[0] in table:
                return table[words[0]]
    elif len(words) == 2 and words[0] in numbers.tens:
        unit = numbers.digits.get(words[1], 0)
        return numbers.tens[words[0]] + unit if unit else None
    return None


def counted_on(words: Sequence[str], numbers: Numbers) -> list[int]:
    """Read "four five six" as 4, 5, 6; nothing where the words do not count on one by one."""
    values = [quantity([word], numbers) for word in words]
    if not values or values[0] is None or values != [values[0] + i for i in range(len(values))]:
        return []
    return [int(value) for value in values if value is not None]


def quantity_prefix(words: Sequence[str], numbers: Numbers, limit: int) -> int:
    """Return how many leading words make the longest quantity not above `limit`; 0 if none.

    Nobody scores finer than by quarters: "condition two point five | six one nine".
    """
    for count in range(min(len(words), WORDS_MAX), 0, -1):
        value = quantity(words[:count], numbers)
        if value is None or value > limit or words[count - 1] == "and":
            continue
        fine = {*numbers.points.words}.isdisjoint(words[: max(count - 2, 0)])
        if fine or 4 % value.denominator == 0:
            return count
    return 0


def quantity_suffix(words: Sequence[str], numbers: Numbers) -> int:
    """Return how many trailing words make the longest quantity; 0 if none."""
    for count in range(min(len(words), WORDS_MAX), 0, -1):
        if words[-count] not in ("and", "a") and quantity(words[-count:], numbers) is not None:
            return count
    return 0
