"""Where things stand among the pieces: past these kinds, back over them, where a part begins and ends.

Every function takes the pieces in the order said and a position, and moves it; none changes a piece.
"""

from collections.abc import Iterator, Sequence

from grammar.pieces import ANIMAL_EDGES, FEET, LINKS, Kinds, Piece, is_side

__all__ = [
    "REACH",
    "back",
    "find_back",
    "foot_start",
    "get",
    "next_solid",
    "of_kinds",
    "past",
    "seek",
    "walk_back",
]

REACH = 250
"""How many pieces away, at most, something said is of another: a note of thousands stays linear."""


def get(pieces: Sequence[Piece], at: int) -> Piece | None:
    """Return the piece at a position; None before the first and behind the last."""
    return pieces[at] if 0 <= at < len(pieces) else None


def past(pieces: Sequence[Piece], at: int, kinds: Kinds) -> int:
    """Return the first position from `at` on that is none of these kinds; the end where all are."""
    while at < len(pieces) and isinstance(pieces[at], kinds):
        at += 1
    return at


def back(pieces: Sequence[Piece], at: int, kinds: Kinds) -> int:
    """Return the last position from `at` back that is none of these kinds; -1 where all are."""
    while at >= 0 and isinstance(pieces[at], kinds):
        at -= 1
    return at


def next_solid(pieces: Sequence[Piece], at: int) -> int:
    """Return the first position from `at` on that is no link; a bare side may be half a foot."""
    while at < len(pieces) and isinstance(pieces[at], LINKS) and not is_side(pieces[at]):
        at += 1
    return at


def seek(pieces: Sequence[Piece], at: int, kinds: Kinds, end: int | None = None) -> int | None:
    """Return the first position from `at` on (and before `end`) of one of these kinds."""
    stop = min(len(pieces) if end is None else end, len(pieces), at + REACH)
    return next((i for i in range(at, stop) if isinstance(pieces[i], kinds)), None)


def find_back(
    pieces: Sequence[Piece], at: int, kinds: Kinds, edges: Kinds = ANIMAL_EDGES
) -> int | None:
    """Return the last position from `at` back of one of these kinds; None where an edge comes first."""
    for position in walk_back(pieces, at):
        if isinstance(pieces[position], kinds):
            return position
        if isinstance(pieces[position], edges):
            return None
    return None


def walk_back(pieces: Sequence[Piece], at: int) -> Iterator[int]:
    """Yield the positions from `at` back to the first, or as far as anything is of what was said."""
    return iter(range(min(at, len(pieces) - 1), max(-1, at - REACH), -1))


def foot_start(pieces: Sequence[Piece], end: int) -> int:
    """Return where the foot's part that ends at `end` begins: behind its foot."""
    foot = find_back(pieces, end - 1, FEET, ())
    return 0 if foot is None else foot + 1


def of_kinds(pieces: Sequence[Piece], kinds: Kinds) -> list[int]:
    """Return the positions of the pieces of these kinds."""
    return [i for i, piece in enumerate(pieces) if isinstance(piece, kinds)]
