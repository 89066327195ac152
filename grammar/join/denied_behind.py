"""Denials behind what they deny: "block not needed", "right hind none", "wrapped neither"."""

from collections.abc import Sequence
from dataclasses import replace

from grammar.join.cursor import back, find_back, get, past
from grammar.join.denial_reach import Denials, reach_end
from grammar.pieces import (
    CLAWS,
    DEEDS,
    FEET,
    FINDINGS,
    MODIFIERS,
    ActionSaid,
    Foot,
    Kinds,
    Material,
    Piece,
    Region,
    Zone,
    is_linked,
    slot_of,
    value_of,
)
from grammar.records import How, Question

__all__ = ["deny_behind"]

_DOABLE = (*DEEDS, Material)
"""What may be said not to be needed."""
_OF_A_DEED = (*CLAWS, *FEET, Region)
"""What may stand between a deed and "not needed": "block on the inner not needed"."""
_OF_A_LESION = (*_OF_A_DEED, *MODIFIERS, Zone)


def deny_behind(found: Denials, at: int, before: Sequence[str]) -> None:
    """ "rubber block on the inner not needed" denies the block; its foot stays for what follows."""
    pieces = found.pieces
    if _foot_spared(found, at) or (
        pieces[at].heard == "none" and _none_elsewhere(found, at, before)
    ):
        return
    head = back(pieces, at - 1, _OF_A_DEED)
    none = pieces[at].heard == "none" and isinstance(get(pieces, head), FINDINGS)
    if not isinstance(get(pieces, head), _DOABLE) and not none:
        if pieces[at].heard == "none" and _none_first(found, at):
            return
        end = reach_end(pieces, at, before)  # "not needed: a block"
        if isinstance(pieces[end], (*FINDINGS, *DEEDS)):
            found.gone |= set(range(at + 1, end))
            found.deny(end)
        return
    found.gone |= {i for i in range(head + 1, at) if not isinstance(pieces[i], FEET)}
    if none and isinstance(get(pieces, at + 1), FEET):
        found.gone.add(at - 1)  # "dermatitis left hind none, right hind M2"
    while True:
        found.deny(head)
        first = head
        if isinstance(pieces[head], ActionSaid):
            first = back(pieces, head - 1, (Material,)) + 1
            if "put" in before[first].split():
                first = head  # "i put spray, bandage not needed"
            found.gone |= set(range(first, head))
        if first == 0 or not _listed(pieces[first - 1], before[first]):
            return
        head = first - 1


def _foot_spared(found: Denials, at: int) -> bool:
    """ "Hinds trimmed, fronts never needed it", "fronts not needed, hinds trimmed": nothing was done there."""
    pieces = found.pieces
    foot, deed, own = (get(pieces, at - step) for step in (1, 2, 3))
    if pieces[at].heard == "none" or not isinstance(foot, Foot):
        return False
    before = isinstance(deed, ActionSaid) and isinstance(own, Foot)
    before = before and isinstance(own, Foot) and set(own.value).isdisjoint(foot.value)
    other = get(pieces, at + 1)
    behind = isinstance(other, Foot) and isinstance(get(pieces, at + 2), ActionSaid)
    if not before and (isinstance(deed, ActionSaid) or not behind):
        return False
    found.gone.add(at - 1)
    return True


def _none_elsewhere(found: Denials, at: int, before: Sequence[str]) -> bool:
    """ "Left hind dermatitis, right hind none", "none on the right hind": none of it on that foot.

    Also "wrap left hind, none on the right".  The lesion, or the deed, stays with its own foot, and what is said next is of that one.
    """
    pieces = found.pieces
    lesion = find_back(pieces, at - 1, (*FINDINGS, ActionSaid), ())
    if lesion is None or value_of(pieces[lesion]) == "no lesion":
        return False
    site = _site_behind(pieces, at)
    behind = bool(site) and find_back(pieces, site.start - 1, _kinds(pieces, site), ()) is not None
    if not behind:
        site = range(at + 1, past(pieces, at + 1, (*FEET, *CLAWS)))
    if not site:
        return False
    kinds, none = _kinds(pieces, site), pieces[site.start]
    own = find_back(pieces, min(site.start, at) - 1, kinds, ())
    tells = isinstance(
        get(pieces, max(site.stop, at + 1)), (*FINDINGS, *CLAWS, *MODIFIERS, Zone, Region)
    )
    if own is None or value_of(pieces[own]) == value_of(none):
        return False
    if not behind and (tells or back(pieces, at - 1, _OF_A_LESION) != lesion):
        return False
    whole, denied = pieces[own], pieces[lesion]
    if isinstance(whole, Foot) and (rest := _without(whole.value, none)):
        pieces[own] = replace(whole, value=rest)
    found.slots.append(slot_of(none, str(value_of(denied)), How.INFERRED))
    others = any(isinstance(one, FINDINGS) for one in pieces[own + 1 : lesion])
    joined = behind or is_linked(none) or "on" in before[site.start].split()
    if others or not joined:
        what = f"{none.heard!r} may have the {denied.heard!r}, or be the one without"
        first, last = min(pieces[at].first, none.first), max(pieces[at].last, none.last)
        found.questions.append(Question(check="said-and-denied", what=what, first=first, last=last))
    found.gone |= {at} if tells else {at, *site}
    return True


def _none_first(found: Denials, at: int) -> bool:
    """ "Front feet none, hind feet M2": of the fronts nothing more is said."""
    pieces = found.pieces
    if not isinstance(get(pieces, at - 1), FEET) or not isinstance(get(pieces, at + 1), FEET):
        return False
    none = pieces[at - 1]
    what = f"{none.heard!r} was said to have none, and of what is not clear"
    found.questions.append(
        Question(check="said-and-denied", what=what, first=none.first, last=pieces[at].last)
    )
    found.gone |= {at - 1, at}
    return True


def _site_behind(pieces: Sequence[Piece], at: int) -> range:
    """Return the foot and claw, or the one of them, that stand right before a position."""
    claw = at - 1 if at and isinstance(pieces[at - 1], CLAWS) else at
    foot = claw - 1 if claw and isinstance(pieces[claw - 1], FEET) else claw
    return range(foot, at)


def _kinds(pieces: Sequence[Piece], site: range) -> Kinds:
    """Return the kinds by which a site is told from another: its foot, else its claw."""
    return FEET if isinstance(pieces[site.start], FEET) else CLAWS


def _without(feet: tuple[str, ...], none: Piece) -> tuple[str, ...]:
    """Return the feet of several that are not the one without: "both hinds dermatitis, right none"."""
    if isinstance(none, Foot):
        return tuple(foot for foot in feet if foot not in none.value)
    side = none.heard.removeprefix("the ").split()[0]
    initial = {"left": "L", "right": "R"}.get(side)
    return tuple(foot for foot in feet if foot[0] != initial)


def _listed(piece: Piece, joined: str) -> bool:
    """ "block and wrap not needed" denies both; "blocked and wrap not needed" has a block."""
    return (
        isinstance(piece, _DOABLE)
        and not piece.heard.endswith("ed")
        and not {"and", "or"}.isdisjoint(joined.split())
    )
