"""Reading from the database what the pages show of an entry."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session, col, select

from dictate.errors import NotFoundError
from dictate.notes.sentences import say_entry
from dictate.notes.values import EntryValues
from dictate.review.fixes import entry_before, likely_animals, spoken_entries
from dictate.review.suggesting import meant_instead
from dictate.sheets.claw_map import claw_map
from dictate.store.queries import entry_by_id, latest_reading
from dictate.store.tables import Animal, AnimalStatus, Clip, Entry, Farm, Note, Visit
from dictate.web.card import Choice, HeardWord, choices_for, heard_words
from grammar import load_lexicon

Words = list[dict[str, Any]]

__all__ = ["Card", "Place", "card_of", "farm_asked", "numbers_of", "place_of", "queue_path"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A visit with its farm."""

    visit: Visit
    farm: Farm


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One entry as a card."""

    entry: Entry
    note: Note
    clip: Clip
    values: EntryValues
    sentence: str
    words: list[HeardWord]
    choices: list[Choice]
    map: str
    """SVG; empty when no foot was named."""
    before: str | None
    """Animal of the entry spoken before."""


def place_of(session: Session, visit_id: int) -> Place:
    """The visit of a page's address.

    Raises:
        NotFoundError: there is none.

    """
    visit = session.get(Visit, visit_id)
    if visit is None:
        raise NotFoundError(
            f"there is no visit {visit_id}", remedy="Choose one from the list of visits"
        )
    return Place(visit=visit, farm=session.get_one(Farm, visit.farm_id))


def farm_asked(farms: Sequence[Farm], asked: str, usual: str | None) -> Farm | None:
    """The farm of a page's address, else the usual one of the settings, else the first."""
    by_id = next((farm for farm in farms if str(farm.id) == asked), None)
    return by_id or next(
        (farm for farm in farms if farm.name == usual), farms[0] if farms else None
    )


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


def queue_path(visit_id: int, entry_id: int | None = None, then: int | None = None) -> str:
    """Address of a queue, at an entry, with the one that follows it."""
    asked = [f"{name}={one}" for name, one in (("entry", entry_id), ("then", then)) if one]
    return f"/visits/{visit_id}/queue" + ("?" + "&".join(asked) if asked else "")


def card_of(session: Session, entry_id: int) -> Card:
    """Everything about one entry.

    Raises:
        NotFoundError: there is no such entry.

    """
    entry = entry_by_id(session, entry_id)
    note = session.get_one(Note, entry.note_id)
    visit = session.get_one(Visit, entry.visit_id)
    values = EntryValues.model_validate(entry.content)
    spoken = spoken_entries(session, entry.visit_id)
    before = entry_before(spoken, entry.id)
    named = {one.animal for one in spoken if one.animal and one.id != entry.id}
    likely = likely_animals(values, numbers_of(session, visit.farm_id), named=named)
    reading = latest_reading(session, entry.note_id)
    words, others = _hearing_read(note, reading.content if reading else {})
    leftover = _places(words, reading.content.get("leftover", ()) if reading else ())
    return Card(
        entry=entry,
        note=note,
        clip=session.get_one(Clip, note.clip_id),
        values=values,
        sentence=say_entry(values),
        words=heard_words(
            words,
            others,
            leftover=leftover,
            marks=values.mark_details,
        ),
        choices=choices_for(
            values, likely, meant_instead(_texts(words), _loose(words, leftover, values))
        ),
        map=_map(entry, values),
        before=before.animal if before else None,
    )


def _map(entry: Entry, values: EntryValues) -> str:
    if not any(part.foot for part in (*values.findings, *values.actions)):
        return ""
    return claw_map(
        values.findings,
        values.actions,
        title=f"Claw map of cow {values.animal or 'without a number'}",
        key=f"map-{entry.id}",
        focus=True,
    )


def _hearing_read(note: Note, content: dict[str, Any]) -> tuple[Words, list[Words]]:
    """The hearing that was read, which may not be the engine's first, and the other ones."""
    hearings = [note.words, *note.alternatives]
    read = content.get("words")
    at = next((at for at, words in enumerate(hearings) if _texts(words) == read), 0)
    return hearings[at], hearings[:at] + hearings[at + 1 :]


def _places(words: Words, leftover: Iterable[str]) -> list[int]:
    """Where the left-over words stand, found one after the other."""
    texts, places, start = _texts(words), [], 0
    for word in leftover:
        if word in texts[start:]:
            start = texts.index(word, start) + 1
            places.append(start - 1)
    return places


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
