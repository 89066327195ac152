"""Fixes that are more than a changed slot: another animal, a note split in two, entries joined.

As everywhere in the queue, each is one act, names the version that the person saw, can be undone as
a whole, and commits nothing by itself.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session, col, select

from dictate.entry.values import EntryValues
from dictate.errors import ConflictError, ReviewError
from dictate.review.adding import add_beside
from dictate.review.deciding import seen
from dictate.store.history import changing, new_act
from dictate.store.queries import clips_in_order, entry_by_id
from dictate.store.record_entry import record_entry
from dictate.store.tables import Entry, EntryState, Note

__all__ = [
    "ITEMS",
    "SpokenEntry",
    "entry_before",
    "join",
    "split",
    "spoken_entries",
]

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
        select(Entry.id, Entry.state, animal, Note.clip_id, Entry.position)
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
    session: Session,
    entry_id: int,
    moved: Collection[tuple[str, int]],
    animal: str,
    *,
    by: str,
    version: int | None = None,
) -> Entry:
    """Move some items of an entry to a new entry of another animal; the new entry waits.

    Args:
        session: An open writing session.
        entry_id: The entry to split.
        moved: List and place of each item that goes, e.g. `("findings", 1)`.
        animal: Number for the new entry; empty leaves it open.
        by: Who decides.
        version: The version the person saw.

    Raises:
        NotFoundError: there is no such entry.
        ConflictError: it was changed since `version`, or does not wait.
        ReviewError: nothing would move, or nothing would stay.

    """
    entry = _waiting(session, entry_id, version)
    content: dict[str, Any] = EntryValues.model_validate(entry.content).model_dump(mode="json")
    taken: dict[str, Any] = {name: [] for name in ITEMS}
    for name in ITEMS:
        there: Sequence[Any] = content[name]
        taken[name] = [item for at, item in enumerate(there) if (name, at) in moved]
        content[name] = [item for at, item in enumerate(there) if (name, at) not in moved]
    if not any(taken.values()):
        raise ReviewError("nothing was chosen to go to the other animal")
    if (
        not any(content[name] for name in ITEMS)
        and not content["remark"]
        and not content["locomotion"]
    ):
        raise ReviewError(
            "nothing would stay with this animal", remedy="Change the animal instead of splitting"
        )
    act = new_act()
    with changing(session, entry, kind="amended", who=by, act=act):
        entry.content, entry.touched = _checked(content), True
    content = _checked({"animal": animal.strip() or None, **taken})
    return add_beside(session, entry, content, reason=_SPLIT_UNDONE, by=by, act=act)


def join(session: Session, entry_id: int, *, by: str, version: int | None = None) -> Entry:
    """Give an entry to the animal before it: within one note its items move there, else its animal changes.

    Returns the entry that holds the items now.

    Raises:
        NotFoundError: there is no such entry.
        ConflictError: it was changed since `version`, or does not wait.
        ReviewError: there is no entry before it that names an animal.

    """
    entry = _waiting(session, entry_id, version)
    found = entry_before(spoken_entries(session, entry.visit_id), entry.id)
    if found is None or found.animal is None:
        raise ReviewError(
            "no animal was named before this entry", remedy="Choose the animal instead"
        )
    before = entry_by_id(session, found.id, lock=True)
    act = new_act()
    if before.note_id != entry.note_id or before.state != EntryState.WAITING:
        content = entry.content | {"animal": before.content["animal"]}
        content |= _without_animal_marks(content)
        with changing(session, entry, kind="amended", who=by, act=act):
            entry.content, entry.touched = _checked(content), True
        return entry
    with changing(session, before, kind="amended", who=by, act=act):
        before.content, before.touched = _checked(_together(before.content, entry.content)), True
    with changing(session, entry, kind="rejected", who=by, act=act):
        entry.state, entry.touched = EntryState.REJECTED, True
        entry.reason = f"joined to entry {before.id}"
        record_entry(session, entry)
    return before


def _waiting(session: Session, entry_id: int, version: int | None) -> Entry:
    entry = seen(session, entry_id, version)
    if entry.state != EntryState.WAITING:
        raise ConflictError(f"entry {entry_id} is {entry.state} already", remedy="Undo that first")
    return entry


def _together(first: dict[str, Any], second: dict[str, Any]) -> dict[str, Any]:
    joined = dict(first)
    for name in (*ITEMS, "mark_details"):
        joined[name] = [*first.get(name, ()), *second.get(name, ())]
    remarks = [content["remark"] for content in (first, second) if content.get("remark")]
    joined["remark"] = " ".join(remarks) or None
    joined["locomotion"] = first.get("locomotion") or second.get("locomotion")
    return joined | _without_animal_marks({"mark_details": second.get("mark_details", ())}, first)


def _without_animal_marks(
    content: dict[str, Any], kept: dict[str, Any] | None = None
) -> dict[str, Any]:
    """Marks once the animal of `content` was chosen by a person; those of `kept` stay as they are."""
    left = [
        *(kept or {}).get("mark_details", ()),
        *(
            mark
            for mark in content["mark_details"]
            if not mark["id"].startswith(("animal", "number"))
        ),
    ]
    return {"mark_details": left, "marks": list(dict.fromkeys(mark["id"] for mark in left))}


def _checked(content: dict[str, Any]) -> dict[str, Any]:
    return EntryValues.model_validate(content).model_dump(mode="json")
