"""Putting words right: an entry is read anew from what a person typed or chose word by word."""

from collections.abc import Callable, Sequence
from typing import Any

from sqlmodel import Session

from dictate.entry.values import EntryValues, SpokenRemark
from dictate.errors import ReviewError
from dictate.notes.context import context_of
from dictate.notes.queueing import write_reading
from dictate.notes.reading_notes import what_is_handed_to
from dictate.notes.understanding import Understood, understand
from dictate.review.acts.act import Act, Store, acting, add_beside
from dictate.review.acts.confirming import confirm_in
from dictate.review.acts.done import Done
from dictate.review.changes import apply_changes
from dictate.review.offers import offers_for_text
from dictate.settings import Settings
from dictate.store.clips import TYPED, entries_of_note, latest_reading
from dictate.store.states import EntryState
from dictate.store.tables import Entry, Note, Reading, Visit
from dictate.texts import gettext
from grammar import Carry, split_text

_HEARD = {"heard", "at", "by_hand"}
_NOT_FACTS = dict.fromkeys(
    (
        "marks", "mark_details", "animal_candidates", "corrections", "denied", "carried", "at", "by_hand",
    ),
    True,
)  # fmt: skip
_TYPED_UNDONE = "came from typed words that were taken back"


def put_words_right(
    store: Store,
    settings: Settings,
    entry_id: int,
    text: str,
    *,
    by: str,
    version: int | None = None,
    then_confirm: bool = False,
    sure: bool = False,
) -> Done:
    """Read an entry anew from words; what was heard stays with the note.

    A number that a person chose stays, unless the words now name another. When they hold more than
    one entry, the others join the queue behind it; those that the note has already, as when one of
    its two animals was misheard and the whole is typed, do not.

    Raises:
        NotFoundError: there is no such entry.
        ConflictError: it was changed since `version`.
        ReviewError: it does not wait, or there are no words.
        NeedsSureError: it would enter the record with an animal that the roster lacks.
    """
    with acting(store, settings, by) as act:
        entry = act.seen(entry_id, version)
        put_words_in(act, entry, text)
        if then_confirm:
            confirm_in(act, entry_id, sure=sure)
    return act.done


def put_words_in(act: Act, entry: Entry, text: str) -> None:
    """Put words right as a part of an act."""
    if entry.state != EntryState.WAITING:
        raise ReviewError(
            gettext("entry %(entry)s is %(state)s", entry=entry.id, state=entry.state),
            remedy=gettext("Undo that first: dictate undo %(entry)s", entry=entry.id),
        )
    if not text.strip():
        raise ReviewError(gettext("nothing was typed for entry %(entry)s", entry=entry.id))
    session = act.session
    was = latest_reading(session, entry.note_id)
    carry = what_is_handed_to(session, session.get_one(Note, entry.note_id))
    understood = _read(session, act.settings, entry, text, carry)
    note = session.get_one(Note, entry.note_id)
    write_reading(session, note, understood, carry, origin=TYPED, who=act.by)
    read = _with_chosen_animal(entry, was, understood.entries)
    first, *others = _not_among(_others(session, entry), read)
    with act.change(entry, "typed"):
        entry.values, entry.touched = first, True
    for other in others:
        add_beside(act, entry, other, reason=_TYPED_UNDONE)
    act.offers += offers_for_text([word["text"] for word in note.words], text)


def reader_for(
    session: Session, settings: Settings, entry: Entry
) -> Callable[[str], list[EntryValues]]:
    """A function that tells which entries words would give in place of this one; nothing is written."""
    carry = what_is_handed_to(session, session.get_one(Note, entry.note_id))
    was = latest_reading(session, entry.note_id)
    others = _others(session, entry)

    def read(text: str) -> list[EntryValues]:
        understood = _read(session, settings, entry, text, carry)
        return _not_among(others, _with_chosen_animal(entry, was, understood.entries))

    return read


def facts_of(values: EntryValues) -> dict[str, Any]:
    """What an entry records, without how it was heard and what was doubted."""
    items = {"__all__": _HEARD}
    return values.model_dump(
        exclude=_NOT_FACTS | {"findings": items, "actions": items, "follow_ups": items}
    )


def _read(
    session: Session, settings: Settings, entry: Entry, text: str, carry: Carry
) -> Understood:
    context = context_of(session, session.get_one(Visit, entry.visit_id), settings)
    spoken = _spoken_remark(session, entry)
    return understand([split_text(text)], context, carry=carry, spoken=spoken)


def _spoken_remark(session: Session, entry: Entry) -> SpokenRemark | None:
    """The remark that the note's sound holds."""
    found = (one.values.spoken_remark for one in entries_of_note(session, entry.note_id))
    return next(filter(None, found), None)


def _with_chosen_animal(
    entry: Entry, was: Reading | None, read: Sequence[EntryValues]
) -> list[EntryValues]:
    """A number that a person chose stays when the words still hold the one that was read before."""
    then = (
        was.entries[entry.position]["animal"] if was and entry.position < len(was.entries) else None
    )
    chosen = entry.values.animal
    if not entry.touched or chosen in (None, then):
        return list(read)
    return [apply_changes(one, {"animal": chosen}) if one.animal == then else one for one in read]


def _others(session: Session, entry: Entry) -> list[dict[str, Any]]:
    """What the note's other entries hold."""
    return [
        facts_of(one.values)
        for one in entries_of_note(session, entry.note_id)
        if one.id != entry.id and one.state != EntryState.REJECTED
    ]


def _not_among(others: list[dict[str, Any]], read: list[EntryValues]) -> list[EntryValues]:
    """The entries that the note's other ones do not hold already; at least one."""
    return [one for one in read if facts_of(one) not in others] or read[:1]
