"""Identifiers: animal numbers and tags as strings of digits, with every reading of the words.

"four twelve" is 412; "four twenty two" is 422 or 4202; "double seven one" is 771; "oh four two"
keeps its zero.  Quantities ("four point one", "half") are no identifiers: see quantities.py.
"""

from collections.abc import Sequence

from grammar.lexicon.schema import Numbers

__all__ = ["EID_DIGITS", "READINGS_MAX", "identifier_readings", "spoken_digits"]

READINGS_MAX = 16
"""The most readings kept of one spoken identifier."""
WORDS_MAX = 48
"""Of more words only the usual reading is kept: it is no number of an animal."""
EID_DIGITS = 15
"""ISO 11784: an electronic id has 15 digits, so a long number is read as one where it can be."""
_WHOLE = frozenset({12, EID_DIGITS})
"""Digits of a whole ear tag (herd and animal, as in the United Kingdom) or electronic id."""
_ZEROS_MAX = 3
"""Of figures before which others may be counted on: "80", "400", "2000"."""
_THOUSAND = 1000
_LONG = 11
"""Digits from which a number is one of them and nothing else."""

_Costs = dict[str, tuple[int, int]]
"""Reading -> how many unusual parts it has, and how many that lie across groups of three digits."""
_Option = tuple[str, int]
"""Digits of a part and where the next part starts."""


def identifier_readings(words: Sequence[str], numbers: Numbers) -> tuple[str, ...]:
    """Read the words as a string of digits: every reading, the usual one first.

    "four hundred and twelve" -> 412; "four hundred twelve" -> 412, then 40012; "seven hundred and
    twelve thousand" -> 712000.  Empty where the words cannot be an identifier.
    """
    if words and words[0] in numbers.scales:
        words = ["a", *words]  # "cow hundred twelve", as learners of English say
    if len(words) > WORDS_MAX:
        return _usual(words, numbers)
    ends: list[_Costs] = [{} for _ in words] + [{"": (0, 0)}]
    for at in range(len(words) - 1, -1, -1):
        found: _Costs = {}
        for unusual, (digits, after) in enumerate(_parts(words, at, numbers)):
            for rest, (cost, across) in ends[after].items():
                straddles = len(rest) // 3 != (len(rest) + len(digits) - 1) // 3
                new = (cost + unusual, across + straddles)
                found[digits + rest] = min(found.get(digits + rest, new), new)
        ends[at] = _likeliest(found) if len(found) > 1 else found
    costs = ends[0]
    ranked = sorted(costs, key=lambda reading: costs[reading][0])
    if ranked and len(ranked[0]) >= _LONG:
        ranked.sort(key=lambda reading: (len(reading) not in _WHOLE, sum(costs[reading])))
    return tuple(ranked[:READINGS_MAX])


def _usual(words: Sequence[str], numbers: Numbers) -> tuple[str, ...]:
    digits: list[str] = []
    at = 0
    while at < len(words):
        options = _parts(words, at, numbers)
        if not options:
            return ()
        said, at = options[0]
        digits.append(said)
    return ("".join(digits),)


def _likeliest(found: _Costs) -> _Costs:
    """Keep the likeliest readings, and of each length the likeliest in groups of three."""
    ranked = sorted(found, key=lambda reading: found[reading][0])
    kept = dict.fromkeys(ranked[:READINGS_MAX])
    by_length: dict[int, str] = {}
    for reading in sorted(found, key=lambda reading: sum(found[reading])):
        by_length.setdefault(len(reading), reading)
    return {reading: found[reading] for reading in (*kept, *by_length.values())}


def _digit(word: str, numbers: Numbers) -> str | None:
    if word.isdecimal():
        return word
    for table in (numbers.digits, numbers.identifier_digits):
        if word in table:
            return str(table[word])
    return None


def _parts(words: Sequence[str], at: int, numbers: Numbers) -> list[_Option]:
    """Return what one part of a number may be from here, the usual first."""
    word = words[at]
    if word in numbers.repeats:
        digit = _digit(words[at + 1], numbers) if at + 1 < len(words) else None
        return [(digit * numbers.repeats[word], at + 2)] if digit else []
    if word.isdecimal():
        return _of_figures(words, at)
    options = [(str(value), after) for value, after in _counted(words, at, numbers)]
    if not options:
        digit = _digit(word, numbers)
        return [(digit, at + 1)] if digit is not None else []
    return options


def _of_figures(words: Sequence[str], at: int) -> list[_Option]:
    """ "3 80 4", "400 12": figures as an engine writes "three eighty four", "four hundred twelve"."""
    said, rest = words[at], words[at + 1] if at + 1 < len(words) else ""
    zeros = len(said) - len(said.rstrip("0"))
    round_number = said != "10" and len(said) == zeros + 1 and 0 < zeros <= _ZEROS_MAX
    if round_number and rest.isdecimal() and rest[0] != "0" and len(rest) <= zeros:
        return [(str(int(said) + int(rest)), at + 2), (said, at + 1)]
    return [(said, at + 1)]


def _counted(
    words: Sequence[str], at: int, numbers: Numbers, below: int = 1_000_000_000
) -> list[tuple[int, int]]:
    """Return the numbers that can be counted from here, the longest first, each with its end."""
    found = _below_hundred(words, at, numbers)
    if numbers.scales.keys().isdisjoint(words[at + 1 : at + WORDS_MAX]):
        return found
    for scale, size in sorted(numbers.scales.items(), key=lambda item: item[1]):
        if size >= below:
            break
        longer: list[tuple[int, int]] = []
        heads = [*found, (1, at + 1)] if words[at] == "a" else found
        for head, after in heads:
            if head and head < max(size, 100) and after < len(words) and words[after] == scale:
                longer += _after_scale(words, (head * size, after + 1), size, numbers)
        found = longer + found
    return found


def _after_scale(
    words: Sequence[str], round_number: tuple[int, int], size: int, numbers: Numbers
) -> list[tuple[int, int]]:
    """ "four hundred" -> "four hundred and twelve", "four hundred twelve", "four hundred"."""
    value, at = round_number
    joined = at < len(words) and words[at] == "and"
    start = at + joined
    tails = _counted(words, start, numbers, below=size) if start < len(words) else []
    if size <= _THOUSAND and start + 1 < len(words) and _digit(words[start], numbers) == "0":
        named = _below_hundred(words, start + 1, numbers)
        # "Fourteen hundred oh eight"; but "four hundred oh two five" goes on.
        tails = [*(one for one in named if one[1] == len(words)), *tails]
    if size == _THOUSAND and not joined:
        tails = [*_in_groups(words, start, numbers), *tails]
    longer = [(value + tail, after) for tail, after in tails if 0 < tail < size]
    return longer if joined and longer else [*longer, round_number]


def _in_groups(words: Sequence[str], at: int, numbers: Numbers) -> list[tuple[int, int]]:
    """Three digits behind a thousand as numbers are called: "four oh two", "four twelve"."""
    if at + 1 >= len(words) or words[at] not in numbers.digits:
        return []
    head = numbers.digits[words[at]] * 100
    second = numbers.digits.get(words[at + 1], numbers.identifier_digits.get(words[at + 1]))
    third = numbers.digits.get(words[at + 2]) if at + 2 < len(words) else None
    if second is not None and third is not None:
        return [(head + second * 10 + third, at + 3)]
    return [(head + end, after) for end, after in _below_hundred(words, at + 1, numbers) if end > 9]


def _below_hundred(words: Sequence[str], at: int, numbers: Numbers) -> list[tuple[int, int]]:
    """Read a digit, a teen, a ten with its unit, a ten."""
    word = words[at]
    if word in numbers.teens:
        return [(numbers.teens[word], at + 1)]
    if word in numbers.tens:
        ten = numbers.tens[word]
        unit = _counting(words[at + 1], numbers) if at + 1 < len(words) else 0
        return [(ten + unit, at + 2), (ten, at + 1)] if unit else [(ten, at + 1)]
    if word in numbers.digits:
        return [(numbers.digits[word], at + 1)]
    digit = _counting(word, numbers)
    return [(digit, at + 1)] if digit else []


def _counting(word: str, numbers: Numbers) -> int:
    """Return the digit that a word counts with; 0 where it only names one, as "oh" does."""
    return numbers.digits.get(word) or numbers.identifier_digits.get(word, 0)


def spoken_digits(number: str) -> tuple[str, ...]:
    """Say a string of digits one at a time: "042" -> zero four two; a letter is said as it is."""
    names = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
    return tuple(names[int(one)] if one.isdecimal() else one.lower() for one in number)
