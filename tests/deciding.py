"""Deciding in tests: the acts of `dictate.review`, in the test's own session, for a trimmer without wishes.

Each gives the rows, so that a test can look at what was written.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from sqlmodel import Session

from dictate.review import acts
from dictate.review.acts import last_act
from dictate.review.waiting import unmarked
from dictate.settings import Settings
from dictate.store.tables import Entry

__all__ = [
    "amend",
    "bring_back",
    "confirm",
    "confirm_unmarked",
    "join",
    "last_act",
    "reject",
    "retype",
    "split",
    "undo",
    "undo_act",
    "unmarked",
]

SETTINGS = Settings(home=Path("there-is-none"), trimmer="Robin Field")


def _one(act: Callable[..., acts.Done]) -> Callable[..., Entry]:
    def done(session: Session, *what: Any, **more: Any) -> Entry:
        return session.get_one(Entry, act(session, SETTINGS, *what, **more).entry.id)

    return done


def _all(act: Callable[..., acts.Done | None]) -> Callable[..., list[Entry]]:
    def done(session: Session, *what: Any, **more: Any) -> list[Entry]:
        result = act(session, SETTINGS, *what, **more)
        return [session.get_one(Entry, one.id) for one in result.entries] if result else []

    return done


amend, confirm, reject = _one(acts.amend), _one(acts.confirm), _one(acts.discard)
join, split, undo = _one(acts.join), _one(acts.split), _one(acts.undo)
bring_back, retype = _one(acts.bring_back), _one(acts.put_words_right)
confirm_unmarked, undo_act = _all(acts.confirm_together), _all(acts.undo_act)
