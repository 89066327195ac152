"""Claws told for each foot of several: "both hinds sole ulcer, left outer, right inner"."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from grammar.join.cursor import get
from grammar.join.finding_slots import Feet
from grammar.join.work import Work
from grammar.pieces import FEET, FINDINGS, MODIFIERS, Claw, Foot, Kinds, Lesion, Zone

__all__ = ["EachClaw", "find_each_claw"]

_PAIR = 2
_NOT_THERE = (*FINDINGS, *MODIFIERS, Zone)
"""What behind the list makes it the start of something new."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EachClaw:
    """The claws of one lesion by foot."""

    head: int | None = None
    """Position of the lesion."""
    claws: Mapping[str, int] = field(default_factory=dict)
    """Foot -> position of its claw."""
    sites: frozenset[int] = frozenset()
    """Positions of the feet in the list: no lesion of their own is said there."""

    def of(self, head: int, foot: str | None) -> int | None:
        """Return the position of the claw told for this foot."""
        return self.claws.get(foot) if head == self.head and foot is not None else None


def find_each_claw(work: Work, feet: Feet) -> EachClaw:
    """Find the list, take its claws from everything else, and let its last foot name them all."""
    whole: tuple[str, ...] = ()
    head: int | None = None
    for at, piece in enumerate(work.pieces):
        if isinstance(piece, Lesion):
            head = at if piece.value != "no lesion" else None
        if head is not None and len(whole) >= _PAIR:
            for order in ((FEET, (Claw,)), ((Claw,), FEET)):
                found = _list(work, feet, at, order, set(whole))
                if len(found) >= _PAIR:
                    return _take(work, feet, head, found, whole)
        if isinstance(piece, Foot) and len(piece.value) >= _PAIR:
            whole = piece.value
    return EachClaw()


def _list(
    work: Work, feet: Feet, at: int, order: tuple[Kinds, Kinds], whole: set[str]
) -> list[tuple[int, int]]:
    """Return (foot, claw) positions of a list from `at` on, one after another."""
    found: list[tuple[int, int]] = []
    foot_first = order[0] is FEET
    while isinstance(get(work.pieces, at), order[0]) and isinstance(
        get(work.pieces, at + 1), order[1]
    ):
        foot, claw = (at, at + 1) if foot_first else (at + 1, at)
        if not set(feet.get(foot, ())) < whole or not feet.get(foot):
            break
        found.append((foot, claw))
        at += _PAIR
    return [] if isinstance(get(work.pieces, at), _NOT_THERE) else found


def _take(
    work: Work, feet: Feet, head: int, found: list[tuple[int, int]], whole: tuple[str, ...]
) -> EachClaw:
    claws = {one: claw for foot, claw in found for one in feet[foot]}
    work.owned |= {claw for _, claw in found}
    sites = frozenset(foot for foot, _ in found)
    last = max(sites)
    feet[last] = tuple(one for one in whole if one in claws)
    return EachClaw(head=head, claws=claws, sites=sites)
