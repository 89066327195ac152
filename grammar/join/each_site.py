"""Claws and zones told for each foot of several: "both hinds sole ulcer, left outer, right inner"."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from grammar.join.cursor import get, past
from grammar.join.finding_slots import Feet
from grammar.join.work import Work
from grammar.pieces import (
    FEET,
    FINDINGS,
    MODIFIERS,
    ActionSaid,
    Claw,
    Foot,
    Lesion,
    Material,
    Zone,
)

__all__ = ["EachSite", "find_each_site"]

_PAIR = 2
_TOLD = (Claw, Zone)
_NOT_THERE = (*FINDINGS, *MODIFIERS)
"""What behind the list makes it the start of something new."""
_Item = tuple[int, Sequence[int]]
"""Position of a foot, and those of what is told of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EachSite:
    """The claws and zones of one lesion by foot."""

    head: int | None = None
    """Position of the lesion."""
    claws: Mapping[str, int] = field(default_factory=dict)
    """Foot -> position of its claw."""
    zones: Mapping[str, int] = field(default_factory=dict)
    sites: frozenset[int] = frozenset()
    """Positions of the feet in the list: no lesion of their own is said there."""

    def claw(self, head: int, foot: str | None) -> int | None:
        """Return the position of the claw told for this foot."""
        return self.claws.get(foot) if head == self.head and foot is not None else None

    def zone(self, head: int, foot: str | None) -> list[int]:
        """Return the position of the zone told for this foot."""
        told = self.zones.get(foot) if head == self.head and foot is not None else None
        return [] if told is None else [told]


def find_each_site(work: Work, feet: Feet) -> EachSite:
    """Find the list, take what it tells from everything else, let its last foot name them all."""
    whole: tuple[str, ...] = ()
    head: int | None = None
    for at, piece in enumerate(work.pieces):
        if isinstance(piece, Lesion):
            head = at if piece.value != "no lesion" else None
        elif head is not None and len(whole) >= _PAIR and isinstance(piece, (*FEET, *_TOLD)):
            found = _list(work, feet, at, set(whole))
            done = at > head + 1 and isinstance(work.pieces[at - 1], (ActionSaid, Material))
            if len(found) >= _PAIR and not done:  # "blocked left hind inner and right hind inner"
                return _take(work, feet, head, found)
        if isinstance(piece, Foot) and len(piece.value) >= _PAIR:
            whole = piece.value
    return EachSite()


def _list(work: Work, feet: Feet, at: int, whole: set[str]) -> list[_Item]:
    """Return the items of a list from `at` on, the foot always first or always last."""
    found: list[_Item] = []
    foot_first = isinstance(work.pieces[at], FEET)
    while True:
        told = range(at + foot_first, past(work.pieces, at + foot_first, _TOLD))
        foot = at if foot_first else told.stop
        if not told or not isinstance(get(work.pieces, foot), FEET):
            break
        if not feet.get(foot) or not set(feet[foot]) < whole:
            break
        found.append((foot, told))
        at = max(foot + 1, told.stop)
    behind = get(work.pieces, at)
    if not foot_first and isinstance(behind, _TOLD):
        return _around(work, feet, found[0][1][0], whole) if found else []
    return [] if isinstance(behind, _NOT_THERE) else found


def _around(work: Work, feet: Feet, at: int, whole: set[str]) -> list[_Item]:
    """Return the items of "outer left zone two, inner right zone three"; none of "outer, left zone two …"."""
    found: list[_Item] = []
    while True:
        foot = past(work.pieces, at, (Claw,))
        end = past(work.pieces, foot + 1, (Zone,))
        if not isinstance(get(work.pieces, foot), FEET) or not set(feet[foot]) < whole:
            break
        if foot == at or end == foot + 1:
            return []
        found.append((foot, [*range(at, foot), *range(foot + 1, end)]))
        at = end
    return [] if isinstance(get(work.pieces, at), (*_NOT_THERE, *_TOLD)) else found


def _take(work: Work, feet: Feet, head: int, found: Sequence[_Item]) -> EachSite:
    told: dict[type, dict[str, int]] = {Claw: {}, Zone: {}}
    for foot, places in found:
        for at in places:
            told[type(work.pieces[at])] |= dict.fromkeys(feet[foot], at)
            work.owned.add(at)
    sites = frozenset(foot for foot, _ in found)
    feet[max(sites)] = tuple(dict.fromkeys(one for site in sorted(sites) for one in feet[site]))
    return EachSite(head=head, claws=told[Claw], zones=told[Zone], sites=sites)
