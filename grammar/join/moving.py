"""A correction that names what was said before: "sorry, the ulcer is on the inside", "no, the block was on the outer"."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from grammar.join.cursor import get, past, seek, walk_back
from grammar.join.replacing import half_foot, half_of, same_kinds
from grammar.pieces import (
    ANIMAL_EDGES,
    CLAWS,
    COPULAS,
    FEET,
    FINDINGS,
    LINKS,
    MODIFIERS,
    ActionSaid,
    Kinds,
    Leftover,
    Lesion,
    On,
    Piece,
    Zone,
    is_side,
    turned,
)

_MOVABLE = (*FEET, *CLAWS, Zone)
_JOINTS = frozenset({"for", "on", "with"})
"""What joins a lesion to a site said before it: "inner claw for the ulcer"."""
_FINDING = (*FINDINGS, *MODIFIERS, Zone)
_THINGS = (Lesion, ActionSaid)
Put = Callable[[int, Piece, Piece], None]
"""Puts a piece in the place of the one at a position, by a cue."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """A lesion or a deed named in a correction with the sites it is said to have."""

    thing: Lesion | ActionSaid
    sites: tuple[Piece, ...]
    end: int
    """Where the note goes on."""


def named_again(
    pieces: Sequence[Piece], at: int, kept: Sequence[Piece], *, told: bool = False
) -> Named | None:
    """Read what was said before, and sites, from `at` on; None where it is not both.

    told: only where "is" or "was" stands between, since a bare "no" may deny it.
    """
    thing: Lesion | ActionSaid | None = None
    sites: list[Piece] = []
    joined = False
    end = at
    for position in range(at, len(pieces)):
        piece = pieces[position]
        if isinstance(piece, _THINGS) and thing is None and (not sites or joined):
            thing, end = piece, position + 1
        elif isinstance(piece, _MOVABLE) or is_side(piece):
            sites.append(piece)
            end = position + 1
        elif not isinstance(piece, LINKS):
            break
        joined = isinstance(piece, LINKS) and piece.heard.split()[0] in _JOINTS
        if thing is not None and sites and thing.first > sites[0].first:
            break
    if thing is None or not sites or _said_before(kept, thing) is None:
        return None
    between = [one for one in pieces[at:end] if thing.last <= one.first < sites[0].first]
    if told and not any(one.heard in COPULAS for one in between):
        return None
    return Named(thing=thing, sites=tuple(sites), end=end)


def _said_before(kept: Sequence[Piece], thing: Lesion | ActionSaid) -> int | None:
    """Return where the current animal's part has this lesion or deed, said last."""
    for position in walk_back(kept, len(kept) - 1):
        piece = kept[position]
        if isinstance(piece, type(thing)) and piece.value == thing.value:
            return position
        if isinstance(piece, ANIMAL_EDGES):
            return None
    return None


def move(kept: list[Piece], site: Piece, thing: Lesion | ActionSaid, cue: Piece, put: Put) -> None:
    """Put a site where the lesion or deed has its own; where others share it, before that.

    A site that later lesions share stays, and the words are left over for a person to see.
    """
    site = half_foot(site) if is_side(site) else site
    at = _said_before(kept, thing)
    if at is None:
        return
    kinds = same_kinds(site)
    if isinstance(thing, ActionSaid) and kinds == CLAWS:
        _move_claw(kept, at, site, cue, put)
        return
    old, shared = _site_of(kept, at, kinds)
    if seek(kept, at + 1, (Lesion,), _site_end(kept, at, (*kinds, *FEET))) is not None:
        kept.append(turned(site, Leftover, value=site.heard))
    elif old is None:
        kept.insert(finding_start(kept, at), site)
    elif shared:
        kept.insert(at, half_of(site, kept[old]))
    else:
        put(old, half_of(site, kept[old]), cue)


def _move_claw(kept: list[Piece], deed: int, claw: Piece, cue: Piece, put: Put) -> None:
    """Put the claw of a deed, which stands behind it: "block on the inner"."""
    old = past(kept, deed + 1, (*LINKS, *FEET))
    if isinstance(known := get(kept, old), CLAWS):
        put(old, half_of(claw, known), cue)
    else:
        kept.insert(deed + 1, claw)


def _site_of(kept: Sequence[Piece], lesion: int, kinds: Kinds) -> tuple[int | None, bool]:
    """Return where a lesion's site stands, and whether an earlier lesion has it too."""
    behind = past(kept, lesion + 1, LINKS)
    if isinstance(get(kept, lesion + 1), On) and isinstance(get(kept, behind), kinds):
        return behind, False  # "toe ulcer on the inner"
    shared = False
    edges = (*ANIMAL_EDGES, *FEET) if kinds == CLAWS else ANIMAL_EDGES
    for position in walk_back(kept, lesion - 1):
        if isinstance(kept[position], kinds):
            return position, shared
        if isinstance(kept[position], edges):
            break
        shared = shared or isinstance(kept[position], Lesion)
    return seek(kept, lesion + 1, kinds, _site_end(kept, lesion, (Lesion,))), False


def _site_end(kept: Sequence[Piece], lesion: int, kinds: Kinds) -> int:
    """Return where what was said for a lesion's site ends: at one of these, or another animal."""
    end = seek(kept, lesion + 1, (*kinds, *ANIMAL_EDGES))
    return len(kept) if end is None else end


def finding_start(kept: Sequence[Piece], at: int) -> int:
    """Return where the finding around a piece starts: its zone, lesion or stage."""
    if not isinstance(kept[at], _FINDING):
        return at
    while at > 0 and isinstance(kept[at - 1], (*_FINDING, *LINKS)):
        at -= 1
    return at
