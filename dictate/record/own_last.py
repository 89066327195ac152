"""Each animal of the last visit against its own visit before: the comparison that chance disturbs least."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from dictate.record.columns import NONE, Columns
from dictate.record.rows import VisitRow, natural


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnLast:
    """Animals of the last visit, by whether they had a lesion then and when last looked at before."""

    on: date
    """Day of the last visit."""
    began: tuple[str, ...]
    """A lesion now, none at their own visit before."""
    still: tuple[str, ...]
    """A lesion at both."""
    gone: tuple[str, ...]
    """None now, one at their own visit before."""
    clean: tuple[str, ...]
    """None at both."""
    first: tuple[str, ...]
    """Looked at for the first time in the period: nothing to compare with."""


def own_last(columns: Columns, visits: Sequence[VisitRow]) -> OwnLast | None:
    """Compare every animal that the last visit looked at with its own visit before; None without visits.

    Visits of every kind count: an animal is compared with itself, however either visit chose it.
    """
    if not visits:
        return None
    inorder = sorted(visits, key=lambda visit: (visit.on, visit.id))
    turn_of = {visit.id: at for at, visit in enumerate(inorder)}
    turns = np.array([turn_of.get(name, NONE) for name in columns.visit.names] + [NONE])
    turn = turns[columns.visit.at]
    last, animals = len(inorder) - 1, columns.animal
    before = np.full(len(animals.names), NONE)
    earlier = (turn >= 0) & (turn < last)
    np.maximum.at(before, animals.at[earlier], turn[earlier])
    ill_now, ill_before, now = (np.zeros(len(animals.names), dtype=bool) for _ in range(3))
    now[animals.at[turn == last]] = True
    ill_now[animals.at[columns.there & (turn == last)]] = True
    ill_before[animals.at[columns.there & earlier & (turn == before[animals.at])]] = True
    groups: dict[str, list[str]] = {
        name: [] for name in ("began", "still", "gone", "clean", "first")
    }
    kinds = {(True, False): "began", (True, True): "still", (False, True): "gone"}
    for at in np.flatnonzero(now):
        if (number := columns.numbers.get(animals.names[at])) is None:
            continue
        kind = kinds.get((bool(ill_now[at]), bool(ill_before[at])), "clean")
        groups["first" if before[at] == NONE else kind].append(number)
    return OwnLast(
        on=inorder[-1].on,
        **{kind: tuple(sorted(numbers, key=natural)) for kind, numbers in groups.items()},
    )
