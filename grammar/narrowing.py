"""One foot of several picked out: "warts both rears, left one is bleeding".

What is said of the one foot qualifies the lesion there, and not on the others.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from grammar.pieces import COPULAS, FOOT_KINDS, MODIFIERS
from grammar.prepare import Work
from grammar.records import Slot

__all__ = ["Narrowing", "find_narrowing"]

_BEGINS = frozenset({"lesion", "object", "denied", "claw", "clawword", "zone", "region"})
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
    whole: tuple[str, ...] = ()
    lesion = False
    for at, piece in enumerate(work.pieces):
        lesion = lesion or piece.kind == "lesion"
        if piece.kind not in FOOT_KINDS:
            continue
        said = _said_of(work, at)
        if lesion and said and set(feet[at]) < set(whole):
            found.sites.add(at)
            found.of.update(dict.fromkeys(said, feet[at]))
        elif feet[at]:
            whole = feet[at]
    return found


def _said_of(work: Work, at: int) -> list[int]:
    """Return the modifiers directly behind a foot; none where they lead on to a lesion.

    "Left severe wart" does, "left is worse, ulcer …" does not.
    """
    end = at + 1
    while end < len(work.pieces) and work.pieces[end].kind in MODIFIERS:
        end += 1
    said = list(range(at + 1, end))
    states = any(
        work.pieces[i].kind == "course" or not COPULAS.isdisjoint(work.before[i].split())
        for i in said
    )
    leads_on = end < len(work.pieces) and work.pieces[end].kind in _BEGINS
    return said if states or not leads_on else []
