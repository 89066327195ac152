"""Discarding an entry with a reason, and bringing a discarded one back."""

from dictate.errors import ConflictError, ReviewError
from dictate.review.acts.act import Store, acting
from dictate.review.acts.done import Done
from dictate.settings import Settings
from dictate.store.clips import LEFT_ASIDE
from dictate.store.states import EntryState
from dictate.texts import gettext, noted

REASONS = (noted("noise only"), noted("said twice"), noted("not a note"), noted("no animal known"))
"""Usual reasons to discard an entry, offered on the page and in the terminal; any other words do too."""


def discard(
    store: Store,
    settings: Settings,
    entry_id: int,
    reason: str,
    *,
    by: str,
    version: int | None = None,
) -> Done:
    """Discard an entry with a reason; a confirmed one leaves the herd record.

    Raises:
        NotFoundError: there is no such entry.
        ConflictError: it was changed since `version`, or is discarded already.
        ReviewError: the reason is empty.
    """
    with acting(store, settings, by) as act:
        entry = act.seen(entry_id, version)
        if not reason.strip():
            raise ReviewError(
                gettext("entry %(entry)s was not rejected: no reason was given", entry=entry_id)
            )
        if entry.state == EntryState.REJECTED:
            raise ConflictError(gettext("entry %(entry)s is rejected already", entry=entry_id))
        with act.change(entry, "rejected"):
            entry.state, entry.reason, entry.touched = EntryState.REJECTED, reason.strip(), True
    return act.done


def restore(
    store: Store, settings: Settings, entry_id: int, *, by: str, version: int | None = None
) -> Done:
    """Let a discarded entry wait again, whoever discarded it and whatever was decided since.

    Raises:
        NotFoundError: there is no such entry.
        ConflictError: it was changed since `version`, or is not discarded.
    """
    with acting(store, settings, by) as act:
        entry = act.seen(entry_id, version)
        if entry.state != EntryState.REJECTED:
            raise ConflictError(
                gettext(
                    "entry %(entry)s is %(state)s, not rejected", entry=entry_id, state=entry.state
                )
            )
        with act.change(entry, "restored"):
            entry.state, entry.reason, entry.touched = EntryState.WAITING, None, True
    return act.done


def bring_back(
    store: Store, settings: Settings, entry_id: int, *, by: str, version: int | None = None
) -> Done:
    """Put what was left aside as talk into the queue, as a note whose words are still to be taken.

    Raises:
        NotFoundError: there is no such entry.
        ConflictError: it was changed since `version`, or was not left aside.
    """
    with acting(store, settings, by) as act:
        entry = act.seen(entry_id, version)
        if entry.state != EntryState.REJECTED or entry.reason != LEFT_ASIDE:
            raise ConflictError(
                gettext("entry %(entry)s was not left aside", entry=entry_id),
                remedy=gettext("`dictate left-aside` lists what was"),
            )
        with act.change(entry, "brought back"):
            entry.state, entry.reason, entry.touched = EntryState.WAITING, None, True
    return act.done
