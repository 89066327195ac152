"""Which animal the parts of a note belong to: a note split in two, an entry joined to the one before."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session, col, select

from dictate.entry.values import EntryValues, MarkValues
from dictate.errors import ReviewError
from dictate.review.acts.act import Store, acting, add_beside
from dictate.review.acts.changing import amend_in, checked_in
from dictate.review.acts.done import Done
from dictate.review.waiting import settled_by
from dictate.settings import Settings
from dictate.store.clips import clips_in_order, entry_by_id
from dictate.store.states import EntryState
from dictate.store.tables import Entry, Note
from dictate.texts import gettext

ITEMS = ("findings", "actions", "follow_ups", "measures")
"""The lists of an entry whose items can move to another entry."""
_SPLIT_UNDONE = "split off from another entry"


@dataclass(frozen=True, slots=True, kw_only=True)
class SpokenEntry:
    """An entry's place in the visit, without its content."""

    id: int
    state: str
    animal: str | None


def spoken_entries(session: Session, visit_id: int) -> list[SpokenEntry]:
    """All entries of a visit in the order in which they were spoken."""
    turn = {clip.id: at for at, clip in enumerate(clips_in_order(session, visit_id))}
    animal = col(Entry.content)["animal"].as_string()
    rows = session.execute(
        select(  # type: ignore[call-overload]
            col(Entry.id), col(Entry.state), animal, col(Note.clip_id), col(Entry.position)
        )
        .join(Note, col(Note.id) == Entry.note_id)
        .where(Entry.visit_id == visit_id)
    ).all()
    ordered = sorted(rows, key=lambda row: (turn[row[3]], row[4]))
    return [SpokenEntry(id=row[0], state=row[1], animal=row[2]) for row in ordered]


def entry_before(spoken: Iterable[SpokenEntry], entry_id: int | None) -> SpokenEntry | None:
    """The entry spoken before this one that was not rejected."""
    before = None
    for one in spoken:
        if one.id == entry_id:
            return before
        if one.state != EntryState.REJECTED:
            before = one
    return None


def split(
    store: Store,
    settings: Settings,
    entry_id: int,
    moved: Collection[tuple[str, int]],
    animal: str,
    *,
    by: str,
    version: int | None = None,
) -> Done:
    """Move some items of an entry to a new entry of another animal; the new entry waits.

    Args:
        store: The database, or a transaction that is open.
        settings: The trimmer's own.
        entry_id: The entry to split.
        moved: List and place of each item that goes, e.g. `("findings", 1)`.
        animal: Number for the new entry; empty leaves it open.
        by: Who decides.
        version: The version the person saw.

    Returns:
        The new entry first.

    Raises:
        NotFoundError: there is no such entry.
        ConflictError: it was changed since `version`, or does not wait.
        ReviewError: nothing would move, or nothing would stay.
    """
    with acting(store, settings, by) as act:
        entry = act.waiting(entry_id, version)
        stays, goes = _parted(entry.values, moved)
        stays = checked_in(act, entry, stays)
        with act.change(entry, "amended"):
            entry.values, entry.touched = stays, True
        goes = checked_in(act, entry, goes.model_copy(update={"animal": animal.strip() or None}))
        act.main = add_beside(act, entry, goes, reason=_SPLIT_UNDONE)
    return act.done


def join(
    store: Store, settings: Settings, entry_id: int, *, by: str, version: int | None = None
) -> Done:
    """Give an entry to the animal before it: within one note its items move there, else its animal changes.

    Returns:
        First the entry that holds the items now.

    Raises:
        NotFoundError: there is no such entry.
        ConflictError: it was changed since `version`, or does not wait.
        ReviewError: there is no entry before it that names an animal.
    """
    with acting(store, settings, by) as act:
        entry = act.waiting(entry_id, version)
        found = entry_before(spoken_entries(act.session, entry.visit_id), entry.id)
        if found is None or found.animal is None:
            raise ReviewError(
                gettext("no animal was named before this entry"),
                remedy=gettext("Choose the animal instead"),
            )
        before = entry_by_id(act.session, found.id, lock=True)
        if before.note_id != entry.note_id or before.state != EntryState.WAITING:
            amend_in(act, entry, {"animal": found.animal})
            act.main = entry
        else:
            values = _together(*(one.values for one in (before, entry)))
            values = checked_in(act, before, values)
            with act.change(before, "amended"):
                before.values, before.touched = values, True
            with act.change(entry, "rejected"):
                entry.state, entry.touched = EntryState.REJECTED, True
                entry.reason = f"joined to entry {before.id}"
            act.main = before
    return act.done


def _parted(
    values: EntryValues, moved: Collection[tuple[str, int]]
) -> tuple[EntryValues, EntryValues]:
    """What stays and what goes."""
    stays: dict[str, Any] = {}
    goes: dict[str, Any] = {}
    for name in ITEMS:
        there: Sequence[Any] = getattr(values, name)
        stays[name] = tuple(item for at, item in enumerate(there) if (name, at) not in moved)
        goes[name] = tuple(item for at, item in enumerate(there) if (name, at) in moved)
    if not any(goes.values()):
        raise ReviewError(gettext("nothing was chosen to go to the other animal"))
    if not any(stays.values()) and not values.remark_to_tell and not values.locomotion:
        raise ReviewError(
            gettext("nothing would stay with this animal"),
            remedy=gettext("Change the animal instead of splitting"),
        )
    return values.model_copy(update=stays), EntryValues(**goes)


def _together(first: EntryValues, second: EntryValues) -> EntryValues:
    """Both as one entry of the first one's animal; doubts about the second one's are settled."""
    marks: list[MarkValues] = [
        *first.mark_details,
        *(mark for mark in second.mark_details if settled_by(mark.id) != {"animal"}),
    ]
    return first.model_copy(
        update={
            **{name: (*getattr(first, name), *getattr(second, name)) for name in ITEMS},
            "remark": " ".join(filter(None, (first.remark, second.remark))) or None,
            "spoken_remark": second.spoken_remark or first.spoken_remark,
            "locomotion": first.locomotion or second.locomotion,
            "status": tuple(dict.fromkeys((*first.status, *second.status))),
        }
    ).with_marks(marks)
