"""What all acts share: one transaction, one kind of event, what hangs on it follows, one result."""

from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass, field, replace

from sqlmodel import Session, col, func, select

from dictate.entry.values import EntryValues
from dictate.errors import ConflictError
from dictate.notes.reading_notes import hand_on
from dictate.review.acts.done import Also, Done, Now
from dictate.review.offers import Offer
from dictate.settings import Settings
from dictate.store.clips import entry_by_id
from dictate.store.database import Database
from dictate.store.history import HANDED_ON, OPENED_AGAIN, changing, new_act, tell
from dictate.store.record_entry import record_entry
from dictate.store.states import EntryState
from dictate.store.tables import Entry, Event, Note, Visit
from dictate.texts import gettext

Store = Database | Session
"""An act opens its own transaction, or goes along with one that is open for several acts."""


@dataclass(kw_only=True)
class Act:
    """An act that is going on. Every change of an entry goes through `change` or `add`."""

    session: Session
    settings: Settings
    by: str
    id: str = field(default_factory=new_act)
    offers: list[Offer] = field(default_factory=list)
    main: Entry | None = None
    """The entry to go on with; else the first that was changed."""
    visits: dict[int, None] = field(default_factory=dict)
    """Further visits in which something may hang on what was changed."""
    back_at: str = ""
    """Farm and day to which notes go back, where a move is undone."""
    again: set[int] = field(default_factory=set)
    """Notes to be read again, as what the grammar may know there is another."""
    undoing: bool = False
    """It takes an act back; what follows from that is no step that could be taken back again."""
    result: Done | None = None
    """What the act did, once it is finished; None when it changed nothing."""
    _entries: dict[int, Entry] = field(default_factory=dict)
    _marks: dict[int, set[tuple[str, str]]] = field(default_factory=dict)
    """Of each entry as it was before the act."""
    _states: dict[int, str] = field(default_factory=dict)
    """The same."""

    def seen(self, entry_id: int, version: int | None = None) -> Entry:
        """The entry, locked for a change, if it still is as the person saw it.

        Raises:
            NotFoundError: there is no such entry.
            ConflictError: it has another version now.
        """
        entry = entry_by_id(self.session, entry_id, lock=True)
        if version is not None and entry.version != version:
            raise ConflictError(
                gettext(
                    "entry %(entry)s was changed meanwhile by somebody else, or in another window",
                    entry=entry_id,
                ),
                remedy=gettext("Look at it again and decide anew"),
            )
        return entry

    def waiting(self, entry_id: int, version: int | None = None) -> Entry:
        """The same, if it waits.

        Raises:
            NotFoundError, ConflictError: as `seen`, or it was decided already.
        """
        entry = self.seen(entry_id, version)
        if entry.state != EntryState.WAITING:
            raise ConflictError(
                gettext("entry %(entry)s is %(state)s already", entry=entry_id, state=entry.state),
                remedy=gettext("`dictate undo %(entry)s` takes that back", entry=entry_id),
            )
        return entry

    @contextmanager
    def change(self, entry: Entry, kind: str, *, undoes: int | None = None) -> Iterator[None]:
        """Change an entry inside the block; the record holds afterwards what its state says."""
        values, state = entry.values, entry.state
        self._marks.setdefault(entry.id, {(one.id, one.what) for one in values.mark_details})
        self._states.setdefault(entry.id, state)
        with changing(self.session, entry, kind=kind, who=self.by, act=self.id, undoes=undoes):
            yield
            self._keep_with_its_note(entry)
            if EntryState.CONFIRMED in (state, entry.state):
                record_entry(self.session, entry)
        self._entries[entry.id] = entry

    def _keep_with_its_note(self, entry: Entry) -> None:
        """What an event kept of an entry may be of before its note was moved to another visit."""
        visit_id = self.session.get_one(Note, entry.note_id).visit_id
        if entry.visit_id != visit_id:
            entry.visit_id = visit_id
            self.again.add(entry.note_id)
            if entry.state == EntryState.CONFIRMED:
                entry.state = EntryState.WAITING
                entry.confirmed_how = entry.confirmed_by = entry.confirmed_at = None

    @property
    def done(self) -> Done:
        """The result of an act that changed something."""
        if self.result is None:
            raise ValueError("the act is not finished, or changed nothing")
        return self.result

    def finish(self) -> None:
        """What hangs on the changed entries follows."""
        changed = dict.fromkeys(entry.visit_id for entry in self._entries.values())
        for visit_id in changed | self.visits:
            hand_on(
                self.session, self.settings, visit_id,
                by=self.by, act=self.id, again=self.again,
                opening=HANDED_ON if self.undoing else OPENED_AGAIN,
            )  # fmt: skip
        if self._entries:
            self.result = self._done()

    def _done(self) -> Done:
        entries = list(self._entries.values())
        main = self.main or entries[0]
        was = self._marks.get(main.id, set())
        now = self._now(main)
        return Done(
            act=self.id,
            entry=now,
            entries=tuple(map(self._now, entries)),
            back_at=self.back_at,
            also=tuple(self._also()),
            raised=tuple(
                mark for mark in now.values.mark_details if (mark.id, mark.what) not in was
            ),
            offers=tuple(replace(offer, trimmer_id=now.trimmer_id) for offer in self.offers),
        )

    def _also(self) -> Iterator[Also]:
        """Every other entry with an event of this act, in the order in which they changed."""
        events = self.session.exec(
            select(Event)
            .where(Event.act == self.id, Event.subject == "entry")
            .order_by(col(Event.id))
        ).all()
        first: dict[int, Event] = {}
        for event in events:
            if event.subject_id not in self._entries and event.before is not None:
                first.setdefault(event.subject_id, event)
        for entry_id, event in first.items():
            entry, before = self.session.get_one(Entry, entry_id), event.before or {}
            yield Also(
                now=self._now(entry),
                before=EntryValues.model_validate(before["content"]),
                opened=before["state"] == EntryState.CONFIRMED
                and entry.state == EntryState.WAITING,
            )

    def _now(self, entry: Entry) -> Now:
        return Now(
            id=entry.id,
            version=entry.version,
            note_id=entry.note_id,
            visit_id=entry.visit_id,
            trimmer_id=self.session.get_one(Visit, entry.visit_id).trimmer_id,
            state=entry.state,
            opened=entry.state == EntryState.WAITING
            and self._states.get(entry.id) == EntryState.CONFIRMED,
            values=entry.values,
        )


@contextmanager
def acting(store: Store, settings: Settings, by: str) -> Iterator[Act]:
    """One act: what is done in the block is committed together with all that follows, or not at all."""
    opened = nullcontext(store) if isinstance(store, Session) else store.writing()
    with opened as session:
        act = Act(session=session, settings=settings, by=by)
        yield act
        act.finish()


def add_beside(act: Act, of: Entry, values: EntryValues, *, reason: str) -> Entry:
    """Queue a new entry of the same note; `reason` is why it is discarded once the act is undone.

    It begins as rejected and is then brought in, so that its history has a step to take back.
    """
    last = act.session.exec(
        select(func.max(col(Entry.position))).where(Entry.note_id == of.note_id)
    ).one()
    made = Entry(
        note_id=of.note_id,
        visit_id=of.visit_id,
        position=last + 1,
        state=EntryState.REJECTED,
        reason=reason,
        touched=True,
        content=values.model_dump(mode="json"),
    )
    act.session.add(made)
    act.session.flush()
    tell(act.session, made, kind="queued", who=act.by, act=act.id, before=None)
    with act.change(made, "amended"):
        made.state, made.reason = EntryState.WAITING, None
    return made
