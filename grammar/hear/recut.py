"""Phrases whose words were cut elsewhere: "toe all sir" is a toe ulcer, "right hi and" the right hind.

A recogniser that does not know a word writes others that sound like it together.  So the words are
compared without their gaps, by sound and by letters (`gapless_distance`).
"""

from collections.abc import Sequence
from functools import lru_cache

from rapidfuzz import process
from rapidfuzz.distance import Levenshtein

from grammar.hear.repair import WEIGHTS, Candidate, gapless_distance, repairable, sound_of
from grammar.lexicon.lexicon import Lexicon

__all__ = ["recut"]

DISTANCE_MAX = 0.24
"""How far the words may be from the phrase, without their gaps."""
_SOUND_MAX = 0.25
"""The same for their sounds alone."""
_LETTERS_MIN = 7
"""Fewer letters sound like too much."""
_SOUNDS_APART = 2
"""How many sounds more or less a phrase may have."""

_Key = tuple[str, int]
"""First sound of a phrase and how many sounds it has."""


@lru_cache(maxsize=4)
def _by_sound(lexicon: Lexicon) -> dict[_Key, dict[str, list[str]]]:
    """Return the phrases by their sound, and the sounds by their beginning and length."""
    found: dict[_Key, dict[str, list[str]]] = {}
    for phrase in repairable(lexicon):
        if len(phrase) >= _LETTERS_MIN:
            sound = sound_of(phrase)
            found.setdefault((sound[:1], len(sound)), {}).setdefault(sound, []).append(phrase)
    return found


@lru_cache(maxsize=8192)
def recut(heard: str, lexicon: Lexicon) -> tuple[Candidate, ...]:
    """Return, of each meaning, the nearest phrase that the words may be, nearest first."""
    letters = heard.replace(" ", "")
    sound = sound_of(heard)
    if len(letters) < _LETTERS_MIN or not sound:
        return ()
    near: dict[tuple[str, object], Candidate] = {}
    for phrase in _sounding_like(sound, lexicon):
        one = Candidate(term=lexicon.terms[phrase], distance=gapless_distance(heard, phrase))
        meaning = (one.term.tag, one.term.value)
        if one.distance <= DISTANCE_MAX and (
            meaning not in near or one.distance < near[meaning].distance
        ):
            near[meaning] = one
    return tuple(sorted(near.values(), key=lambda one: (one.distance, one.term.phrase)))


def _sounding_like(sound: str, lexicon: Lexicon) -> Sequence[str]:
    table = _by_sound(lexicon)
    phrases: list[str] = []
    for count in range(len(sound) - _SOUNDS_APART, len(sound) + _SOUNDS_APART + 1):
        sounds = table.get((sound[0], count), {})
        close = process.extract(
            sound,
            sounds.keys(),
            scorer=Levenshtein.normalized_distance,
            scorer_kwargs={"weights": WEIGHTS},
            score_cutoff=_SOUND_MAX,
            limit=None,
        )
        phrases += [phrase for key, _, _ in close for phrase in sounds[key]]
    return phrases
