"""Changing what an entry says: slots, or several things as one act."""

from collections.abc import Mapping, Sequence
from typing import Any

from dictate.entry.checking import rechecked
from dictate.entry.values import EntryValues
from dictate.errors import ConflictError, ReviewError
from dictate.notes.context import context_of
from dictate.notes.reading_notes import what_is_handed_to
from dictate.review.acts.act import Act, Store, acting
from dictate.review.acts.confirming import confirm_in, want_roster
from dictate.review.acts.done import Done
from dictate.review.acts.words import put_words_in
from dictate.review.changes import apply_changes
from dictate.review.offers import offers_after
from dictate.review.written_changes import changes_from_text
from dictate.settings import Settings
from dictate.store.states import EntryState
from dictate.store.tables import Entry, Note, Visit
from dictate.texts import gettext


def amend(
    store: Store,
    settings: Settings,
    entry_id: int,
    changes: Mapping[str, Any],
    *,
    by: str,
    version: int | None = None,
    then_confirm: bool = False,
    sure: bool = False,
) -> Done:
    """Change slots of an entry; a confirmed one is changed in the herd record as well.

    Args:
        store: The database, or a transaction that is open.
        settings: The trimmer's own.
        entry_id: The entry.
        changes: As `apply_changes` takes them.
        by: Who decides.
        version: The version the person saw.
        then_confirm: Confirm it too, in the same act.
        sure: An animal that the roster lacks may enter the record.

    Raises:
        NotFoundError: there is no such entry.
        ConflictError: it was changed since `version`, or is rejected.
        ReviewError: a change does not fit.
        NeedsSureError: it would enter the record with an animal that the roster lacks.
    """
    with acting(store, settings, by) as act:
        entry = act.seen(entry_id, version)
        amend_in(act, entry, changes, sure=sure)
        if then_confirm:
            confirm_in(act, entry_id, sure=sure)
    return act.done


def fix(
    store: Store,
    settings: Settings,
    entry_id: int,
    texts: Sequence[str] = (),
    *,
    by: str,
    version: int | None = None,
    typed: str | None = None,
    then_confirm: bool = False,
    sure: bool = False,
) -> Done:
    """Do what was asked with one entry: words, then slots as `slot=value`, then confirming.

    Raises:
        NotFoundError: there is no such entry.
        ConflictError: it was changed since `version`, or its state does not allow it.
        ReviewError: a change does not fit, or nothing was asked.
        NeedsSureError: it would enter the record with an animal that the roster lacks.
    """
    if not texts and typed is None and not then_confirm:
        raise ReviewError(
            gettext("nothing to change on entry %(entry)s", entry=entry_id),
            remedy=gettext("Give slot=value or --typed"),
        )
    with acting(store, settings, by) as act:
        entry = act.seen(entry_id, version)
        if typed is not None:
            put_words_in(act, entry, typed)
        if texts:
            changes = changes_from_text(entry.values, texts)
            amend_in(act, entry, changes, sure=sure)
        if then_confirm:
            confirm_in(act, entry_id, sure=sure)
    return act.done


def amend_in(act: Act, entry: Entry, changes: Mapping[str, Any], *, sure: bool = False) -> None:
    """Change slots as a part of an act."""
    if entry.state == EntryState.REJECTED:
        raise ConflictError(
            gettext("entry %(entry)s is rejected", entry=entry.id),
            remedy=gettext("`dictate undo %(entry)s` brings it back first", entry=entry.id),
        )
    before = entry.values
    values = checked_in(act, entry, apply_changes(before, changes))
    if entry.state == EntryState.CONFIRMED:
        if values.animal is None:
            raise ReviewError(
                gettext("entry %(entry)s is confirmed and needs an animal", entry=entry.id)
            )
        if values.animal != before.animal:
            want_roster(act.session, entry, values.animal, sure=sure)
    act.offers += offers_after(before, changes)
    with act.change(entry, "amended"):
        entry.values, entry.touched = values, True


def checked_in(act: Act, entry: Entry, values: EntryValues) -> EntryValues:
    """Values with the marks that they have as they stand."""
    visit = act.session.get_one(Visit, entry.visit_id)
    at = context_of(act.session, visit, act.settings)
    carry = what_is_handed_to(act.session, act.session.get_one(Note, entry.note_id))
    return rechecked(values, roster=at.roster, on=at.on, carry=carry)
