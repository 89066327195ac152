"""Feet picked out of several: "warts both rears, left one is bleeding"; "digi on all four, M2 on the hinds".

What is said of a foot picked out qualifies the lesion there, and not on the others.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from grammar.join.cursor import get, past
from grammar.join.work import Work
from grammar.pieces import (
    CLAWS,
    COPULAS,
    FEET,
    FINDINGS,
    MODIFIERS,
    ActionSaid,
    Course,
    Denied,
    Foot,
    HalfFoot,
    Lesion,
    Material,
    Piece,
    Region,
    Zone,
)
from grammar.records import Slot

__all__ = ["Narrowing", "find_narrowing", "said_first"]

_BEGINS = (*FINDINGS, *CLAWS, Denied, Zone, Region)
"""What makes a foot the site of something new instead."""


@dataclass(slots=True)
class Narrowing:
    """The feet that are picked out, and what is said of each."""

    sites: set[int] = field(default_factory=set)
    """Positions of the feet picked out: no lesion of their own is said there."""
    of: dict[int, tuple[str, ...]] = field(default_factory=dict)
    """Position of a modifier -> the feet it holds for."""

    def of_foot(self, modifiers: Sequence[int], foot: Slot[str] | None) -> list[int]:
        """Return the modifiers that hold for a foot."""
        return [i for i in modifiers if i not in self.of or (foot and foot.value in self.of[i])]


def find_narrowing(work: Work, feet: Mapping[int, tuple[str, ...]]) -> Narrowing:
    """Find the feet that pick one out of several that a lesion was said for."""
    found = Narrowing()
    for modifier, foot in said_first(work).items():
        found.sites.add(foot)
        found.of[modifier] = feet[foot]
    whole: tuple[str, ...] = ()
    lesion = False
    for at, piece in enumerate(work.pieces):
        lesion = lesion or isinstance(piece, Lesion)
        if not isinstance(piece, FEET) or at in found.sites:
            continue
        said = [i for i in _said_of(work, at) if i not in found.of]
        if lesion and (said or _is_without(work, at)) and set(feet[at]) < set(whole):
            found.sites.add(at)
            found.of.update(dict.fromkeys(said, feet[at]))
        elif feet[at]:
            whole = feet[at]
    return found


def _is_without(work: Work, at: int) -> bool:
    """ "White line both hinds, no pus on the left": that one is said to be without, and no more."""
    no, after = get(work.pieces, at - 1), get(work.pieces, at + 1)
    seen = at > 0 and isinstance(no, Denied) and no.value == ""
    return seen and work.link[at] and not isinstance(after, _BEGINS)


def said_first(work: Work) -> dict[int, int]:
    """Return modifier -> foot where the modifiers are said before feet picked out."""
    found: dict[int, int] = {}
    whole: tuple[str, ...] = ()
    lesion = False
    at = 0
    while at < len(work.pieces):
        piece = work.pieces[at]
        lesion = lesion or isinstance(piece, Lesion)
        if isinstance(piece, Foot):
            whole = piece.value
        elif lesion and len(whole) > 1 and isinstance(piece, MODIFIERS):
            run, at = _run(work, at, whole)
            found.update(run)
            continue
        at += 1
    return found


def _run(work: Work, at: int, whole: tuple[str, ...]) -> tuple[dict[int, int], int]:
    """Read "M2 on the hinds, M1 on the fronts" from a modifier on; return where it ends.

    Modifiers stand first where the last of them still has a foot behind it; one pair alone needs
    its "on", and a foot that an action follows may be the action's.
    """
    found: dict[int, int] = {}
    linked, pairs, end = True, 0, at
    while True:
        foot = past(work.pieces, end, MODIFIERS)
        if foot == end or foot >= len(work.pieces) or not _part_of(work.pieces[foot], whole):
            break
        found.update(dict.fromkeys(range(end, foot), foot))
        linked, pairs, end = linked and work.link[foot], pairs + 1, foot + 1
    after = get(work.pieces, foot)
    sure = foot == end and not isinstance(after, (*_BEGINS, *FEET))
    if isinstance(after, (ActionSaid, Material)):
        own = isinstance(get(work.pieces, foot + 1), FEET)  # "m2 left m4 right, wrapped left"
        sure = sure and (((linked or own) and pairs > 1) or (linked and own))
    first = at == 0 or not _part_of(work.pieces[at - 1], whole) or _is_without(work, at - 1)
    half = after is None and isinstance(get(work.pieces, foot - 1), HalfFoot)  # "severe right"
    told = linked or half or pairs > 1
    return (found if sure and first and told else {}), max(foot, at + 1)


def _part_of(piece: Piece, whole: tuple[str, ...]) -> bool:
    if isinstance(piece, Foot):
        return set(piece.value) < set(whole)
    return isinstance(piece, HalfFoot)


def _said_of(work: Work, at: int) -> list[int]:
    """Return the modifiers directly behind a foot; none where they lead on to a lesion.

    "Left severe wart" does, "left is worse, ulcer …" does not.
    """
    end = past(work.pieces, at + 1, MODIFIERS)
    said = list(range(at + 1, end))
    states = any(
        isinstance(work.pieces[i], Course) or not COPULAS.isdisjoint(work.said_before(i))
        for i in said
    )
    leads_on = isinstance(get(work.pieces, end), _BEGINS)
    return said if states or not leads_on else []
