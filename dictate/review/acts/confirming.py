"""Confirming: what an entry holds enters the herd record."""

from collections.abc import Mapping

from sqlmodel import Session

from dictate.errors import ConflictError, ReviewError
from dictate.review.acts.act import Act, Store, acting
from dictate.review.acts.done import Done, NeedsSureError
from dictate.review.waiting import unmarked
from dictate.settings import Settings
from dictate.store.farms import animal_by_number, has_roster
from dictate.store.states import EntryState
from dictate.store.tables import Entry, Visit, now
from dictate.texts import gettext


def confirm(
    store: Store,
    settings: Settings,
    entry_id: int,
    *,
    by: str,
    version: int | None = None,
    sure: bool = False,
) -> Done:
    """Confirm a waiting entry: its findings, actions and follow-ups enter the herd record.

    Raises:
        NotFoundError: there is no such entry.
        ConflictError: it was changed since `version`, or it is not waiting.
        ReviewError: it names no animal.
        NeedsSureError: its animal is not on the farm's roster, and `sure` was not said.
    """
    with acting(store, settings, by) as act:
        confirm_in(act, entry_id, version=version, sure=sure)
    return act.done


def confirm_in(
    act: Act, entry_id: int, *, version: int | None = None, how: str = "one", sure: bool
) -> Entry:
    """Confirm as a part of an act."""
    entry = act.waiting(entry_id, version)
    animal = entry.content.get("animal")
    if animal is None:
        raise ReviewError(
            gettext("entry %(entry)s names no animal", entry=entry_id),
            remedy=gettext(
                "Set it (dictate amend %(entry)s animal=NUMBER) or reject the entry", entry=entry_id
            ),
        )
    want_roster(act.session, entry, animal, sure=sure)
    with act.change(entry, "confirmed"):
        entry.state, entry.touched = EntryState.CONFIRMED, True
        entry.confirmed_how, entry.confirmed_by, entry.confirmed_at = how, act.by, now()
    return entry


def want_roster(session: Session, entry: Entry, animal: str, *, sure: bool) -> None:
    """Stop before an animal that the farm's roster lacks enters the record unasked.

    Raises:
        NeedsSureError: it is not on the roster, and `sure` was not said.
    """
    farm_id = session.get_one(Visit, entry.visit_id).farm_id
    if not sure and not_on_roster(session, farm_id, animal):
        raise NeedsSureError(
            gettext(
                "%(animal)s is not on the farm's roster: it may be misheard or mistyped",
                animal=animal,
            ),
            remedy=gettext(
                "Choose another number; or say that you are sure (dictate confirm %(entry)s --sure)",
                entry=entry.id,
            ),
        )


def not_on_roster(session: Session, farm_id: int, animal: str | None) -> bool:
    """Whether a farm has a roster and it lacks this animal."""
    if animal is None or not has_roster(session, farm_id):
        return False
    known = animal_by_number(session, farm_id, animal)
    return known is None or not known.on_roster


def confirm_together(
    store: Store,
    settings: Settings,
    visit_id: int,
    *,
    by: str,
    expected: Mapping[int, int] | None = None,
) -> Done | None:
    """Confirm all entries of a visit without marks, as one act that is recorded as such.

    Args:
        store: The database, or a transaction that is open.
        settings: The trimmer's own.
        visit_id: The visit.
        by: Who decides.
        expected: Entry id to version, as they were listed to the person; None takes what is there.

    Returns:
        None when there was nothing to confirm.

    Raises:
        ConflictError: an expected entry changed or is no longer among them; none is confirmed.
    """
    with acting(store, settings, by) as act:
        versions = {one.id: one.version for one in unmarked(act.session, visit_id)}
        asked = versions if expected is None else expected
        if changed := [str(at) for at, version in asked.items() if versions.get(at) != version]:
            raise ConflictError(
                gettext(
                    "changed since they were listed: entries %(names)s", names=", ".join(changed)
                ),
                remedy=gettext("List them again"),
            )
        for at, version in asked.items():
            # One without a mark was on the roster when it was checked; the roster may be older.
            confirm_in(act, at, version=version, how="unmarked", sure=True)
    return act.result
