"""Reading from the database what a person needs to decide on one entry: the page's and terminal's card."""

import datetime as dt
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session, col, select

from dictate.entry.values import EntryValues, WordsRead
from dictate.entry.wording import say_entry
from dictate.review.acts.confirming import not_on_roster
from dictate.review.acts.parting import entry_before, spoken_entries
from dictate.review.card import Choice, HeardWord, choices_for, heard_words
from dictate.review.likely import in_order_of_likeness, likely_animals
from dictate.review.suggesting import heard_instead, meant_instead, other_readings
from dictate.settings import Settings
from dictate.store.clips import entry_by_id, forgotten_on, latest_reading
from dictate.store.states import AnimalStatus
from dictate.store.tables import Animal, Clip, Entry, Note, Visit
from grammar import load_lexicon

Words = list[dict[str, Any]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One entry as a card."""

    entry: Entry
    note: Note
    clip: Clip
    sound_forgotten: dt.date | None
    """The day on which its sound was forgotten on purpose."""
    values: EntryValues
    sentence: str
    words: list[HeardWord]
    choices: list[Choice]
    before: str | None
    """Animal of the entry spoken before."""
    not_on_roster: bool
    """The farm's roster lacks its animal: confirming it takes a key of its own."""


def numbers_of(session: Session, farm_id: int) -> list[str]:
    """Management numbers on a farm's roster."""
    return list(
        session.exec(
            select(Animal.number).where(
                Animal.farm_id == farm_id,
                Animal.status == AnimalStatus.PRESENT,
                col(Animal.on_roster).is_(True),
                col(Animal.merged_into_id).is_(None),
            )
        ).all()
    )


def card_of(session: Session, entry_id: int, *, settings: Settings | None = None) -> Card:
    """Everything about one entry; with settings its choices hold what other hearings would record.

    Raises:
        NotFoundError: there is no such entry.
    """
    entry = entry_by_id(session, entry_id)
    note = session.get_one(Note, entry.note_id)
    visit = session.get_one(Visit, entry.visit_id)
    values = entry.values
    spoken = spoken_entries(session, entry.visit_id)
    before = entry_before(spoken, entry.id)
    named = {one.animal for one in spoken if one.animal and one.id != entry.id}
    likely = likely_animals(values, numbers_of(session, visit.farm_id), named=named)
    reading = latest_reading(session, entry.note_id)
    said = reading.said if reading else WordsRead()
    words, others = _hearing_read(note, said)
    leftover = _left_over(values, said)
    instead = meant_instead(_texts(words), _loose(words, leftover, values))
    if settings and not entry.touched:
        instead = [*other_readings(session, settings, entry, note, _texts(words)), *instead]
    instead = [*heard_instead(_texts(words), values.mark_details), *instead]
    return Card(
        entry=entry,
        note=note,
        clip=session.get_one(Clip, note.clip_id),
        sound_forgotten=forgotten_on(session, note.clip_id),
        values=values,
        sentence=say_entry(values),
        words=heard_words(words, others, leftover=leftover, marks=values.mark_details),
        choices=choices_for(values, likely, instead),
        before=before.animal if before else None,
        not_on_roster=not_on_roster(session, visit.farm_id, values.animal),
    )


def further_animals(
    session: Session, entry_id: int, *, begins: str = "", most: int = 26
) -> list[str]:
    """Numbers of the roster, likeliest first: those that the card does not offer, or that begin so.

    Raises:
        NotFoundError: there is no such entry.
    """
    entry = entry_by_id(session, entry_id)
    values = entry.values
    farm_id = session.get_one(Visit, entry.visit_id).farm_id
    named = {
        one.animal or "" for one in spoken_entries(session, entry.visit_id) if one.id != entry_id
    }
    numbers = numbers_of(session, farm_id)
    shown = set(likely_animals(values, numbers, named=named)) if not begins else set()
    ordered = in_order_of_likeness(values.animal, numbers, named=named)
    return [one for one in ordered if one.startswith(begins) and one not in shown][:most]


def _hearing_read(note: Note, said: WordsRead) -> tuple[Words, list[Words]]:
    """The hearing that was read, which may not be the engine's first, and the other ones."""
    hearings = note.hearings
    read = list(said.words)
    at = next((at for at, words in enumerate(hearings) if _texts(words) == read), 0)
    return hearings[at], hearings[:at] + hearings[at + 1 :]


def _left_over(values: EntryValues, said: WordsRead) -> list[int]:
    """Places of words that found no use: those that the entry's marks still point at."""
    spans = [
        range(mark.first, mark.last) for mark in values.mark_details if mark.id == "leftover-words"
    ]
    nothing = "nothing-understood" in values.marks
    return [at for span in spans for at in span] or (list(said.leftover_at) if nothing else [])


def _loose(words: Words, leftover: list[int], values: EntryValues) -> list[int]:
    """Places of words that found no use, numbers apart: what a mis-heard term leaves behind."""
    spans = [
        range(mark.first, mark.last)
        for mark in values.mark_details
        if mark.id in ("detail-without-lesion", "material-without-action")
    ]
    numbers = load_lexicon().number_words
    texts = _texts(words)
    spare = [
        span for span in spans if not any(word in numbers for word in texts[span.start : span.stop])
    ]
    return sorted({*leftover, *(at for span in spare for at in span if at < len(words))})


def _texts(words: Words) -> list[str]:
    return [word["text"] for word in words]
