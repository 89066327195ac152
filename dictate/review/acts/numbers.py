"""Choosing another number: every word that was not part of it is read again, every other doubt stays."""

from collections.abc import Sequence
from typing import Any

from sqlmodel import Session

from dictate.entry.values import EntryValues, Span
from dictate.notes.context import context_of
from dictate.notes.reading_notes import what_is_handed_to
from dictate.notes.understanding import understand
from dictate.review.acts.act import Act, Store, acting
from dictate.review.acts.changing import amend_in, checked_in
from dictate.review.acts.confirming import confirm_in
from dictate.review.acts.done import Done
from dictate.review.changes import apply_changes
from dictate.settings import Settings
from dictate.store.clips import heard_reading
from dictate.store.states import EntryState
from dictate.store.tables import Entry, Note, Visit
from grammar import Word, load_lexicon
from grammar.hear.identifiers import identifier_readings

_BREAK = "the"
"""A filler of the lexicon that is no hesitation: a number ends before it."""


def choose_number(
    store: Store,
    settings: Settings,
    entry_id: int,
    number: str,
    *,
    by: str,
    version: int | None = None,
    then_confirm: bool = False,
    sure: bool = False,
) -> Done:
    """Give an entry another animal.

    Where the number that was heard had swallowed words ("two six one" of "two six one, score two"
    heard as 26142), those behind it are read again and shown. Nothing else that was said is lost.

    Raises:
        NotFoundError: there is no such entry.
        ConflictError: it was changed since `version`, or is rejected.
        ReviewError: the number does not fit.
        NeedsSureError: it would enter the record with an animal that the roster lacks.
    """
    with acting(store, settings, by) as act:
        entry = act.seen(entry_id, version)
        parted = _read_behind(act, entry, number)
        if parted is None:
            amend_in(act, entry, {"animal": number}, sure=sure)
        else:
            chosen = apply_changes(parted, {"animal": number})
            values = checked_in(act, entry, chosen)
            with act.change(entry, "amended"):
                entry.values, entry.touched = values, True
        if then_confirm:
            confirm_in(act, entry_id, sure=sure)
    return act.done


def _read_behind(act: Act, entry: Entry, number: str) -> EntryValues | None:
    """The entry read anew with the number ending where the chosen one does; None where nothing changes.

    Only as long as no person has set anything but the number: what was set by hand is not read over.
    """
    values = entry.values
    if entry.state != EntryState.WAITING or _set_by_hand(values) or "animal" not in values.at:
        return None
    note = act.session.get_one(Note, entry.note_id)
    heard = _hearing_of(act.session, note)
    end = _end_of(number, [word.text for word in heard], values.at["animal"])
    if end is None:
        return None
    visit = act.session.get_one(Visit, entry.visit_id)
    words = [*heard[:end], Word(text=_BREAK), *heard[end:]]
    read = understand(
        [words],
        context_of(act.session, visit, act.settings),
        carry=what_is_handed_to(act.session, note),
        spoken=values.spoken_remark,
    )
    if entry.position >= len(read.entries):
        return None
    found = _without_break(read.entries[entry.position], end)
    return found if found.animal == number else None


def _set_by_hand(values: EntryValues) -> bool:
    items = (*values.findings, *values.actions, *values.follow_ups)
    return bool(set(values.by_hand) - {"animal"}) or any(item.by_hand for item in items)


def _hearing_of(session: Session, note: Note) -> list[Word]:
    """The hearing that was read, of the engine's."""
    reading = heard_reading(session, note.id)
    read = list(reading.said.words) if reading else None
    for words in note.hearings:
        if [word["text"] for word in words] == read:
            return [Word(**word) for word in words]
    return []


def _end_of(number: str, words: Sequence[str], span: Span) -> int | None:
    """One past the last word of the chosen number, where the heard one goes on behind it."""
    first, last = span
    if last > len(words):
        return None
    numbers = load_lexicon().numbers
    ends = [
        end
        for end in range(last - 1, first, -1)
        for begin in range(first, end)
        if number in identifier_readings(words[begin:end], numbers)
    ]
    whole = any(
        number in identifier_readings(words[begin:last], numbers) for begin in range(first, last)
    )
    return None if whole or not ends else ends[0]


def _without_break(values: EntryValues, at: int) -> EntryValues:
    """The values with word positions as if the break had not been there."""

    def place(position: int) -> int:
        return position - 1 if position > at else position

    def moved(content: Any) -> Any:
        if isinstance(content, dict):
            return {
                name: {slot: (place(a), place(b)) for slot, (a, b) in part.items()}
                if name == "at"
                else place(part)
                if name in ("first", "last")
                else moved(part)
                for name, part in content.items()
            }
        return [moved(part) for part in content] if isinstance(content, (list, tuple)) else content

    return EntryValues.model_validate(moved(values.model_dump()))
