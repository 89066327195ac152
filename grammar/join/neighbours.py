"""Words that the piece next to them gives another meaning, before any correction.

"Trimmed, back in six months" is no "trimmed back"; "long" is overgrown only beside a foot or claw.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from grammar.join.cursor import back, get, past
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    CLAWS,
    FEET,
    LINKS,
    ActionSaid,
    Filler,
    FollowUpSaid,
    Leftover,
    LeftUndone,
    Lesion,
    Number,
    On,
    OtherFeet,
    Piece,
    Region,
    TimeSaid,
    turned,
)

__all__ = ["read_neighbours"]

_COUNTED = frozenset({"feet", "legs"})
_ALL_BUT_ONE = 3
_FEET_MAX = 4
_BACK = " back"
_OF_LONG = (*FEET, *CLAWS, Region)
"""What "long" alone is said of."""


def read_neighbours(pieces: Sequence[Piece], lexicon: Lexicon) -> list[Piece]:
    """Return the pieces with those changed that their neighbours tell apart."""
    return [one for at in range(len(pieces)) for one in _read(pieces, at, lexicon)]


def _read(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> Iterator[Piece]:
    piece = pieces[at]
    if isinstance(piece, ActionSaid) and piece.heard.endswith(_BACK):
        yield from _without_back(pieces, at, piece, lexicon)
    elif isinstance(piece, LeftUndone) and piece.heard == "left on" and _names_claw(pieces, at):
        yield turned(piece, Filler, value="left", heard="left", last=piece.last - 1)
        yield turned(piece, On, value="on", heard="on", first=piece.last - 1)
    elif isinstance(piece, Number) and (rest := _other_three(pieces, at, piece)) is not None:
        yield rest
    elif isinstance(piece, Lesion) and piece.heard == "long" and not _is_long(pieces, at):
        yield turned(piece, Filler, value=piece.heard)
    else:
        yield piece


def _other_three(pieces: Sequence[Piece], at: int, number: Number) -> Piece | None:
    """ "Three feet clean, right hind a bruise": a count of feet is no animal; three are the rest."""
    counted = get(pieces, at + 1)
    if not isinstance(counted, Filler) or counted.heard not in _COUNTED:
        return None
    if number.quantity == _ALL_BUT_ONE:
        return turned(number, OtherFeet, value="rest")
    few = number.quantity is not None and number.quantity <= _FEET_MAX
    return turned(number, Leftover, value=number.heard) if few else None


def _without_back(
    pieces: Sequence[Piece], at: int, piece: ActionSaid, lexicon: Lexicon
) -> Iterator[Piece]:
    """ "Trimmed back in six months" is a trim, and back then."""
    time = get(pieces, past(pieces, at + 1, LINKS))
    term = lexicon.terms.get(piece.heard.removesuffix(_BACK))
    if not isinstance(time, TimeSaid) or term is None or term.tag != "ACTION":
        yield piece
        return
    yield replace(piece, value=str(term.value), heard=term.phrase, last=piece.last - 1)
    yield turned(
        piece, FollowUpSaid, value="look again", heard="back", first=piece.last - 1, only_dated=True
    )


def _names_claw(pieces: Sequence[Piece], at: int) -> bool:
    """ "Both hinds ulcer, left on the outer" leaves nothing on."""
    return isinstance(get(pieces, past(pieces, at + 1, LINKS)), CLAWS)


def _is_long(pieces: Sequence[Piece], at: int) -> bool:
    return isinstance(get(pieces, back(pieces, at - 1, LINKS)), _OF_LONG)
