"""Whose hock it is: a cow has hocks behind only, so a side said of one is that hind foot."""

from collections.abc import Sequence

from grammar.join.cursor import back, get, past
from grammar.join.feet import ALL_FEET
from grammar.join.near import words_before
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    FEET,
    LINKS,
    MODIFIERS,
    AnimalSaid,
    Filler,
    Foot,
    HalfFoot,
    Leftover,
    Lesion,
    Number,
    Piece,
    Region,
    is_clean,
    is_side,
    turned,
)

__all__ = [
    "SIDES_SAID",
    "both_sides",
    "feet_beside",
    "hock_scored",
    "hock_side",
    "hocks",
    "is_hock",
]

SIDES_SAID = frozenset({"left", "right"})
_HOCK = frozenset({"hock", "hocks", "hock's", "tarsal"})
_FEET = frozenset({"feet", "claws", "hooves"})
_NEAR = 4
"""How far a lesion stands at most from the hock that it is of."""
_REACHES = frozenset({"to", "above", "below", "over", "past"})
""" "Swollen up to the hock": where it ends, and no finding."""
_BETWEEN = (*MODIFIERS, Lesion, Number, AnimalSaid, HalfFoot, Foot, Leftover, *LINKS)
""" "Hock's up on three sixty six, left side": what may stand between a hock and its side."""


def hock_side(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Left hock", "hock swollen on the right", "hock sore on the left, feet are fine"."""
    piece = pieces[at]
    words = piece.value.split() if isinstance(piece, HalfFoot) else piece.heard.split()
    side = next((word for word in ("left", "right") if word in words), None)
    if (
        side is None
        or words_before(pieces, at, 1) == ["all"]
        or (isinstance(piece, Foot) and words[-1] != "feet")
    ):
        return None
    hock = back(pieces, at - 1, tuple(kind for kind in _BETWEEN if kind is not Lesion))
    known = is_hock(get(pieces, hock)) or is_hock(get(pieces, past(pieces, at + 1, MODIFIERS)))
    if isinstance(lesion := get(pieces, hock), Lesion) and not known:
        known = is_hock(get(pieces, back(pieces, hock - 1, _BETWEEN)))
        known = known and lesion.value != "no lesion"
    return [turned(piece, Foot, value=(f"{side[0].upper()}H",))] if known else None


def hocks(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Swollen hocks": the two hind feet, where none is named; "left hock is thick" is a finding."""
    piece = pieces[at]
    if not is_hock(piece):
        return None
    near = pieces[max(0, at - _NEAR) : at + _NEAR + 1]
    told = any(isinstance(one, Lesion) and not is_clean(one) for one in near)
    reached = not _REACHES.isdisjoint(words_before(pieces, at, 2))
    said: Piece = piece
    if isinstance(piece, Region) and not (told or reached):
        said = turned(piece, Lesion, value="other", region=piece.value)
    named = any(isinstance(one, FEET) or is_side(one) for one in pieces)
    if named or "hocks" not in piece.heard.split():
        return None if said is piece else [said]
    return [turned(piece, Foot, value=("LH", "RH"), rule=""), said]  # of the same words


def hock_scored(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Hock score two, left": a finding of the hock, where no hock is named beside it."""
    piece = pieces[at]
    if "hock" not in piece.heard.split() or any(map(is_hock, pieces)):
        return None
    return [turned(piece, Lesion, value="other", region="hock"), piece]


def both_sides(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Hock lesion, both sides"."""
    piece, both = pieces[at], get(pieces, at - 1)
    if piece.heard != "sides" or both is None or both.heard not in ("both", "both the"):
        return None
    return [turned(piece, Foot, value=("LH", "RH"))] if any(map(is_hock, pieces)) else None


def feet_beside(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Left hock swollen, feet are all fine": all four, and not the foot of the hock alone."""
    clean = pieces[at]
    ill = [one for one in pieces if isinstance(one, Lesion) and not is_clean(one)]
    if not is_clean(clean) or len(ill) > 1 or not any(map(is_hock, pieces)):
        return None
    before = get(pieces, back(pieces, at - 1, (Filler,)))
    said = {
        *clean.heard.split(),
        *words_before(pieces, at, 2),
        *(before.heard.split() if before else ()),
    }
    return [turned(clean, Foot, value=ALL_FEET, rule=""), clean] if said & _FEET else None


def is_hock(piece: Piece | None) -> bool:
    return isinstance(piece, (Region, Lesion)) and not _HOCK.isdisjoint(piece.heard.split())
