"""Talk or note: how likely a stretch of speech is talk around the chute, and what follows from it.

Trade words forced upon other speech fit its sound worse than words that were said, and the
engine's other readings agree on them less.  How well a note fits depends on the speaker and the
microphone, so the fit is taken beside that of the speaker's other notes.  What is judged is a
stretch between two pauses, never a whole note for the sake of one.
"""

import math
import statistics
import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from importlib import resources
from typing import Self

from pydantic import BaseModel, ConfigDict

from dictate.decoder.language import FILLER
from dictate.entry.values import MarkValues
from dictate.hearing.certainty import rank_of
from dictate.hearing.engine import Fit
from dictate.hearing.remarks import place_of_remark
from grammar import Word, load_lexicon

_OWN = 5
"""Notes of a speaker that count as much as what is known of speakers at large."""
_AGREED = 3.0
"""Agreement from which a stretch is surely a note, so that it tells how the speaker's notes fit."""
_QUIET = 0.2
"""Loudness of machines up to which a fit tells of the speaker and not of the machines."""
_UNTOLD = Fit(start=-math.inf, end=math.inf, fit=0.0, agreement=2.0)
"""Of an engine that cannot tell how well it understood: `[unk]` alone decides."""
MAY_BE_TALK = "may-be-talk"
"""Check of what may have been said to somebody else; its candidate, if any, are the words left out."""


class _File(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    base: float
    fit: float
    agreement: float
    filler: float
    machines: float
    mark_from: float
    leave_from: float
    leave_animal_from: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Talk:
    """A stretch of the likeliest hearing that is doubted as talk."""

    start: float
    """Seconds from the start of the sound to the middle of its first word, and of its last."""
    end: float
    text: str
    chance: float
    left: bool
    """Whether nothing is read from it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """The hearings of one sound, ready to be read."""

    hearings: tuple[tuple[Word, ...], ...]
    """With fillers in the place of words from which nothing is to be read; each once."""
    heard: tuple[tuple[Word, ...], ...]
    """The same hearings with the words that were heard."""
    talk: tuple[Talk, ...] = ()
    again: tuple[Word, ...] = ()
    """What a second listener heard."""
    swapped: bool = False
    """Whether its words are those that are read, and `again` are the first's."""
    voice: bool = False
    """Whether a model heard it that has learnt its speaker's voice."""

    @property
    def aside(self) -> bool:
        """Whether all of the sound is talk, and no animal is named in it."""
        return (
            any(talk.left for talk in self.talk)
            and all(word.text == FILLER for word in self.hearings[0])
            and animal_words().isdisjoint(word.text for word in self.heard[0])
        )

    @classmethod
    def as_they_are(cls, hearings: Sequence[Sequence[Word]]) -> Self:
        """Return hearings that nobody doubts, such as typed words."""
        whole = tuple(tuple(words) for words in hearings)
        return cls(hearings=whole, heard=whole)

    def as_heard(self, words: Sequence[Word]) -> tuple[Word, ...]:
        """Return the heard words of the hearing that was read."""
        return self.heard[rank_of(words, self.hearings)] if self.heard else ()


@lru_cache(maxsize=1)
def _file() -> _File:
    text = resources.files("dictate.hearing").joinpath("talk.toml").read_text("utf-8")
    return _File.model_validate(tomllib.loads(text))


def judge(
    hearings: Sequence[Sequence[Word]],
    fits: Sequence[Fit] = (),
    *,
    usual: float = 0.0,
    again: Sequence[Word] = (),
) -> Judged:
    """Find the stretches that are likely talk, and take the surest of them out of what is read.

    Args:
        hearings: Of one sound, the likeliest first.
        fits: Of its stretches, as the engine gave them.
        usual: See `usual_fit`.
        again: What a second listener heard.
    """
    if not hearings or not hearings[0]:
        return replace(Judged.as_they_are(hearings), again=tuple(again))
    found = tuple(_talk_in(_before_remark(hearings[0]), fits or (_UNTOLD,), usual))
    left = [talk for talk in found if talk.left]
    read: dict[tuple[Word, ...], tuple[Word, ...]] = {}
    for words in hearings:
        read.setdefault(tuple(_silenced(words, left)), tuple(words))
    return Judged(
        hearings=tuple(read), heard=tuple(read.values()), talk=found, again=tuple(again),
        voice=any(fit.voice for fit in fits),
    )  # fmt: skip


def chance_of_talk(words: Sequence[Word], fit: Fit, *, usual: float = 0.0) -> float:
    """Return the chance that the words of one stretch are talk."""
    curve = _file()
    # A note may end in talk, or in a remark whose first word was not heard.
    texts = _without_end(words) if _names_animal(words) else [word.text for word in words]
    share = texts.count(FILLER) / max(len(texts), 1)
    odds = (
        curve.base
        + curve.fit * (fit.fit - usual)
        + curve.agreement * fit.agreement
        + curve.filler * share
        + curve.machines * fit.machines
    )
    return 1 / (1 + math.exp(-max(-50.0, min(50.0, odds))))


def usual_fit(fits: Iterable[Fit]) -> float:
    """Return how well a speaker's notes fit: the middle of those so far, 0 before there are any.

    Only what was surely understood in quiet counts; few notes count less than many.
    """
    own = [fit.fit for fit in fits if fit.agreement >= _AGREED and fit.machines <= _QUIET]
    return statistics.median(own) * len(own) / (len(own) + _OWN) if own else 0.0


def mark_of_talk(talk: Talk) -> MarkValues:
    """Say of a stretch that it may be talk; where nothing was read of it, with its words to read."""
    text = " ".join(word for word in talk.text.split() if word != FILLER)
    said = f"“{text}”" if text else "this"
    return MarkValues(
        id=MAY_BE_TALK,
        what=f"{said} may be talk, not a note ({talk.chance:.0%})"
        + (": nothing was read from it" if talk.left else ""),
        why="its words fit the sound far worse than those of notes usually do",
        clear="listen; discard it if it was talk"
        + (", or take its words as a note" if talk.left and text else ""),
        candidates=(text,) if talk.left and text else (),
    )


def middle_of(word: Word) -> float:
    """Return the middle of a word, in seconds; 0 for words without times."""
    return ((word.start or 0.0) + (word.end or 0.0)) / 2


def _talk_in(words: Sequence[Word], fits: Sequence[Fit], usual: float) -> Iterable[Talk]:
    curve = _file()
    for fit in fits:
        stretch = [word for word in words if fit.start <= middle_of(word) <= fit.end]
        chance = chance_of_talk(stretch, fit, usual=usual) if stretch else 0.0
        if chance >= curve.mark_from:
            yield Talk(
                start=middle_of(stretch[0]),
                end=middle_of(stretch[-1]),
                text=" ".join(word.text for word in stretch),
                chance=chance,
                left=chance
                >= (curve.leave_animal_from if _names_animal(stretch) else curve.leave_from),
            )


def _before_remark(words: Sequence[Word]) -> Sequence[Word]:
    """Return the words that are judged: a remark may hold any, and makes no talk of a note."""
    return words[: place_of_remark(words)]


def _silenced(words: Sequence[Word], left: Sequence[Talk]) -> Iterable[Word]:
    judged = len(_before_remark(words))
    for at, word in enumerate(words):
        out = at < judged and any(talk.start <= middle_of(word) <= talk.end for talk in left)
        yield replace(word, text=FILLER) if out else word


def _names_animal(words: Sequence[Word]) -> bool:
    """Whether a word such as "cow" is heard, with a word after it."""
    return not animal_words().isdisjoint(_without_end(words)[:-1])


def _without_end(words: Sequence[Word]) -> list[str]:
    """Return the words as text, without the fillers at their end."""
    texts = [word.text for word in words]
    while texts and texts[-1] == FILLER:
        texts.pop()
    return texts


@lru_cache(maxsize=1)
def animal_words() -> frozenset[str]:
    """Return the words that an animal's number follows, such as "cow"."""
    terms = load_lexicon().terms.values()
    return frozenset(term.phrase for term in terms if term.tag == "ANIMAL")
