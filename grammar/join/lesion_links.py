"""Sites that “on” joins to a lesion, whatever was said before."""

from collections.abc import Sequence

from grammar.join.beside import leads_to_lesion
from grammar.join.cursor import back, get, past
from grammar.join.work import Work
from grammar.pieces import (
    CLAWS,
    FEET,
    MODIFIERS,
    Kinds,
    Region,
    Zone,
)

__all__ = ["find_linked"]

_BEHIND = (*MODIFIERS, *FEET, *CLAWS, Zone, Region)
"""What may stand between a lesion and the site that "on" joins to it."""


def find_linked(work: Work, heads: Sequence[int], kinds: Kinds) -> dict[int, int]:
    """Return head -> site where "on" joins the site to the lesion: "ulcer on the outer"."""
    found: dict[int, int] = {}
    for head in heads:
        end = past(work.pieces, head + 1, _BEHIND)
        for i in range(head + 1, end):
            joined = _is_joined(work, i) and not _begins_next(work, head, i)
            if isinstance(work.pieces[i], FEET) and not joined:
                break
            if "and" in work.before[i].split() and leads_to_lesion(work.pieces, i + 1):
                break  # "toe necrosis, and on the inner a white line"
            if joined and isinstance(work.pieces[i], kinds) and i not in work.owned:
                found.setdefault(head, i)
    return found


def _begins_next(work: Work, head: int, at: int) -> bool:
    """ "outer toe necrosis and on the inner a white line": the lesion before has its own already."""
    kinds = FEET if isinstance(work.pieces[at], FEET) else CLAWS
    own = back(work.pieces, head - 1, (*MODIFIERS, Zone, Region, *(CLAWS if kinds is FEET else ())))
    return isinstance(get(work.pieces, own), kinds) and leads_to_lesion(work.pieces, at + 1)


def _is_joined(work: Work, at: int) -> bool:
    """Whether "on" reaches a site: "on the left hind", "on the outer of the left hind"."""
    if work.link[at]:
        return True
    before = isinstance(work.pieces[at - 1], CLAWS) and work.link[at - 1]
    return before and isinstance(work.pieces[at], FEET) and not leads_to_lesion(work.pieces, at + 1)
