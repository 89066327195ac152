"""Correcting single words of a note in place: where to, what is offered there, and how it then reads.

Nothing is written here; the words are handed to `acts.put_words_right` once a person takes them.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache, cached_property, partial
from typing import Any

from sqlmodel import Session, col, select

from dictate.entry.values import EntryValues
from dictate.entry.wording import say_entry
from dictate.notes.context import context_of
from dictate.review.acts.words import reader_for
from dictate.review.candidates import Offered, offered
from dictate.review.card import HeardWord, heard_words
from dictate.review.habits import Habits, habits_from
from dictate.review.likely import OF_THE_ANIMAL
from dictate.review.line import Line, line_of
from dictate.settings import Settings
from dictate.store.clips import entry_by_id, latest_reading
from dictate.store.tables import Entry, Note, Visit
from grammar import parse
from grammar.best import reading_rank

_NOT_TYPED = re.compile(r"[^a-z' ]+")


@dataclass(frozen=True, kw_only=True)
class InPlace:
    """A note's words with one place that is worked on."""

    entry: Entry
    line: Line
    words: list[HeardWord]
    """Those of the line, each with why it is uncertain."""
    typed: str
    find_offers: Callable[[], list[Offered]]
    reads: list[EntryValues]
    """What this entry becomes if these words are taken; the first in its place, others beside it."""

    @cached_property
    def offers(self) -> list[Offered]:
        """What may belong at the place, likeliest first."""
        return self.find_offers()

    @property
    def sentence(self) -> str:
        return " · ".join(say_entry(one) for one in self.reads)

    @property
    def can_confirm(self) -> bool:
        """Whether the words may be confirmed as they are read; else the card is shown first."""
        if len(self.reads) != 1 or self.reads[0].animal is None:
            return False
        return "animal-not-on-roster" not in self.reads[0].marks


@dataclass(frozen=True, kw_only=True)
class Correcting:
    """One entry whose words are put right."""

    entry: Entry
    note: Note
    heard: str
    """The words as they stand: the heard ones, or those typed last."""
    habits: Habits
    read: Callable[[str], list[EntryValues]]
    """What words would record."""
    rank: Callable[[str], tuple[bool, int, int, int]]
    """The sort key of words, smallest where they read best."""

    def look(
        self,
        *,
        text: str | None = None,
        at: int = 0,
        room: bool = False,
        find: bool = True,
        typed: str = "",
    ) -> InPlace:
        """The words at one place.

        Args:
            text: The words as they stand by now.
            at: Which word is worked on.
            room: Whether something is missing before it.
            find: Go to the first doubtful word from there.
            typed: Letters with which what is offered begins.
        """
        line = line_of(self.heard if text is None else text, at=at, room=room)
        reads = self.read(line.text)
        words = self._doubted(line, reads)
        if find:
            line = line.go_on([at for at, word in enumerate(words) if word.doubt])
        typed = _NOT_TYPED.sub("", typed.lower().replace("\u2019", "'")).lstrip()
        hearings = [[word["text"] for word in one] for one in self._hearings]
        find_offers = partial(offered, line, hearings, self.habits, typed=typed, rank=self.rank)
        return InPlace(
            entry=self.entry,
            line=line,
            words=words,
            typed=typed,
            find_offers=find_offers,
            reads=reads,
        )

    @property
    def _hearings(self) -> list[list[dict[str, Any]]]:
        return [self.note.words, *self.note.alternatives]

    def _doubted(self, line: Line, reads: Sequence[EntryValues]) -> list[HeardWord]:
        words = [{"text": word} for word in line.words]
        # A number is doubted as a whole; where it may be wrong, the other hearings tell.
        marks = [
            mark
            for one in reads
            for mark in one.mark_details
            if not mark.id.startswith(OF_THE_ANIMAL)
        ]
        return heard_words(words, self._hearings, marks=marks)


def correcting(session: Session, settings: Settings, entry_id: int) -> Correcting:
    """What is needed to correct an entry's words in place, as long as the session is open.

    Raises:
        NotFoundError: there is no such entry.
    """
    entry = entry_by_id(session, entry_id)
    note = session.get_one(Note, entry.note_id)
    context = context_of(session, session.get_one(Visit, entry.visit_id), settings)

    @cache
    def rank(text: str) -> tuple[bool, int, int, int]:
        return reading_rank(
            parse(text.split(), roster=context.roster, on=context.on, aliases=context.aliases)
        )

    return Correcting(
        entry=entry,
        note=note,
        heard=_as_it_stands(session, note),
        habits=_habits(session, note),
        read=cache(reader_for(session, settings, entry)),
        rank=rank,
    )


def _as_it_stands(session: Session, note: Note) -> str:
    reading = latest_reading(session, note.id)
    words = reading.said.words if reading else ()
    return " ".join(words or (word["text"] for word in note.words))


def _habits(session: Session, note: Note) -> Habits:
    """What is said at this visit, the note in question apart."""
    said = session.exec(
        select(Note.words).where(Note.visit_id == note.visit_id, col(Note.id) != note.id)
    ).all()
    return habits_from([[word["text"] for word in words] for words in said])
