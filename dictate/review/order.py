"""Which entries come first in the queue, and which slots a mark doubts: from `order.toml`."""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from dictate.entry.values import EntryValues

OTHER = "other"
"""Group of a check that no group lists."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Checks that stand equally high in the queue."""

    name: str
    why: str
    """Why they stand there, in words for a person."""
    settles: dict[str, tuple[str, ...]]
    """Check to the slots whose change answers it."""


@cache
def groups() -> tuple[Group, ...]:
    """All groups, riskiest first; the last is that of entries without a mark."""
    text = files("dictate.review").joinpath("order.toml").read_text(encoding="utf-8")
    return tuple(
        Group(
            name=row["name"],
            why=row["why"],
            settles={check: tuple(slots) for check, slots in row["checks"].items()},
        )
        for row in tomllib.loads(text)["group"]
    )


def risk_of(values: EntryValues) -> int:
    """Index of the riskiest group among an entry's marks."""
    marks = values.marks or (("animal-missing",) if values.animal is None else ())
    return min(map(_group_of, marks), default=len(groups()) - 1)


def settled_by(check: str) -> frozenset[str]:
    """Slots whose change answers a mark."""
    return frozenset(groups()[_group_of(check)].settles.get(check, ()))


def _group_of(check: str) -> int:
    listed = next((at for at, group in enumerate(groups()) if check in group.settles), None)
    return listed if listed is not None else [group.name for group in groups()].index(OTHER)
