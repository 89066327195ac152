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
    Lesion,
    Number,
    Piece,
    Region,
    is_clean,
    is_side,
    turned,
)

__all__ = ["SIDES_SAID", "feet_beside", "hock_side", "hocks"]

SIDES_SAID = frozenset({"left", "right"})
_HOCK = frozenset({"hock", "hocks", "hock's"})
_FEET = frozenset({"feet", "claws", "hooves"})
_NEAR = 4
"""How far a lesion stands at most from the hock that it is of."""
_REACHES = frozenset({"to", "above", "below", "over", "past"})
""" "Swollen up to the hock": where it ends, and no finding."""
_BETWEEN = (*MODIFIERS, Lesion, Number, AnimalSaid, Filler, *LINKS)
""" "Hock's up on three sixty six, left side": what may stand between a hock and its side."""


def hock_side(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Left hock", "hock swollen on the right", "hock sore on the left, feet are fine"."""
    piece = pieces[at]
    words = piece.heard.split()
    side = next((word for word in ("left", "right") if word in words), None)
    if side is None or (isinstance(piece, Foot) and words[-1] != "feet"):
        return None
    hock = back(pieces, at - 1, tuple(kind for kind in _BETWEEN if kind is not Lesion))
    known = _is_hock(get(pieces, hock)) or _is_hock(get(pieces, past(pieces, at + 1, MODIFIERS)))
    if isinstance(lesion := get(pieces, hock), Lesion) and not known:
        known = _is_hock(get(pieces, back(pieces, hock - 1, _BETWEEN)))
        known = known and lesion.value != "no lesion"
    return [turned(piece, Foot, value=(f"{side[0].upper()}H",))] if known else None


def hocks(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Swollen hocks": the two hind feet, where none is named; "left hock is thick" is a finding."""
    piece = pieces[at]
    if not _is_hock(piece):
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


def feet_beside(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Left hock swollen, feet are all fine": all four, and not the foot of the hock alone."""
    clean = pieces[at]
    ill = [one for one in pieces if isinstance(one, Lesion) and not is_clean(one)]
    if not is_clean(clean) or len(ill) > 1 or not any(map(_is_hock, pieces)):
        return None
    before = get(pieces, back(pieces, at - 1, (Filler,)))
    said = {
        *clean.heard.split(),
        *words_before(pieces, at, 2),
        *(before.heard.split() if before else ()),
    }
    return [turned(clean, Foot, value=ALL_FEET, rule=""), clean] if said & _FEET else None


def _is_hock(piece: Piece | None) -> bool:
    return isinstance(piece, (Region, Lesion)) and not _HOCK.isdisjoint(piece.heard.split())
