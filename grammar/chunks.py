"""Words to chunks: lexicon phrases, numbers, units, fillers; each word in one chunk.

spaCy's PhraseMatcher finds every phrase of the lexicon; the segmentation that covers the most words
with the fewest and weightiest phrases is chosen by dynamic programming, in time linear in the words.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import spacy
from spacy.matcher import PhraseMatcher
from spacy.tokens import Doc

from grammar.lexicon import Lexicon, Term
from grammar.numbers import find_runs, quantity_prefix, quantity_suffix

__all__ = ["Chunk", "blank", "find_terms", "to_chunks"]

_STRANGE = "\u25a1"
"""Stands for any word outside the vocabulary, so that spaCy's string store never grows."""

_WEIGHTS = {"HALF": 0.55, "ON": 0.5, "WITH": 0.5, "REGION": 0.95, "NO": 0.9, "SCORE": 0.95}
_NUMBER_WEIGHT = 0.9
_FILLER_WEIGHT = 0.2

SMALL_LIMITS = {"ZONE": 12, "M": 5, "GRADE": 10, "LOCOMOTION": 10, "SCORE": 10, "OUTOF": 10}
"""Cues that are followed by a small quantity, and the largest that is taken."""
_IDENTIFIER_CUES = frozenset({"ANIMAL", "ENDING"})
_UNITS = frozenset({"UNIT", "TIMEUNIT", "MONTH"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Chunk:
    """A stretch of words with one meaning."""

    tag: str
    first: int
    last: int
    text: str
    term: Term | None = None


@lru_cache(maxsize=1)
def blank() -> spacy.language.Language:
    """Return spaCy's blank English pipeline; no model is loaded."""
    return spacy.blank("en")


@lru_cache(maxsize=4)
def _phrase_matcher(lexicon_id: int, phrases: tuple[str, ...]) -> PhraseMatcher:
    nlp = blank()
    matcher = PhraseMatcher(nlp.vocab, attr="ORTH")
    for phrase in phrases:
        matcher.add(phrase, [Doc(nlp.vocab, words=phrase.split())])
    return matcher


_matchers: dict[int, tuple[Lexicon, PhraseMatcher, frozenset[str]]] = {}


def _matcher(lexicon: Lexicon) -> tuple[PhraseMatcher, frozenset[str]]:
    """Build the matcher of a lexicon once."""
    kept = _matchers.get(id(lexicon))
    if kept is None or kept[0] is not lexicon:
        known = frozenset(word for phrase in lexicon.terms for word in phrase.split())
        matcher = _phrase_matcher(id(lexicon), tuple(lexicon.terms))
        kept = _matchers[id(lexicon)] = (lexicon, matcher, known)
    return kept[1], kept[2]


def find_terms(words: Sequence[str], lexicon: Lexicon) -> dict[int, list[tuple[int, Term]]]:
    """Return every lexicon phrase in the words: first word -> (one past the last word, term)."""
    if not words:
        return {}
    matcher, known = _matcher(lexicon)
    doc = Doc(blank().vocab, words=[word if word in known else _STRANGE for word in words])
    found: dict[int, list[tuple[int, Term]]] = defaultdict(list)
    for key, first, last in matcher(doc):
        found[first].append((last, lexicon.terms[doc.vocab.strings[key]]))
    return found


def _choose(
    words: Sequence[str], found: dict[int, list[tuple[int, Term]]], lexicon: Lexicon
) -> list[tuple[int, int, Term | None]]:
    """Choose the best cover: from the end, the best score of each suffix."""
    count = len(words)
    best = [0.0] * (count + 1)
    step: list[tuple[int, Term | None]] = [(0, None)] * count
    for at in range(count - 1, -1, -1):
        word = words[at]
        alone = 0.0
        if word in lexicon.number_words or word.isdecimal():
            alone = _NUMBER_WEIGHT
        elif word in lexicon.fillers:
            alone = _FILLER_WEIGHT
        best[at], step[at] = alone + best[at + 1], (at + 1, None)
        for last, term in found.get(at, ()):
            length = last - at
            score = _WEIGHTS.get(term.tag, 1.0) * length + 0.1 * (length - 1) + best[last]
            if score > best[at]:
                best[at], step[at] = score, (last, term)
    chosen, at = [], 0
    while at < count:
        last, term = step[at]
        chosen.append((at, last, term))
        at = last
    return chosen


def to_chunks(words: Sequence[str], lexicon: Lexicon) -> list[Chunk]:
    """Cut the words into chunks; every word is in exactly one."""
    chosen = _choose(words, find_terms(words, lexicon), lexicon)
    free = [False] * len(words)
    for first, _, term in chosen:
        if term is None:
            free[first] = True
    runs = {first: last for first, last in find_runs(words, free, lexicon.numbers)}
    chunks: list[Chunk] = []
    skip = 0
    for first, last, term in chosen:
        if first < skip:
            continue
        if first in runs:
            skip = runs[first]
            chunks.append(_chunk(words, "NUM", first, skip))
        elif term is not None:
            chunks.append(_chunk(words, term.tag, first, last, term))
        else:
            chunks.append(_chunk(words, _word_tag(words[first], lexicon), first, last))
    return _split_numbers(chunks, words, lexicon)


def _chunk(
    words: Sequence[str], tag: str, first: int, last: int, term: Term | None = None
) -> Chunk:
    return Chunk(tag=tag, first=first, last=last, text=" ".join(words[first:last]), term=term)


def _word_tag(word: str, lexicon: Lexicon) -> str:
    numbers = lexicon.numbers
    if word in numbers.units:
        return "UNIT"
    if word in numbers.time_units:
        return "TIMEUNIT"
    if word in numbers.weekdays:
        return "WEEKDAY"
    if word in numbers.ordinals:
        return "ORDINAL"
    if word in numbers.months:
        return "MONTH"
    return "FILL" if word in lexicon.fillers else "OTHER"


def _split_numbers(
    chunks: list[Chunk], words: Sequence[str], lexicon: Lexicon
) -> list[Chunk]:
    """Cut a run of number words where two numbers meet: "zone four | two weeks"."""
    result: list[Chunk] = []
    for index, chunk in enumerate(chunks):
        if chunk.tag != "NUM":
            result.append(chunk)
            continue
        after = _after_number(chunks, index)
        result += _split_run(chunk, _cue_before(result), after in _UNITS, words, lexicon)
    return result


def _cue_before(chunks: Sequence[Chunk]) -> str:
    """Return the tag of the nearest chunk before that is not a filler."""
    for chunk in reversed(chunks):
        if chunk.tag != "FILL":
            return chunk.tag
    return ""


def _after_number(chunks: Sequence[Chunk], index: int) -> str:
    """Return the tag after a number, past the `a`, `an`, `of an` of "half an inch"."""
    for chunk in chunks[index + 1 : index + 4]:
        if chunk.text not in ("a", "an", "of"):
            return chunk.tag
    return ""


def _split_run(
    chunk: Chunk, cue: str, before_unit: bool, words: Sequence[str], lexicon: Lexicon
) -> list[Chunk]:
    numbers = lexicon.numbers
    first, last = chunk.first, chunk.last
    cuts: list[int] = []
    run = words[first:last]
    if cue in SMALL_LIMITS:
        count = quantity_prefix(run, numbers, SMALL_LIMITS[cue])
        if 0 < count < len(run):
            cuts.append(first + count)
    start = cuts[-1] if cuts else first
    if before_unit:
        run = words[start:last]
        keep = 1 if cue in _IDENTIFIER_CUES and not cuts else 0
        count = quantity_suffix(run[keep:], numbers) if len(run) > keep else 0
        if 0 < count < len(run):
            cuts.append(last - count)
    edges = [first, *cuts, last]
    return [
        replace(chunk, first=a, last=b, text=" ".join(words[a:b]))
        for a, b in zip(edges, edges[1:], strict=False)
    ]
