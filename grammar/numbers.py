"""Number words, read in two separate ways.

An identifier ("four twelve", "double seven", "oh four two") is a string of digits and keeps its
leading zeros.  A quantity ("twenty one", "two and a half", "four point one") is an exact number.
The two have separate tables in numbers.toml and no reading of one is used for the other.
"""

from collections.abc import Sequence
from fractions import Fraction
from itertools import islice, product

from grammar.schema import Numbers

__all__ = [
    "ALTERNATIVES_MAX",
    "Run",
    "find_runs",
    "identifier_readings",
    "quantity",
    "quantity_prefix",
    "quantity_suffix",
    "spoken_digits",
]

ALTERNATIVES_MAX = 16
"""The most readings kept for one spoken identifier."""

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
    """Find the stretches of number words among the words no term has taken.

    `and` joins after hundred or thousand and before a fraction ("two and a half"); `a`, `an` and
    `of an` after a fraction belong to it ("half an inch").
    """
    runs: list[Run] = []
    position = 0
    while position < len(words):
        if not (free[position] and _is_number(words[position], numbers)):
            position += 1
            continue
        first = position
        position = _run_end(words, free, first, numbers)
        while position > first + 1 and words[position - 1] in numbers.points.words:
            position -= 1
        if words[first] in numbers.points.words:
            position = first + 1
        else:
            runs.append((first, position))
    return runs


def _run_end(words: Sequence[str], free: Sequence[bool], first: int, numbers: Numbers) -> int:
    position = first + 1
    while position < len(words) and free[position]:
        word = words[position]
        if _is_number(word, numbers):
            position += 1
        elif word == "and" and (step := _joined(words, free, position, numbers)):
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
    if ahead[0] in ("a", "one") and ahead[1] in numbers.fractions:
        return 3
    if ahead[0] in numbers.fractions:
        return 2
    if ahead[0] in numbers.digits and ahead[1] in numbers.fractions:
        return 3
    return 0


# --- quantities -----------------------------------------------------------------------------


def quantity(words: Sequence[str], numbers: Numbers) -> Fraction | None:
    """Read all the words as one exact quantity, or return None.

    "twenty one" -> 21; "two and a half" -> 5/2; "four point one" -> 41/10; "four twelve" -> None.
    """
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
    numerator, denominator = numbers.fractions[words[-1]]
    part = Fraction(numerator, denominator)
    rest = list(words[:-1])
    if rest and rest[-1] == "a":
        rest.pop()
    elif rest and rest[-1] in numbers.digits and (len(rest) == 1 or rest[-2] == "and"):
        part *= numbers.digits[rest.pop()]
    if not rest:
        return part
    if rest[-1] != "and":
        return None
    whole = _whole(rest[:-1], numbers)
    return None if whole is None else whole + part


def _digit(word: str, numbers: Numbers) -> int | None:
    if word.isdecimal():
        return int(word)
    found = numbers.digits.get(word)
    return found if found is not None else numbers.quantity_digits.get(word)


def _whole(words: Sequence[str], numbers: Numbers) -> int | None:
    """Read a whole number below a million said in full."""
    if not words:
        return None
    if len(words) == 1 and words[0].isdecimal():
        return int(words[0])
    for scale in ("thousand", "hundred"):
        if scale in words:
            at = words.index(scale)
            left = 1 if words[:at] in ([], ["a"]) else _whole(words[:at], numbers)
            right = words[at + 1 :]
            if right and right[0] == "and":
                right = right[1:]
                if not right:
                    return None
            rest = _whole(right, numbers) if right else 0
            size = numbers.scales[scale]
            if not left or rest is None or rest >= size:
                return None
            return left * size + rest
    return _below_hundred(words, numbers)


def _below_hundred(words: Sequence[str], numbers: Numbers) -> int | None:
    if len(words) == 1:
        word = words[0]
        for table in (numbers.digits, numbers.quantity_digits, numbers.teens, numbers.tens):
            if word in table:
                return table[word]
        return None
    if len(words) == 2 and words[0] in numbers.tens:  # noqa: PLR2004
        unit = numbers.digits.get(words[1], 0)
        return numbers.tens[words[0]] + unit if unit else None
    return None


def quantity_prefix(words: Sequence[str], numbers: Numbers, limit: int) -> int:
    """Return how many leading words make the longest quantity not above `limit`; 0 if none."""
    for count in range(min(len(words), 8), 0, -1):
        value = quantity(words[:count], numbers)
        if value is not None and value <= limit and words[count - 1] != "and":
            return count
    return 0


def quantity_suffix(words: Sequence[str], numbers: Numbers) -> int:
    """Return how many trailing words make the longest quantity; 0 if none."""
    for count in range(min(len(words), 8), 0, -1):
        if words[-count] not in ("and", "a") and quantity(words[-count:], numbers) is not None:
            return count
    return 0


# --- identifiers ----------------------------------------------------------------------------


def identifier_readings(words: Sequence[str], numbers: Numbers) -> tuple[str, ...]:
    """Read the words as a string of digits; every reading, the usual one first.

    "four twelve" -> 412; "four twenty two" -> 422, then 4202; "double seven one" -> 771;
    "four hundred and twelve" -> 412, then 40012; "oh four two" -> 042.  Empty where the words
    cannot be an identifier ("four point one", "half").
    """
    parts: list[tuple[str, ...]] = []
    position = 0
    while position < len(words):
        options, position = _identifier_part(words, position, numbers)
        if not options:
            return ()
        parts.append(options)
    ranked = sorted(
        product(*(tuple(enumerate(options)) for options in parts[:12])),
        key=lambda choice: sum(rank for rank, _ in choice),
    ) if _count(parts) <= 4 * ALTERNATIVES_MAX else [tuple((0, options[0]) for options in parts)]
    tail = "".join(options[0] for options in parts[12:])
    readings = ("".join(text for _, text in choice) + tail for choice in ranked)
    return tuple(islice(dict.fromkeys(readings), ALTERNATIVES_MAX))


def _count(parts: Sequence[tuple[str, ...]]) -> int:
    total = 1
    for options in parts:
        total *= len(options)
    return total


def _id_digit(word: str, numbers: Numbers) -> str | None:
    if word.isdecimal():
        return word
    for table in (numbers.digits, numbers.identifier_digits):
        if word in table:
            return str(table[word])
    return None


def _identifier_part(
    words: Sequence[str], at: int, numbers: Numbers
) -> tuple[tuple[str, ...], int]:
    """Read the next part: options for its digits, best first, and where the next part starts."""
    word = words[at]
    if word == "and":
        return ((), at)
    if word in numbers.repeats and at + 1 < len(words):
        digit = _id_digit(words[at + 1], numbers)
        return ((digit * numbers.repeats[word],), at + 2) if digit else ((), at)
    if word in numbers.teens or word in numbers.tens or _id_digit(word, numbers) is not None:
        return _group(words, at, numbers)
    return ((), at)


def _two_digits(words: Sequence[str], at: int, numbers: Numbers) -> tuple[tuple[str, ...], int]:
    """Read a digit, a teen, a ten or a ten with its unit."""
    word = words[at]
    if word in numbers.teens:
        return ((str(numbers.teens[word]),), at + 1)
    if word in numbers.tens:
        ten = numbers.tens[word]
        unit = numbers.digits.get(words[at + 1], 0) if at + 1 < len(words) else 0
        if unit:
            return ((str(ten + unit), f"{ten}{unit}"), at + 2)
        return ((str(ten),), at + 1)
    digit = _id_digit(word, numbers)
    return ((digit,), at + 1) if digit is not None else ((), at)


def _group(words: Sequence[str], at: int, numbers: Numbers) -> tuple[tuple[str, ...], int]:
    """Read a group that may hold hundred or thousand: "four hundred and twelve"."""
    options, after = _two_digits(words, at, numbers)
    for scale, zeros in (("thousand", 3), ("hundred", 2)):
        if after < len(words) and words[after] == scale and len(options[0]) <= 2:  # noqa: PLR2004
            return _scaled(options[0], words, after + 1, zeros, numbers)
    return options, after


def _scaled(
    head: str, words: Sequence[str], at: int, zeros: int, numbers: Numbers
) -> tuple[tuple[str, ...], int]:
    round_number = head + "0" * zeros
    joined = at < len(words) and words[at] == "and"
    start = at + 1 if joined else at
    if start >= len(words):
        return ((round_number,), start)
    tails, after = _group(words, start, numbers) if zeros == 3 else _two_digits(words, start, numbers)  # noqa: PLR2004, E501
    if not tails or len(tails[0]) > zeros or tails[0].startswith("0"):
        return ((round_number,), at)
    merged = tuple(head + tail.zfill(zeros) for tail in tails if len(tail) <= zeros)
    split = () if joined else tuple(round_number + tail for tail in tails)
    return (merged + split, after)


def spoken_digits(number: str) -> tuple[str, ...]:
    """Say a string of digits one at a time: "042" -> zero four two."""
    names = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
    return tuple(names[int(digit)] for digit in number)
