"""What every piece has, and what is made of any of them."""

from dataclasses import dataclass, fields
from typing import Any, Generic, TypeVar

from grammar.records import Correction, How, Slot

T = TypeVar("T")
V = TypeVar("V")
P = TypeVar("P", bound="Piece")


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """Words that one rule, one row of the lexicon or nothing took."""

    first: int
    """Index of the first word."""
    last: int
    """Index one past the last word."""
    heard: str
    rule: str = ""
    """The rule or lexicon row that took the words; empty where none did."""
    how: How = How.EXACT
    rejected: tuple[Any, ...] = ()
    """Other readings, best first, and values a correction replaced."""
    corrections: tuple[Correction, ...] = ()
    """What this piece has replaced."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Said(Piece, Generic[T]):
    value: T


def slot_of(piece: Piece, value: V, how: How | None = None) -> Slot[V]:
    """Make the slot of a piece."""
    return Slot(
        value=value, heard=piece.heard, first=piece.first, last=piece.last,
        how=how or piece.how, rejected=piece.rejected,
    )  # fmt: skip


def turned(piece: Piece, kind: type[P], **own: Any) -> P:
    """Return the same words as another kind of piece; `own` are its fields."""
    return kind(**({name: getattr(piece, name) for name in _SHARED} | own))


_SHARED = tuple(field.name for field in fields(Piece))


def value_of(piece: Piece) -> Any:
    """Return the value of any piece."""
    return piece.value if isinstance(piece, Said) else piece.heard
