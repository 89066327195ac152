"""What may belong at one place of a note: other hearings, words that sound alike, what is usual there.

Everything here is offered to a person, in the order of how likely it is; nothing is applied.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from rapidfuzz.distance import Levenshtein
from rapidfuzz.process import cdist

from dictate.decoder.phones import ARPABET
from dictate.decoder.pronunciation import everyday_words, pronunciations
from dictate.review.habits import END, START, Habits
from dictate.review.line import Line
from grammar import load_lexicon
from grammar.hear.words import UNKNOWN
from grammar.records import How

_MOST = 9
"""They have the keys 1 to 9."""
_SOUND = 10.0
"""How much sounding alike, 0 to 1, counts beside the logarithm of how usual a word is."""
_SOON = 2
"""Heard words between the begin and the end of a term that may be mis-heard with its begin."""
_HEARD = 5
"""How many of the other hearings are offered."""
_TRIED = 12
"""How many are read on trial, to put those first that leave no word over."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """Words that may belong in place of a stretch of the line."""

    text: str
    first: int
    last: int

    def put_into(self, line: Line) -> Line:
        return line.put(self.text, first=self.first, last=self.last)


def offered(
    line: Line,
    hearings: Iterable[Sequence[str]],
    habits: Habits,
    *,
    typed: str = "",
    rank: Callable[[str], Any] = len,
) -> list[Offered]:
    """What to offer at the line's place, likeliest first.

    Args:
        line: The words and the place.
        hearings: Everything that the recogniser heard, likeliest first.
        habits: What is usually said.
        typed: Letters with which it must begin; words before the last one are taken as they are.
        rank: The sort key of a whole text, smallest where it reads best; for the likeliest few.
    """
    if typed:
        found = _typed(line, habits, typed)
    else:
        likely = _usual(line, habits) if line.room or line.here == UNKNOWN else _alike(line, habits)
        likely = likely[:_TRIED]
        likely.sort(key=lambda one: rank(one.put_into(line).text))
        found = [*_heard_here(line, hearings)[:_HEARD], *likely]
    by_words: dict[tuple[str, ...], Offered] = {line.words: found[0]} if found else {}
    for one in found:
        by_words.setdefault(one.put_into(line).words, one)
    by_words.pop(line.words, None)
    return list(by_words.values())[:_MOST]


def _heard_here(line: Line, hearings: Iterable[Sequence[str]]) -> list[Offered]:
    """What the other hearings have at the place."""
    found = []
    for hearing in hearings:
        for change in Levenshtein.opcodes(line.words, hearing):
            there = hearing[change.dest_start : change.dest_end]
            covers = change.src_start <= line.at < change.src_end and not line.room
            opens = line.room and change.src_start == change.src_end == line.at
            if change.tag != "equal" and there and UNKNOWN not in there and (covers or opens):
                found.append(
                    Offered(text=" ".join(there), first=change.src_start, last=change.src_end)
                )
    return found


def _alike(line: Line, habits: Habits) -> list[Offered]:
    """Words and terms that sound like the word here, alone or with a neighbour."""
    phrases, sounds = _phrases(), _sounds()
    spans = {
        (first, last)
        for first, last in (
            (line.at, line.at + 1),
            (line.at - 1, line.at + 1),
            (line.at, line.at + 2),
        )
        if first >= 0 and last <= len(line.words) and UNKNOWN not in line.words[first:last]
    }
    scored: dict[Offered, float] = {}
    for first, last in sorted(spans):
        there = line.words[first:last]
        heard = "".join(_sound(word) for word in there)
        near = cdist([heard], sounds, scorer=Levenshtein.normalized_similarity)[0]
        for at in near.argsort()[::-1][: _MOST * 5]:
            one = Offered(text=phrases[at], first=first, last=last)
            if one.text not in (" ".join(there), *there):
                scored[one] = _SOUND * float(near[at]) + _fitting(line, habits, one)
    terms = load_lexicon().terms
    # `sole ulcers` and `sole ulcer` record the same: they take one place, the name before its plural.
    meant: dict[tuple[int, int, object], Offered] = {}
    for one in sorted(scored, key=lambda one: -scored[one]):
        single = one.text.removesuffix("s")
        term = terms.get(one.text) or terms.get(single)
        means = (term.tag, term.value) if term else single
        place = one.first, one.last, means
        if place not in meant or (term and one.text == term.value):
            meant[place] = one
    return list(meant.values())


def _usual(line: Line, habits: Habits) -> list[Offered]:
    """What usually stands at a place of which no sound is known, with what always follows it."""
    words = [word for word in habits.words if word not in (START, END, UNKNOWN)]
    at = (line.at, line.at + (not line.room))
    one_by_one = [Offered(text=word, first=at[0], last=at[1]) for word in words]
    ordered = sorted(one_by_one, key=lambda one: -_fitting(line, habits, one))
    return _with_more(ordered[:_MOST], habits)


def _typed(line: Line, habits: Habits, typed: str) -> list[Offered]:
    """Words and terms that begin as typed."""
    *whole, begun = typed.lower().split(" ")
    start = " ".join(whole) + " " if whole else ""
    before = whole[-1] if whole else _before(line, line.at)
    known = dict.fromkeys(
        word
        for word in (*habits.words, *_phrases(), *everyday_words())
        if word.startswith(begun) and word not in (START, END, UNKNOWN)
    )
    likeliest = sorted(
        known, key=lambda word: (-habits.likeness(before, word.split()[0]), len(word))
    )
    found = [
        Offered(text=start + word, first=line.at, last=_end_of(line, word.split()))
        for word in likeliest[:_MOST]
    ]
    return _with_more(found, habits)


def _end_of(line: Line, words: Sequence[str]) -> int:
    """Where the stretch ends that words replace: behind the last of them, if that was heard soon after."""
    last = line.at + (not line.room)
    soon = line.words[last : last + _SOON]
    return last + soon.index(words[-1]) + 1 if len(words) > 1 and words[-1] in soon else last


def _with_more(found: Sequence[Offered], habits: Habits) -> list[Offered]:
    """The likeliest also with the words that all but always follow."""
    both = []
    for place, one in enumerate(found):
        both.append(one)
        more = habits.going_on(one.text.split()[-1]) if place < _MOST // 3 else ()
        if more:
            both.append(Offered(text=" ".join((one.text, *more)), first=one.first, last=one.last))
    return both


def _fitting(line: Line, habits: Habits, one: Offered) -> float:
    words = one.text.split()
    after = line.words[one.last] if one.last < len(line.words) else END
    score = habits.likeness(_before(line, one.first), words[0])
    # Where nothing was understood more may be missing, so what follows says little.
    if line.here != UNKNOWN:
        score += habits.likeness(words[-1], after)
    return score


def _before(line: Line, at: int) -> str:
    return line.words[at - 1] if at > 0 else START


@cache
def _phrases() -> list[str]:
    lexicon = load_lexicon()
    terms = (term.phrase for term in lexicon.terms.values() if term.how == How.EXACT)
    return sorted({*terms, *lexicon.vocabulary})


@cache
def _sounds() -> list[str]:
    return ["".join(_sound(word) for word in phrase.split()) for phrase in _phrases()]


@cache
def _sound(word: str) -> str:
    """One letter a phone; a word without a pronunciation is taken by its letters."""
    spoken = pronunciations().get(word) or everyday_words().get(word)
    return "".join(chr(0xE000 + ARPABET.index(phone)) for phone in spoken[0]) if spoken else word
