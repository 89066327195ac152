"""Which claw each lesion is on, within its foot's part of the note."""

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from itertools import pairwise

from grammar.join.assign import assign_carried, in_turn
from grammar.join.cursor import back, get, past, seek
from grammar.join.lesion_links import find_linked
from grammar.join.work import Work
from grammar.pieces import (
    CLAWS,
    FEET,
    MODIFIERS,
    Claw,
    Foot,
    MeasureSaid,
    Piece,
    Region,
    Zone,
    is_clean,
)

__all__ = ["assign_claws"]

_OF_SITE = (*CLAWS, *MODIFIERS, Zone, Region, MeasureSaid)
"""What is told of a lesion behind its foot: "ulcer right hind, a bad one, three centimetres, outer claw"."""

_IN_IT = frozenset((way, it) for way in ("in", "into", "through") for it in ("it", "that", "there"))


def assign_claws(work: Work, heads: Sequence[int], foot_of: dict[int, int]) -> dict[int, int]:
    """Claws are assigned within each foot's part of the note."""
    claws = [i for i, piece in enumerate(work.pieces) if _has_claw(piece) and i not in work.owned]
    linked = find_linked(work, heads, CLAWS)
    found = in_turn(heads, claws)
    shared = any(_is_of_both(work, one) for one in claws)
    if found and not (linked or shared or _crosses_feet(work, found, foot_of)):
        return found
    found = {}
    done = 0
    index = 0
    while index < len(heads):
        site = foot_of.get(heads[index])
        end = index
        while end < len(heads) and foot_of.get(heads[end]) == site:
            end += 1
        group = heads[index:end]
        stop = _part_end(work, group, site, heads[end] if end < len(heads) else None)
        start = max(_part_start(work, group, site), done)
        mine = claws[bisect_left(claws, start) : bisect_left(claws, stop)]
        clean = {head for head in group if is_clean(work.pieces[head])}
        assigned = _without_later(assign_carried(group, mine, linked), clean, linked)
        found.update(assigned)
        both = [one for one in mine if _is_of_both(work, one)]
        found.update(
            (head, one)
            for one in both
            for head in heads[:end][-2:]
            if head < one and head not in found and _on_one_foot(work, head, foot_of)
        )
        done = max(assigned.values(), default=done - 1) + 1
        index = end
    return _without_carried_to_skin(work, found, linked)


def _crosses_feet(work: Work, found: Mapping[int, int], foot_of: Mapping[int, int]) -> bool:
    """ "Left hind corkscrew, left front inner ulcer, outer no abscess": the inner is of the second foot.

    Nor is a claw that was said of another foot its own: "… outer no abscess, left hind corkscrew".
    """
    feet = work.at(*FEET)
    return any(
        any(head < foot < claw for foot in feet if foot != foot_of.get(head))
        or claw < back(work.pieces, foot_of.get(head, 0) - 1, CLAWS) < foot_of.get(head, 0) < head
        for head, claw in found.items()
    )


def _without_carried_to_skin(
    work: Work, found: dict[int, int], linked: Mapping[int, int]
) -> dict[int, int]:
    """ "Ulcer outside, wart on the heel": the claw behind the ulcer is none of the skin's."""
    behind = {claw for head, claw in found.items() if claw > head}
    next_head = {
        claw: max(h for h, at in found.items() if at == claw and h < claw) for claw in behind
    }
    return {
        head: claw
        for head, claw in found.items()
        if next_head.get(claw, head) == head
        or head in linked
        or not work.is_of_skin(head)
        or _is_in_it(work, head)
    }


def _is_in_it(work: Work, head: int) -> bool:
    """ "Axial crack on the outer, dermatitis got into it": where the crack is."""
    behind = [*work.said_behind(head), ""]
    return any(two in _IN_IT for two in pairwise(behind))


def _on_one_foot(work: Work, head: int, foot_of: Mapping[int, int]) -> bool:
    site = get(work.pieces, foot_of.get(head, -1))
    one = not isinstance(site, Foot) or len(site.value) == 1
    return one and not is_clean(work.pieces[head])


def _is_of_both(work: Work, claw: int) -> bool:
    """ "White line …, bruise …, both outer": the claw of the last two."""
    piece = work.pieces[claw]
    both = isinstance(piece, Claw) and piece.of_both_feet
    return both or "both" in work.said_before(claw)


def _has_claw(piece: Piece) -> bool:
    return isinstance(piece, CLAWS) or (isinstance(piece, Foot) and piece.claw is not None)


def _without_later(
    found: dict[int, int], clean: set[int], linked: dict[int, int]
) -> dict[int, int]:
    """ "left hind clean, outer …": a claw after "clean" is not the clean one's, unless linked."""
    return {
        head: claw
        for head, claw in found.items()
        if head not in clean or claw < head or head in linked
    }


def _part_start(work: Work, group: Sequence[int], site: int | None) -> int:
    """Return where a foot's part starts: at its foot, or at the claw said right before it."""
    if site is None or site > group[0]:
        return 0
    start = back(work.pieces, site - 1, CLAWS) + 1
    owned = (i for i in range(site - 1, start - 1, -1) if i in work.owned)
    return next(owned, start - 1) + 1


def _part_end(work: Work, group: Sequence[int], site: int | None, following: int | None) -> int:
    """Return where a foot's part ends: at the next foot, or behind its own foot and claw."""
    limit = len(work.pieces) if following is None else following
    if site is not None and site > group[-1]:
        return min(past(work.pieces, site + 1, _OF_SITE), limit)
    foot = seek(work.pieces, group[-1] + 1, FEET, limit)
    return limit if foot is None else foot
