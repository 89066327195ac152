"""Bare sides that are half a foot: "both hinds, left M2, right is worse"; "blocked left, severe right"."""

from collections.abc import Iterator, Sequence

from grammar.join.cursor import REACH, back, get, past
from grammar.join.near import is_word
from grammar.join.replacing import half_foot
from grammar.pieces import (
    CLAWS,
    COPULAS,
    FEET,
    LINKS,
    MODIFIERS,
    ActionSaid,
    Claw,
    Filler,
    Foot,
    HalfFoot,
    Lesion,
    Material,
    Not,
    NotNeeded,
    On,
    Piece,
    Region,
    Severity,
    Stage,
    Zone,
    is_side,
    value_of,
)

__all__ = ["SAID_OF_FOOT", "bare_sides"]

_OF_A_FOOT = (Lesion, Stage, Claw, Zone)
_OF_A_SIDE = (Severity, Stage, Zone, Claw)
_HAS = frozenset({"has", "had", "got"})
_FOR = frozenset({"for"})
_JUST = frozenset({"just", "only"})
SAID_OF_FOOT = (Lesion, *MODIFIERS, *CLAWS, Zone, Region)
"""What may be told of a foot."""


def bare_sides(pieces: Sequence[Piece]) -> Iterator[Piece]:
    """ "both hinds, left M2, right is worse, wrapped left": a bare side that is half a foot.

    Only after a foot, whose end completes it; elsewhere "left" and "right" say nothing.
    """
    foot: Piece | None = None
    before: Piece | None = None
    for i, piece in enumerate(pieces):
        if isinstance(piece, FEET) and not (isinstance(piece, HalfFoot) and _is_pair(foot)):
            foot = piece
        if is_side(piece) and _names_foot(pieces, i, foot, before):
            yield half_foot(piece)
        else:
            yield piece
        if not isinstance(piece, LINKS):
            before = piece


def _is_pair(foot: Piece | None) -> bool:
    """Whether both sides are left open: "both hinds …, blocked the right, left just dug out"."""
    return isinstance(foot, Foot) and len(foot.value) > 1


def _is_foot(pieces: Sequence[Piece], at: int, foot: Piece, before: Piece | None) -> bool:
    """Whether a bare side names a foot: by what follows, and after a pair by what is said of it.

    at: the position behind the side; before: the last piece that is no link.
    """
    after = get(pieces, at)
    if isinstance(get(pieces, at - 2), Not):
        return False  # "left hind isn't right"
    if isinstance(after, _OF_A_FOOT) or _after_or(pieces, at - 2) or _at_place(pieces, at):
        return True
    if any(isinstance(one, NotNeeded) and one.heard == "none" for one in (before, after)):
        return True  # "left hind dermatitis, right none", "none right"
    if not isinstance(foot, Foot) or len(foot.value) == 1:
        return isinstance(after, ActionSaid) and _other_told(pieces, at - 1)
    if is_word(get(pieces, at - 2), {"than"}):
        return False  # "right worse than left"
    return _is_told_of(pieces, at, before)


def _is_told_of(pieces: Sequence[Piece], at: int, before: Piece | None) -> bool:
    """Whether something is said of a bare side of a pair, or a deed is told of it."""
    after = get(pieces, at)
    if is_word(after, _JUST):
        after = get(pieces, at + 1)  # "left just dug out", "blocked left only"
    if after is None or is_word(after, {"and"}):
        return isinstance(before, (ActionSaid, Material, *_OF_A_SIDE))  # "severe right"
    if isinstance(get(pieces, past(pieces, at, (Filler, On))), CLAWS):
        return True  # "both hinds ulcer, left on the outer, right on the inner"
    if isinstance(before, ActionSaid) and is_word(after, _FOR):
        return True  # "trimmed behind, wrapped right for the dermatitis"
    if is_side(after):  # "both hinds ulcer, blocked left, right is open to the air"
        return isinstance(get(pieces, at - 2), (ActionSaid, Material))
    told = isinstance(after, (*MODIFIERS, ActionSaid))  # "both hinds, left wrapped, right sprayed"
    return told or is_word(after, COPULAS | _HAS)  # "left is an m four", "right has white line"


def _other_told(pieces: Sequence[Piece], side: int) -> bool:
    """ "Same as the left was, that's closed, right pared": the other half was named, and no deed stands before."""
    told = isinstance(get(pieces, side - 1), (ActionSaid, Material))
    halves = (one for one in pieces[:side] if isinstance(one, HalfFoot) and not one.is_end)
    return not told and any(one.value != value_of(pieces[side]) for one in halves)


def _names_foot(pieces: Sequence[Piece], at: int, foot: Piece | None, before: Piece | None) -> bool:
    if foot is None:
        return _at_place(pieces, at + 1) or _is_of_two(pieces, at, before)
    return _is_foot(pieces, at + 1, foot, before)


def _is_of_two(pieces: Sequence[Piece], at: int, before: Piece | None) -> bool:
    """ "Blocked left, severe right": both sides are told of, and of which end is left open."""
    near = pieces[max(at - REACH, 0) : at + REACH]
    sides = {piece.heard for piece in near if is_side(piece)}
    feet = any(isinstance(piece, FEET) for piece in near)
    told = isinstance(before, (*SAID_OF_FOOT, ActionSaid, Material))
    after = get(pieces, past(pieces, at + 1, LINKS))
    return len(sides) > 1 and not feet and (told or isinstance(after, SAID_OF_FOOT))


def _at_place(pieces: Sequence[Piece], at: int) -> bool:
    """ "lame behind left", "left behind": whether a place stands next to the side before `at`."""
    near = (get(pieces, past(pieces, at, LINKS)), get(pieces, back(pieces, at - 2, LINKS)))
    return any(isinstance(piece, Foot) and piece.place for piece in near)


def _after_or(pieces: Sequence[Piece], at: int) -> bool:
    """ "left hind, or is it right": the words before the side hold an "or"."""
    start = back(pieces, at, LINKS) + 1
    return any("or" in piece.heard.split() for piece in pieces[start : at + 1])
