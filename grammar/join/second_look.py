"""A second look at a note that does not add up: what else may have been said there.

Where words are left over or a slot hangs in the air, each phrase of the lexicon that has all words
but one in common with what was heard there is put in its place, and the whole note is read again.
The reading in which least is in doubt is kept; the phrase is marked as repaired.  Numbers and
animals stay as they were heard: a reading that names other animals is thrown away.
"""

from collections.abc import Callable, Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import lru_cache

from grammar.hear.chunks import Found, choose_cover
from grammar.hear.repair import GROUNDS, heard_as_such, keeps_site, sounding_like, word_distance
from grammar.hear.words import UNKNOWN
from grammar.lexicon.lexicon import REPAIRABLE, Lexicon, Term, stand_in
from grammar.records import How, Mark, Reading

HANGING = frozenset({"detail-without-lesion", "material-without-action", "time-without-follow-up"})
"""Marks of slots that hang in the air: what they belong to was misheard."""
ODD = "odd-word"
"""Mark of a little word that makes no sense; only what a recogniser was heard to write so is tried there."""
WORDS_MAX = 4
"""Words of the longest phrase that is put in."""
LETTERS_MIN = 3
"""Letters of a word that tells a phrase of two words from others: "t" or "d" does not."""
REACH = 3
"""Words around the doubtful ones that may be the misheard ones."""
GUESSES_MAX = 4
"""Readings tried at most in a round; the likeliest first."""
ROUNDS_MAX = 2
"""Phrases put in at most: of a note with more in doubt too little was heard."""
LEFT_MAX = 0.3
"""A phrase may not sound further from the words than this where words are only left over …"""
ALONE_MAX = 0.2
"""… a phrase of one word not further than this …"""
HANGING_MAX = 0.5
"""… and none further than this, also where it gives a slot what it lacked."""
MARGIN = 0.12
"""The next phrase with another meaning must be further away by this much."""
_WHOLE = frozenset({"FOOT", "WHEN", "FILL", "COURSE", "GONE", "PAST"})
"""Tags of phrases that no guess may break up."""
_CUES = frozenset({"GONE", "PAST", "NOT", "NO", "UNDONE", "LEFTUNDONE", "CORRECTION", "EXCEPT"})
"""Tags of words that act on others."""
_HOLE = "_"

_Tried = tuple[int, "Guess", Reading, Found]
"""Doubt left, what was put in, how the note reads then, its phrases."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """A phrase that may have been said for the words from `first` to `last`."""

    first: int
    last: int
    term: Term
    times: int
    """How often a recogniser was heard to write these words for it."""
    known: bool
    """Whether it takes the place of a word that has a meaning of its own."""
    distance: float
    """Of the word that differs, by sound and spelling."""

    @property
    def rank(self) -> tuple[int, bool, float, str]:
        """The likeliest first: often heard so, in place of an empty word, nearest."""
        return -self.times, self.known, self.distance, self.term.meant


def doubt(reading: Reading) -> int:
    """Return how many words and slots of a reading do not fit in."""
    return len(reading.leftover) + _hanging(reading) + len(_marked(reading, {ODD}))


def _hanging(reading: Reading) -> int:
    return len(_marked(reading, HANGING))


def _marked(reading: Reading, checks: AbstractSet[str]) -> list[Mark]:
    return [mark for entry in reading.entries for mark in entry.marks if mark.check in checks]


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
        if not doubt(reading) or not reading.entries:
            break
        tried = [
            (doubt(other), guess, other, put)
            for guess in _guesses(reading, words, found, lexicon)
            for put in (_put(found, guess),)
            for other in (read(put),)
            if animals_of(other) == animals_of(reading)
            and doubt(other) < doubt(reading)
            and _near_enough(guess, gives_place=_hanging(other) < _hanging(reading))
        ]
        least = min((left for left, *_ in tried), default=0)
        best = _settled([one for one in tried if one[0] == least])
        if best is None:
            break
        _, _, reading, found = best
    return reading


def _near_enough(guess: Guess, *, gives_place: bool) -> bool:
    """gives_place: whether a slot that hung in the air has its place now."""
    if gives_place:
        return guess.distance <= HANGING_MAX
    return guess.distance <= (ALONE_MAX if guess.last == guess.first + 1 else LEFT_MAX)


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


# --- guesses --------------------------------------------------------------------------------


def _guesses(
    reading: Reading, words: Sequence[str], phrases: Found, lexicon: Lexicon
) -> list[Guess]:
    settled = _settled_words(words, phrases, lexicon)
    left = [(i, i + 1) for i in reading.leftover]
    hanging = [(mark.first, mark.last) for mark in _marked(reading, HANGING) if mark.first >= 0]
    odd = [(mark.first, mark.last) for mark in _marked(reading, {ODD})]
    near = _around([*left, *hanging], REACH, reading, len(words)) - settled
    at = near | (_around(odd, 1, reading, len(words)) - settled)
    found = (
        guess
        for first in sorted(at)
        for last in range(first + 1, min(first + WORDS_MAX, len(words)) + 1)
        if at.issuperset(range(first, last))
        for guesses in (_learnt, *_unheard(near.issuperset(range(first, last)), last - first))
        for guess in guesses(words, first, last, lexicon)
        if _near_enough(guess, gives_place=bool(hanging))
    )
    return sorted(found, key=lambda guess: guess.rank)[:GUESSES_MAX]


def _unheard(near: bool, count: int) -> tuple[Callable[..., Iterator[Guess]], ...]:
    """Return how phrases that nobody was heard to write so are found: not near odd words alone."""
    if not near:
        return ()
    return (_alike,) if count > 1 else (_alone,)


def _around(spans: Sequence[tuple[int, int]], reach: int, reading: Reading, count: int) -> set[int]:
    """Return the words in these places and so many around them."""
    animal = reading.entries[0].animal
    begin = max(animal.last, 0) if animal else 0  # of what stands before "cow" only she is misheard
    return {i for a, b in spans for i in range(max(begin, a - reach), min(b + reach, count))}


def _settled_words(words: Sequence[str], found: Found, lexicon: Lexicon) -> set[int]:
    """Return the words of sites and times heard in more words than one.

    "Right front" and "next visit" were hardly misheard as a whole, and no other phrase may take a
    part of them.
    """
    return {
        at
        for first, last, term in choose_cover(words, found, lexicon)
        if term is not None and term.how is not How.REPAIRED
        if term.tag in _WHOLE or term.value == "no lesion"
        for at in range(first, last)
        if last > first + 1
    }


@lru_cache(maxsize=4)
def _with_a_hole(lexicon: Lexicon) -> dict[tuple[str, ...], tuple[Term, ...]]:
    """Return the phrases by their words with one of them left open."""
    found: dict[tuple[str, ...], list[Term]] = {}
    for phrase, term in lexicon.terms.items():
        said = tuple(phrase.split())
        if (
            term.tag in REPAIRABLE
            and term.how is not How.REPAIRED
            and 2 <= len(said) <= WORDS_MAX
            and lexicon.number_words.isdisjoint(said)
            and term.value != "no lesion"
        ):
            for hole in range(len(said)):
                rest = (*said[:hole], _HOLE, *said[hole + 1 :])
                telling = any(len(w) >= LETTERS_MIN and w not in lexicon.fillers for w in rest)
                if telling:
                    found.setdefault(rest, []).append(term)
    return {rest: tuple(terms) for rest, terms in found.items()}


def _learnt(words: Sequence[str], first: int, last: int, lexicon: Lexicon) -> Iterator[Guess]:
    """Phrases that a recogniser was heard to write so."""
    heard = " ".join(words[first:last])
    for term, times in lexicon.in_doubt.get(heard, ()):
        yield Guess(first=first, last=last, term=term, times=times, known=True, distance=0.0)


def _alike(words: Sequence[str], first: int, last: int, lexicon: Lexicon) -> Iterator[Guess]:
    """Of each meaning, the nearest phrase that has all words but one in common."""
    heard = tuple(words[first:last])
    if not lexicon.number_words.isdisjoint(heard) or any(map(str.isdecimal, heard)):
        return
    for hole, word in enumerate(heard):
        if lexicon.fills_a_slot(word) or _is_cue(word, lexicon):
            continue
        near: dict[tuple[str, object], tuple[float, Term]] = {}
        for term in _with_a_hole(lexicon).get((*heard[:hole], _HOLE, *heard[hole + 1 :]), ()):
            one = (_far(word, term.phrase.split()[hole], lexicon), term)
            meaning = (term.tag, term.value)
            near[meaning] = min(near.get(meaning, one), one, key=lambda one: one[0])
        for distance, term in near.values():
            if distance > 0 and keeps_site(heard, term, lexicon):
                yield Guess(
                    first=first, last=last, times=0, distance=distance,
                    known=word in lexicon.vocabulary and word not in lexicon.fillers,
                    term=stand_in(term, " ".join(heard), How.REPAIRED, lexicon.light),
                )  # fmt: skip


def _is_cue(word: str, lexicon: Lexicon) -> bool:
    """ "Gone", "not", "last": a word that alone acts on others was hardly misheard for a term."""
    term = lexicon.terms.get(word)
    return term is not None and term.tag in _CUES


def _far(heard: str, said: str, lexicon: Lexicon) -> float:
    """A word that says nothing stands for anything, but not closely."""
    distance = word_distance(heard, said)
    return min(distance, HANGING_MAX) if heard in lexicon.fillers or heard == UNKNOWN else distance


def _alone(words: Sequence[str], first: int, last: int, lexicon: Lexicon) -> Iterator[Guess]:
    """The phrases of one word that an unknown word sounds like, further away than repair goes."""
    heard = words[first]
    known = heard in lexicon.vocabulary or heard in lexicon.fillers
    if known or not heard.isalpha() or len(heard) < LETTERS_MIN:
        return
    for near in sounding_like(heard, lexicon):
        yield Guess(
            first=first, last=last, times=0, distance=near.distance, known=False,
            term=stand_in(near.term, heard, How.REPAIRED, lexicon.light),
        )  # fmt: skip
