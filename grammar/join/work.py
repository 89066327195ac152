"""The pieces of one animal while they are attached, and what has been decided about them."""

from dataclasses import dataclass, field

from grammar.join.pieces import Piece
from grammar.lexicon.lexicon import Lexicon
from grammar.records import Slot

__all__ = ["Work"]


@dataclass(slots=True, kw_only=True)
class Work:
    """The pieces of one animal, without fillers, and what has been decided about them."""

    pieces: list[Piece]
    link: list[bool]
    """Whether "on", "in", "with" … stood directly before the piece."""
    before: list[str]
    """The fillers directly before the piece: "wrapped the left hind", "no block or wrap"."""
    lexicon: Lexicon
    denied: tuple[Slot[str], ...] = ()
    owned: set[int] = field(default_factory=set)
    """Claws and regions that belong to an action."""
    loose: set[int] = field(default_factory=set)
    """Pieces that fitted nowhere."""

    def at(self, *kinds: str) -> list[int]:
        """Return the positions of the pieces of these kinds."""
        return [i for i, piece in enumerate(self.pieces) if piece.kind in kinds]
