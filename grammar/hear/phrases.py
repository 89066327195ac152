"""The lexicon's phrases in the words: all of them, and the best cover by them.

The cover that takes the most words with the fewest and weightiest phrases is chosen by dynamic
programming, in time linear in the words.
"""

from collections.abc import Mapping, Sequence
from functools import lru_cache

from grammar.hear.identifiers import identifier_readings
from grammar.lexicon.lexicon import REPAIRABLE, Lexicon, Term
from grammar.lexicon.schema import CueRow
from grammar.records import How

__all__ = ["Cover", "Found", "add_aliases", "choose_cover", "find_terms"]

Found = dict[int, list[tuple[int, Term]]]
"""First word -> (one past the last word, term) of every phrase found."""
Cover = list[tuple[int, int, Term | None]]
"""(first, one past the last, term) over all the words; a word alone where term is None."""

_NUMBER_WEIGHT = 0.9
_MEASURED_WEIGHT = 1.5
"""A number before its unit: "inner | one inch nail", and not "inner one"."""
_FILLER_WEIGHT = 0.2
_FILLER_INSIDE = 0.3
"""A filler inside a phrase: a little more than alone, so that longer phrases win."""
_LENGTH_BONUS = 0.15
"""For each further content word: "white line abscess" beats "white line" + "abscess"."""
_GIVES_WAY = {
    "HALF": 0.55,
    "CLAW": 0.97,
    "ON": 0.25,
    "WITH": 0.25,
    "REGION": 0.95,
    "NO": 0.9,
    "SCORE": 0.95,
}
"""Weights of tags that give way: "on the left hind" is "on the" + "left hind"."""
_REPAIR_FACTOR = 0.9
"""A repaired phrase gives way to an exact one over the same words."""
_ONLY_DATED_FACTOR = 0.5
"""Phrases too plain to mean anything without a date ("see it") give way to every other."""
_BESIDE = ("fill", "question")
"""Cues of talk whose phrases weigh all their words."""


_ONE = " one"
_WHOLE_NUMBER = 3
"""The digits of a number that needs no digit before it."""


@lru_cache(maxsize=4)
def _beginnings(lexicon: Lexicon) -> Mapping[str, Term | None]:
    """Return every phrase with its term, and all that phrases begin with (whole words) with none."""
    found: dict[str, Term | None] = dict(lexicon.terms)
    for phrase in lexicon.terms:
        end = phrase.rfind(" ")
        while end > 0 and phrase[:end] not in found:
            found[phrase[:end]] = None
            end = phrase.rfind(" ", 0, end)
    return found


def find_terms(words: Sequence[str], lexicon: Lexicon) -> Found:
    """Return every lexicon phrase in the words, from each word on the shorter first."""
    begun = _beginnings(lexicon)
    found: Found = {}
    for first in range(len(words)):
        said, last = words[first], first + 1
        while said in begun:
            term = begun[said]
            if term is not None:
                found.setdefault(first, []).append((last, term))
            if last == len(words):
                break
            said, last = f"{said} {words[last]}", last + 1
    return _without_inner_talk(_without_first_digits(found, words, lexicon))


def _without_first_digits(found: Found, words: Sequence[str], lexicon: Lexicon) -> Found:
    """Leave out "inner one" where the one begins a number: "block inner, one one seven".

    Of "the inner one, four twelve" the rest is a whole number, and the one may be the claw's.
    """
    gone = {
        (a, b)
        for a, terms in found.items()
        for b, term in terms
        if term.phrase.endswith(_ONE) and _begins_number(words, b - 1, lexicon)
        if term.phrase.removesuffix(_ONE) in lexicon.terms
    }
    if not gone:
        return found
    return {a: [(b, term) for b, term in terms if (a, b) not in gone] for a, terms in found.items()}


def _begins_number(words: Sequence[str], at: int, lexicon: Lexicon) -> bool:
    """Whether a digit begins a number, and what follows it is none: no time, no whole number."""
    end = at + 1
    while end < len(words) and words[end] in lexicon.number_words:
        end += 1
    rest = identifier_readings(words[at + 1 : end], lexicon.numbers)
    after = words[end] if end < len(words) else ""
    counted = after in lexicon.numbers.time_units or after in lexicon.numbers.units
    return bool(rest) and len(rest[0]) < _WHOLE_NUMBER and end > at + 2 and not counted


def _without_inner_talk(found: Found) -> Found:
    """Leave out talk that is part of a phrase of the trade: "took a good bit off her" is a deed."""
    talk = {(a, b) for a, terms in found.items() for b, term in terms if _is_talk(term)}
    if not talk:
        return found
    deeds = [(a, b) for a, terms in found.items() for b, term in terms if term.tag in REPAIRABLE]
    inner = {
        (a, b) for a, b in talk if any(c <= a and b <= d and (a, b) != (c, d) for c, d in deeds)
    }
    return {
        a: [(b, term) for b, term in terms if not (_is_talk(term) and (a, b) in inner)]
        for a, terms in found.items()
    }


def _is_talk(term: Term) -> bool:
    return term.tag == "FILL" and term.row.talk


def add_aliases(
    found: Found, words: Sequence[str], aliases: Mapping[str, str], lexicon: Lexicon
) -> None:
    """Add a speaker's own phrases; an alias of numbers or of an unknown term is passed over."""
    taught = {tuple(heard.split()): meant for heard, meant in aliases.items()}
    longest = max((len(heard) for heard in taught), default=0)
    for first in range(len(words)):
        for last in range(first + 1, min(first + longest, len(words)) + 1):
            term = lexicon.alias(words[first:last], taught.get(tuple(words[first:last])))
            if term is not None:
                found.setdefault(first, []).insert(0, (last, term))


def choose_cover(words: Sequence[str], found: Found, lexicon: Lexicon) -> Cover:
    """Choose the best cover: from the end, the best score of every suffix."""
    count = len(words)
    best = [0.0] * (count + 1)
    step: list[tuple[int, Term | None]] = [(0, None)] * count
    for at in range(count - 1, -1, -1):
        best[at] = _word_weight(words, at, lexicon) + best[at + 1]
        step[at] = (at + 1, None)
        for end, phrase in found.get(at, ()):
            score = _weight(phrase, lexicon) + best[end]
            if score > best[at]:
                best[at], step[at] = score, (end, phrase)
    cover: Cover = []
    at = 0
    while at < count:
        last, term = step[at]
        cover.append((at, last, term))
        at = last
    return cover


@lru_cache(maxsize=4096)
def _weight(term: Term, lexicon: Lexicon) -> float:
    """How strongly a phrase claims its words: by its content words, a little by the rest."""
    row, words = term.row, term.phrase.split()
    own = not term.meant
    beside = isinstance(row, CueRow) and row.talk and row.cue in _BESIDE and not row.hedge
    inside = 0 if own and beside else sum(map(lexicon.light.__contains__, words))
    content = max(len(words) - inside, 1)
    weight = content * (1 + _LENGTH_BONUS * (content - 1)) + _FILLER_INSIDE * (len(words) - content)
    weight *= _GIVES_WAY.get(term.tag, 1.0)
    if term.how is How.REPAIRED:
        weight *= _REPAIR_FACTOR
    return weight * _ONLY_DATED_FACTOR if own and getattr(row, "only_dated", False) else weight


def _word_weight(words: Sequence[str], at: int, lexicon: Lexicon) -> float:
    word = words[at]
    if word in lexicon.number_words or word.isdecimal():
        after = words[at + 1] if at + 1 < len(words) else ""
        measured = after in lexicon.numbers.units or after in lexicon.numbers.time_units
        return _MEASURED_WEIGHT if measured else _NUMBER_WEIGHT
    return _FILLER_WEIGHT if word in lexicon.fillers else 0.0
