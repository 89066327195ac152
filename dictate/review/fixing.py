"""Fixing an entry as one act: type what was said, change slots, and confirm."""

from collections.abc import Callable, Sequence
from typing import Any

from sqlmodel import Session

from dictate.entry.values import EntryValues
from dictate.errors import ReviewError
from dictate.notes.reading_notes import context_of
from dictate.notes.understanding import Context, lexicon_version, understand
from dictate.review.adding import add_beside
from dictate.review.changes import apply_changes, changes_from_text
from dictate.review.deciding import amend, confirm, seen
from dictate.settings import Settings
from dictate.store.history import changing, new_act
from dictate.store.queries import entries_of_note, heard_reading, latest_reading
from dictate.store.tables import Entry, EntryState, Reading, Visit
from grammar import Carry, split_text

__all__ = ["facts_of", "fix", "reader_for", "retype"]

_NOT_FACTS = frozenset({"marks", "mark_details", "animal_candidates", "corrections", "denied"})
_TYPED_UNDONE = "came from typed words that were taken back"


def fix(
    session: Session,
    settings: Settings,
    entry_id: int,
    texts: Sequence[str] = (),
    *,
    by: str,
    version: int | None = None,
    typed: str | None = None,
    then_confirm: bool = False,
) -> Entry:
    """Do what was asked with one entry, all under one act.

    Raises:
        NotFoundError: there is no such entry.
        ConflictError: it was changed since `version`, or its state does not allow it.
        ReviewError: a change does not fit, or nothing was asked.
    """
    entry = seen(session, entry_id, version)
    act = new_act()
    if not texts and typed is None and not then_confirm:
        raise ReviewError(
            f"nothing to change on entry {entry_id}", remedy="Give slot=value or --typed"
        )
    if typed is not None:
        entry = retype(session, settings, entry_id, typed, by=by, act=act)
    if texts:
        changes = changes_from_text(EntryValues.model_validate(entry.content), texts)
        entry = amend(session, entry_id, changes, by=by, act=act)
    if then_confirm:
        entry = confirm(session, entry_id, by=by, act=act)
    return entry


def retype(
    session: Session,
    settings: Settings,
    entry_id: int,
    text: str,
    *,
    by: str,
    version: int | None = None,
    act: str | None = None,
) -> Entry:
    """Read an entry anew from typed words; what was heard stays with the note.

    A number that a person chose stays, unless the words now name another. When they hold more than
    one entry, the others join the queue behind it; those that the note has already, as when one of
    its two animals was misheard and the whole is typed, do not.

    Raises:
        NotFoundError: there is no such entry.
        ConflictError: it was changed since `version`.
        ReviewError: it does not wait, or nothing was typed.
    """
    entry = seen(session, entry_id, version)
    if entry.state != EntryState.WAITING:
        raise ReviewError(
            f"entry {entry_id} is {entry.state}", remedy=f"Undo that first: dictate undo {entry_id}"
        )
    if not text.strip():
        raise ReviewError(f"nothing was typed for entry {entry_id}")
    act = act or new_act()
    was = latest_reading(session, entry.note_id)
    reading = _typed_reading(session, settings, entry, text, by=by)
    contents = _with_chosen_animal(entry, was, reading.entries)
    first, *others = _not_among(_others(session, entry), contents)
    with changing(session, entry, kind="typed", who=by, act=act):
        entry.content, entry.touched = first, True
    for other in others:
        add_beside(session, entry, other, reason=_TYPED_UNDONE, by=by, act=act)
    return entry


def reader_for(
    session: Session, settings: Settings, entry: Entry
) -> Callable[[str], list[EntryValues]]:
    """A function that tells which entries typed words would give in place of this one; nothing is written."""
    context, carry = _context(session, settings, entry)
    was = latest_reading(session, entry.note_id)
    others = _others(session, entry)

    def read(text: str) -> list[EntryValues]:
        understood = understand([split_text(text)], context, carry=carry)
        contents = [values.model_dump(mode="json") for values in understood.entries]
        contents = _not_among(others, _with_chosen_animal(entry, was, contents))
        return [EntryValues.model_validate(one) for one in contents]

    return read


def _with_chosen_animal(
    entry: Entry, was: Reading | None, contents: list[dict[str, Any]]
) -> list[dict[str, Any]]:
    """A number that a person chose stays when the words still hold the one that was read before."""
    read = (
        was.entries[entry.position]["animal"] if was and entry.position < len(was.entries) else None
    )
    chosen = entry.content["animal"]
    if not entry.touched or chosen in (None, read):
        return contents
    return [
        apply_changes(EntryValues.model_validate(one), {"animal": chosen}).model_dump(mode="json")
        if one["animal"] == read
        else one
        for one in contents
    ]


def _others(session: Session, entry: Entry) -> list[dict[str, Any]]:
    """What the note's other entries hold."""
    return [
        facts_of(one.content)
        for one in entries_of_note(session, entry.note_id)
        if one.id != entry.id and one.state != EntryState.REJECTED
    ]


def _not_among(
    others: list[dict[str, Any]], contents: list[dict[str, Any]]
) -> list[dict[str, Any]]:
    """The entries that the note's other ones do not hold already; at least one."""
    return [one for one in contents if facts_of(one) not in others] or contents[:1]


def facts_of(content: dict[str, Any]) -> dict[str, Any]:
    """What an entry records, without how it was heard and what was doubted."""
    values = EntryValues.model_validate(content).model_dump(mode="json")
    kept = {name: value for name, value in values.items() if name not in _NOT_FACTS}
    kept["findings"] = [{**one, "heard": ""} for one in kept["findings"]]
    return kept


def _typed_reading(
    session: Session, settings: Settings, entry: Entry, text: str, *, by: str
) -> Reading:
    context, carry = _context(session, settings, entry)
    understood = understand([split_text(text)], context, carry=carry)
    reading = Reading(
        note_id=entry.note_id,
        origin="typed",
        who=by,
        lexicon=lexicon_version(),
        carried_in=carry.animal,
        carried_out=understood.carried_out,
        content=understood.content,
        entries=[values.model_dump(mode="json") for values in understood.entries],
    )
    session.add(reading)
    session.flush()
    return reading


def _context(session: Session, settings: Settings, entry: Entry) -> tuple[Context, Carry]:
    """What the grammar may know, and what the note was handed."""
    heard = heard_reading(session, entry.note_id)
    visit = session.get_one(Visit, entry.visit_id)
    return context_of(session, visit, settings), Carry(animal=heard.carried_in if heard else None)
