"""Numbers said aloud: identifiers in one of the usual ways, quantities in full."""

import random

ONES = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_TEENS = ("ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen",
          "eighteen", "nineteen")  # fmt: skip
_TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")


def say_quantity(number: int) -> tuple[str, ...]:
    """Say a whole number below a million in full: 412 -> four hundred and twelve."""
    if number >= 1000:
        head, tail = divmod(number, 1000)
        joined = ("and",) if 0 < tail < 100 else ()
        return (*say_quantity(head), "thousand", *joined, *(say_quantity(tail) if tail else ()))
    if number >= 100:
        head, tail = divmod(number, 100)
        return (ONES[head], "hundred", *(("and", *say_quantity(tail)) if tail else ()))
    return _two(number)


def _two(number: int) -> tuple[str, ...]:
    if number < 10:
        return (ONES[number],)
    if number < 20:
        return (_TEENS[number - 10],)
    ten, unit = divmod(number, 10)
    return (_TENS[ten], ONES[unit]) if unit else (_TENS[ten],)


def say_identifier(number: str, rng: random.Random) -> tuple[str, ...]:
    """Say a string of digits in one of the usual ways: singly, in pairs, in hundreds, doubled."""
    way = rng.choice(("digits", "digits", "pairs", "pairs", "hundreds"))
    if way == "hundreds" and len(number) == 3 and number[0] != "0":
        return _hundreds(number, rng)
    if way == "pairs" and 2 <= len(number) <= 6:
        return _pairs(number)
    return _singly(number, rng)


def _hundreds(number: str, rng: random.Random) -> tuple[str, ...]:
    rest = int(number[1:])
    if not rest:
        return (ONES[int(number[0])], "hundred")
    joined = ("and",) if rng.random() < 0.7 else ()
    return (ONES[int(number[0])], "hundred", *joined, *_two(rest))


def _pairs(number: str) -> tuple[str, ...]:
    """The first digit alone where the count is odd; a pair with a zero in front digit by digit."""
    start = len(number) % 2
    said = [ONES[int(number[0])]] if start else []
    for at in range(start, len(number), 2):
        pair = number[at : at + 2]
        if pair[0] == "0":
            said += ["oh" if pair[1] != "0" else "zero", ONES[int(pair[1])]]
        else:
            said += _two(int(pair))
    return tuple(said)


def _singly(number: str, rng: random.Random) -> tuple[str, ...]:
    said: list[str] = []
    at = 0
    while at < len(number):
        digit = number[at]
        name = rng.choice(("oh", "zero")) if digit == "0" else ONES[int(digit)]
        if number[at : at + 3] == digit * 3 and rng.random() < 0.3:
            said += ["treble", name]
            at += 3
        elif number[at : at + 2] == digit * 2 and rng.random() < 0.4:
            said += ["double", name]
            at += 2
        else:
            said.append(name)
            at += 1
    return tuple(said)
