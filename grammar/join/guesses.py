"""What else may have been said where a note does not add up: phrases near the words in doubt."""

from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import lru_cache

from grammar.hear.phrases import Cover, Found, choose_cover
from grammar.hear.recut import recut
from grammar.hear.repair import (
    KNOWN_MAX,
    apart,
    countless,
    cut_up,
    gapless_distance,
    keeps_site,
    may_be_meant,
    same_but_first_vowel,
    sounding_like,
    word_distance,
)  # fmt: skip
from grammar.hear.words import UNKNOWN
from grammar.join.amiss import FOOTLESS, HANGING, ODD, marked
from grammar.lexicon.lexicon import Lexicon, Term, stand_in
from grammar.records import How, Reading

__all__ = ["HANGING_MAX", "Guess", "guesses", "near_enough"]

WORDS_MAX = 4
"""Words of the longest phrase that is put in."""
LETTERS_MIN = 3
"""Letters of a word that tells a phrase of two words from others: "t" or "d" does not."""
REACH = 3
"""Words around the doubtful ones that may be the misheard ones."""
GUESSES_MAX = 4
"""Readings tried at most in a round; the likeliest first."""
LEFT_MAX = 0.3
"""A phrase may not sound further from the words than this where words are only left over …"""
ALONE_MAX = 0.2
"""… a phrase of one word not further than this …"""
HANGING_MAX = 0.5
"""… and none further than this, also where it gives a slot what it lacked."""
REST_MAX = 0.44
"""How far the part that differs may be from the phrase's, by itself."""
_SITES = frozenset({"FOOT", "HALF"})
_WHOLE = frozenset({"FOOT", "WHEN", "FILL", "COURSE", "GONE", "PAST"})
"""Tags of phrases that no guess may break up."""
_CUES = frozenset({"GONE", "PAST", "NOT", "NO", "UNDONE", "LEFTUNDONE", "CORRECTION", "EXCEPT"})
"""Tags of words that act on others."""
_HOLE = "_"


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


def near_enough(guess: Guess, *, gives_place: bool) -> bool:
    """Whether a guess is near what was heard.  gives_place: whether a slot that hung in the air has its place now."""
    if gives_place:
        return guess.distance <= HANGING_MAX
    return guess.distance <= (ALONE_MAX if guess.last == guess.first + 1 else LEFT_MAX)


def guesses(
    reading: Reading, words: Sequence[str], phrases: Found, lexicon: Lexicon
) -> list[Guess]:
    """Return what may have been said around the places that do not add up, the likeliest first."""
    cover = choose_cover(words, phrases, lexicon)
    settled = _settled_words(cover)
    whole = {(a, b) for a, b, _ in cover}
    begins, ends = {a for a, _ in whole}, {b for _, b in whole}

    def around(places: Sequence[tuple[int, int]], reach: int) -> set[int]:
        return _around(places, reach, reading, len(words)) - settled

    hanging = _places(reading, HANGING)
    odd_places = _places(reading, ODD)
    of_talk = [one for one in odd_places if words[one[0]] in lexicon.talk]
    near = around([*((i, i + 1) for i in reading.leftover), *hanging], REACH)
    near |= around(of_talk, 1)
    odd = near | around(odd_places, 1)
    footless = near | around(_places(reading, FOOTLESS), REACH)
    found: list[Guess] = []
    for first in sorted(odd | footless):
        for last in range(first + 1, min(first + WORDS_MAX, len(words)) + 1):
            inside = range(first, last)
            cut = first in begins and last in ends and (first, last) not in whole
            if odd.issuperset(inside):
                found += _learnt(words, first, last, lexicon)
            if near.issuperset(inside):
                make = _alike if last > first + 1 else _alone
                found += make(words, first, last, lexicon)
                found += _cut_elsewhere(words, first, last, lexicon) if cut else ()
            elif cut and footless.issuperset(inside):
                feet = _cut_elsewhere(words, first, last, lexicon)
                found += (guess for guess in feet if guess.term.tag in _SITES)
    found = [one for one in found if near_enough(one, gives_place=bool(hanging))]
    return sorted(found, key=lambda guess: guess.rank)[:GUESSES_MAX]


def _places(reading: Reading, checks: AbstractSet[str]) -> list[tuple[int, int]]:
    return [(mark.first, mark.last) for mark in marked(reading, checks) if mark.first >= 0]


def _around(spans: Sequence[tuple[int, int]], reach: int, reading: Reading, count: int) -> set[int]:
    """Return the words in these places and so many around them."""
    animal = reading.entries[0].animal
    begin = max(animal.last, 0) if animal else 0  # of what stands before "cow" only she is misheard
    return {i for a, b in spans for i in range(max(begin, a - reach), min(b + reach, count))}


def _settled_words(cover: Cover) -> set[int]:
    """Return the words of sites and times heard in more words than one.

    "Right front" and "next visit" were hardly misheard as a whole, and no other phrase may take a
    part of them.
    """
    return {
        at
        for first, last, term in cover
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
            may_be_meant(term)
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
    told = _meanings(heard, lexicon)
    for hole, word in enumerate(heard):
        if (
            lexicon.fills_a_slot(word)
            or _is_cue(word, lexicon)
            or word in lexicon.numbers.time_units
        ):
            continue
        near: dict[tuple[str, object], tuple[float, Term]] = {}
        for term in _with_a_hole(lexicon).get((*heard[:hole], _HOLE, *heard[hole + 1 :]), ()):
            one = (_far(word, term.phrase.split()[hole], lexicon), term)
            meaning = (term.tag, term.value)
            if meaning in told:
                continue  # a word more tells nothing new
            near[meaning] = min(near.get(meaning, one), one, key=lambda one: one[0])
        for distance, term in near.values():
            if distance > 0 and keeps_site(heard, term, lexicon):
                yield Guess(
                    first=first, last=last, times=0, distance=distance,
                    known=word in lexicon.vocabulary and word not in lexicon.fillers,
                    term=stand_in(term, " ".join(heard), How.REPAIRED),
                )  # fmt: skip


def _is_cue(word: str, lexicon: Lexicon) -> bool:
    """ "Gone", "not", "last": a word that alone acts on others was hardly misheard for a term."""
    term = lexicon.terms.get(word)
    return term is not None and term.tag in _CUES


def _far(heard: str, said: str, lexicon: Lexicon) -> float:
    """What was heard as nothing stands for anything, but not closely; a word that everybody knows for few."""
    distance = word_distance(heard, said)
    if heard == UNKNOWN:
        return min(distance, HANGING_MAX)
    return distance if heard not in lexicon.everyday or distance <= KNOWN_MAX else 1.0


def _alone(words: Sequence[str], first: int, last: int, lexicon: Lexicon) -> Iterator[Guess]:
    """The phrases of one word that an unknown word sounds like, further away than repair goes."""
    heard = words[first]
    if heard in lexicon.everyday or not heard.isalpha() or len(heard) < LETTERS_MIN:
        return
    for near in sounding_like(heard, lexicon):
        yield Guess(
            first=first, last=last, times=0, distance=near.distance, known=False,
            term=stand_in(near.term, heard, How.REPAIRED),
        )  # fmt: skip


def _cut_elsewhere(
    words: Sequence[str], first: int, last: int, lexicon: Lexicon
) -> Iterator[Guess]:
    """Phrases that sound like the words together: "toe all sir", "in to digital"."""
    heard = words[first:last]
    if len(heard) < 2 or not all(_may_be_a_part(word, lexicon) for word in heard):
        return
    if any(_is_cue(word, lexicon) for word in heard):
        return  # "through, no block" is no thorn
    said = " ".join(heard)
    told = _meanings(heard, lexicon)
    for near in recut(said, lexicon):
        term = near.term
        if (
            (term.tag, term.value) not in told  # a word more tells nothing new
            and term.value != "no lesion"
            and term.tag != "STATUS"
            and keeps_site(heard, term, lexicon)
            and _keeps_terms(heard, term.phrase, lexicon)
            and _sounds_cut(heard, term.phrase.split(), lexicon)
        ):
            yield Guess(
                first=first, last=last, times=0, distance=near.distance, known=False,
                term=stand_in(term, said, How.REPAIRED),
            )  # fmt: skip


def _may_be_a_part(word: str, lexicon: Lexicon) -> bool:
    """Numbers and times are never a part of another word."""
    numbers = lexicon.numbers
    tables = (numbers.time_units, numbers.weekdays, numbers.months, numbers.ordinals, numbers.units)
    return word.isalpha() and countless([word], lexicon) and not any(word in one for one in tables)


def _keeps_terms(heard: Sequence[str], phrase: str, lexicon: Lexicon) -> bool:
    """ "Toe all sir" keeps its toe; "rubber on" is no "rubbed on"."""
    letters = phrase.replace(" ", "")
    return all(word in letters for word in heard if lexicon.fills_a_slot(word))


def _sounds_cut(heard: Sequence[str], phrase: Sequence[str], lexicon: Lexicon) -> bool:
    """Whether what differs is near by itself: the same sound, or with a word that nobody knows."""
    one, other = apart(heard, phrase)
    if not one or not other:
        return False
    rest, meant = " ".join(one), " ".join(other)
    if same_but_first_vowel(rest, meant):
        return True
    heard_wrong = cut_up(one, other, phrase) or not lexicon.everyday.issuperset(one)
    return heard_wrong and gapless_distance(rest, meant) <= REST_MAX


def _meanings(words: Sequence[str], lexicon: Lexicon) -> set[tuple[str, object]]:
    """Return what parts of the words mean by themselves."""
    count = len(words)
    parts = (" ".join(words[a:b]) for a in range(count) for b in range(a + 1, count + 1))
    terms = [term for part in parts if (term := lexicon.terms.get(part)) is not None]
    return {(term.tag, term.value) for term in terms if term.how is not How.REPAIRED}
