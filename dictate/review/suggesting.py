"""What left-over words may have meant: terms of the lexicon that look and sound alike, to choose from."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from jellyfish import metaphone
from rapidfuzz import fuzz, process

from grammar import load_lexicon

_TAGS = frozenset({"LESION", "ACTION", "FOLLOWUP"})
_ALIKE_MIN = 62.0
"""Mean of two RapidFuzz ratios, 0 to 100: of the letters without gaps, and of their Metaphone keys."""
_LONGEST = 4
_MOST = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Meant:
    """One term that a stretch of heard words may have been."""

    heard: str
    term: str
    text: str
    """The whole note with the term in place of the heard words."""


def meant_instead(words: Sequence[str], leftover: Sequence[int]) -> list[Meant]:
    """Terms for each stretch of left-over words, most alike first; numbers are never touched."""
    number_words = load_lexicon().number_words
    found: list[Meant] = []
    for first, last in _stretches(leftover):
        heard = words[first:last]
        if len(heard) > _LONGEST or any(word in number_words for word in heard):
            continue
        for phrase in _alike("".join(heard)):
            text = " ".join((*words[:first], phrase, *words[last:]))
            found.append(Meant(heard=" ".join(heard), term=phrase, text=text))
    return found


def _alike(letters: str) -> list[str]:
    """The nearest phrases, one for each value."""
    by_letters = process.cdist([letters], list(_phrases().values()), scorer=fuzz.ratio)[0]
    by_sound = process.cdist([metaphone(letters)], _sounds(), scorer=fuzz.ratio)[0]
    scored = zip((by_letters + by_sound) / 2, _phrases(), strict=True)
    terms = load_lexicon().terms
    by_value: dict[object, str] = {}
    for alike, phrase in sorted(scored, key=lambda pair: (-pair[0], len(pair[1]), pair[1])):
        if alike < _ALIKE_MIN or len(by_value) == _MOST:
            break
        by_value.setdefault((terms[phrase].tag, terms[phrase].value), phrase)
    return list(by_value.values())


@cache
def _phrases() -> dict[str, str]:
    """Phrase to its letters without gaps."""
    terms = load_lexicon().terms.values()
    return {
        term.phrase: term.phrase.replace(" ", "")
        for term in terms
        if term.tag in _TAGS and not term.meant
    }


@cache
def _sounds() -> list[str]:
    return [metaphone(letters) for letters in _phrases().values()]


def _stretches(places: Sequence[int]) -> list[tuple[int, int]]:
    """Runs of neighbouring places as (first, one past the last)."""
    ordered = sorted(set(places))
    cuts = [at + 1 for at, (one, two) in enumerate(pairwise(ordered)) if two != one + 1]
    runs = [ordered[a:b] for a, b in zip([0, *cuts], [*cuts, len(ordered)], strict=True)]
    return [(run[0], run[-1] + 1) for run in runs if run]
