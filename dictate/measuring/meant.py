"""What another engine's writing means in words: figures read out, spelled letters apart.

"8885" is right for "eight eight eight five", and 412 for "four twelve" as much as for "four one
two": a figure stands for all usual ways of saying it, and the nearest to what was said counts.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache

from grammar.hear.words import split_text
from grammar.say.say_numbers import ONES, say_quantity

_Arc = tuple[int, int, tuple[str, ...]]
"""From a place in what was heard, to a later one, over these words."""

_ORDINAL_ENDINGS = ("st", "nd", "rd", "th")
_ORDINALS = {
    "one": "first", "two": "second", "three": "third", "five": "fifth", "eight": "eighth",
    "nine": "ninth", "twelve": "twelfth",
}  # fmt: skip
_QUANTITY_DIGITS = 6
_REPEATED = {2: ("double",), 3: ("triple", "treble")}


def fewest_errors(said: Sequence[str], heard: Sequence[str]) -> int:
    """Return the least substitutions, deletions and insertions over all ways of reading `heard`.

    Capitals and punctuation do not count.
    """
    wanted = [word.text for word in split_text(" ".join(said))]
    tokens = [word.text for word in split_text(" ".join(heard))]
    arcs, end = _ways(tokens, spelled=any(len(word) == 1 for word in wanted))
    nothing = len(wanted) + sum(len(words) for *_, words in arcs) + 1
    rows = [[nothing] * (len(wanted) + 1) for _ in range(end + 1)]
    rows[0] = list(range(len(wanted) + 1))
    for start, stop, words in sorted(arcs):
        row = rows[start]
        for word in words:
            row = _after(row, word, wanted)
        rows[stop] = [min(one, other) for one, other in zip(rows[stop], row, strict=True)]
    return rows[end][-1]


def _after(row: Sequence[int], word: str, wanted: Sequence[str]) -> list[int]:
    """Levenshtein's next row, after one more heard word."""
    new = [row[0] + 1]
    for at, want in enumerate(wanted, start=1):
        new.append(min(row[at] + 1, new[at - 1] + 1, row[at - 1] + (word != want)))
    return new


def _ways(tokens: Sequence[str], *, spelled: bool) -> tuple[list[_Arc], int]:
    """Return the ways of reading tokens as arcs between places, and the last place."""
    arcs: list[_Arc] = []
    place = at = 0
    while at < len(tokens):
        token, size = tokens[at], 1
        after = next((i for i in range(at, len(tokens)) if not tokens[i].isdecimal()), len(tokens))
        if tokens[at + 1 : at + 2] and token.isdecimal() and tokens[at + 1] in _ORDINAL_ENDINGS:
            found, after = [(0, 1, _ordinal(token))], at + 2
        elif token.isdecimal():  # figures side by side are one: "1,200", "464-6083"
            digits = "".join(tokens[at:after])
            found, size = list(_figure(digits)), len(digits)
        else:
            found, after = [(0, 1, (token,))], at + 1
            if spelled and token.isalpha() and len(token) > 1:
                found.append((0, 1, tuple(token)))
        arcs += [(place + start, place + stop, words) for start, stop, words in found]
        place, at = place + size, after
    return arcs, place


def _figure(digits: str) -> Iterator[_Arc]:
    """Every usual way of saying a string of digits: singly, doubled, in pairs, as a quantity."""
    for at, digit in enumerate(digits):
        names = ("zero", "oh") if digit == "0" else (ONES[int(digit)],)
        yield from ((at, at + 1, (name,)) for name in names)
        for times, words in _REPEATED.items():
            if digits[at : at + times] == digit * times:
                yield from ((at, at + times, (word, name)) for word in words for name in names)
        if digit != "0" and at + 2 <= len(digits):
            yield at, at + 2, say_quantity(int(digits[at : at + 2]))
    for size in range(3, min(len(digits), _QUANTITY_DIGITS) + 1):
        for at in range(len(digits) - size + 1):
            if digits[at] != "0":
                full = say_quantity(int(digits[at : at + size]))
                yield at, at + size, full
                yield at, at + size, tuple(word for word in full if word != "and")


@lru_cache(maxsize=512)
def _ordinal(digits: str) -> tuple[str, ...]:
    *before, last = say_quantity(int(digits[-_QUANTITY_DIGITS:]))
    if last.endswith("y"):
        return (*before, f"{last[:-1]}ieth")
    return (*before, _ORDINALS.get(last, f"{last}th"))
