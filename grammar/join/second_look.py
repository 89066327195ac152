"""A second look at a note that does not add up: what else may have been said there.

Where words are left over or a slot hangs in the air (`amiss`), phrases of the lexicon that may have
been misheard there (`guesses`) are put in one by one, and the whole note is read again.
The reading in which least is in doubt is kept; the phrase is marked as repaired.  Numbers and
animals stay as they were heard: a reading that names other animals is thrown away.
"""

from collections.abc import Callable, Sequence

from grammar.hear.phrases import Found, choose_cover
from grammar.hear.repair import GROUNDS, heard_as_such
from grammar.join.amiss import doubt, hanging
from grammar.join.guesses import Guess, guesses, near_enough
from grammar.lexicon.lexicon import Lexicon
from grammar.records import Reading

__all__ = ["animals_of", "look_again"]

ROUNDS_MAX = 2
"""Phrases put in at most: of a note with more in doubt too little was heard."""
MARGIN = 0.12
"""The next phrase with another meaning must be further away by this much."""

_Tried = tuple[int, Guess, Reading, Found]
"""Doubt left, what was put in, how the note reads then, its phrases."""


def animals_of(reading: Reading) -> tuple[str | None, ...]:
    """Return the animal of each entry."""
    return tuple(entry.animal.value if entry.animal else None for entry in reading.entries)


def look_again(
    reading: Reading,
    words: Sequence[str],
    found: Found,
    read: Callable[[Found], Reading],
    lexicon: Lexicon,
) -> Reading:
    """Return the best reading with up to ROUNDS_MAX phrases put in.

    read: reads the note with other phrases found in it.
    """
    if doubt(reading) and heard_as_such(choose_cover(words, found, lexicon)).isdisjoint(GROUNDS):
        return reading  # nothing was heard for sure: chatter
    for _ in range(ROUNDS_MAX):
        in_doubt, in_the_air = doubt(reading), hanging(reading)
        if not in_doubt or not reading.entries:
            break
        tried: list[_Tried] = []
        for guess in guesses(reading, words, found, lexicon):
            put = _put(found, guess)
            other = read(put)
            left = doubt(other)
            if (
                left < in_doubt
                and animals_of(other) == animals_of(reading)
                and near_enough(guess, gives_place=hanging(other) < in_the_air)
            ):
                tried.append((left, guess, other, put))
        least = min((left for left, *_ in tried), default=0)
        best = _settled([one for one in tried if one[0] == least])
        if best is None:
            break
        _, _, reading, found = best
    return reading


def _settled(tried: Sequence[_Tried]) -> _Tried | None:
    """Return the likeliest, unless a phrase with another meaning is about as likely there."""
    for one in sorted(tried, key=lambda one: one[1].rank):
        guess = one[1]
        rivals = [
            other
            for _, other, *_ in tried
            if (other.first, other.last) == (guess.first, guess.last)
            and (other.term.tag, other.term.value) != (guess.term.tag, guess.term.value)
        ]
        if all(_likelier(guess, rival) for rival in rivals):
            return one
    return None


def _likelier(guess: Guess, rival: Guess) -> bool:
    if guess.times != rival.times:
        return guess.times > rival.times
    return rival.distance >= guess.distance + MARGIN


def _put(found: Found, guess: Guess) -> Found:
    """Return the phrases with this one in place of all that overlap it."""
    clear = {
        first: [(last, t) for last, t in terms if last <= guess.first or first >= guess.last]
        for first, terms in found.items()
    }
    return clear | {guess.first: [(guess.last, guess.term)]}
