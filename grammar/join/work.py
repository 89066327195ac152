"""The pieces of one animal while they are attached, and what has been decided about them."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from grammar.join.cursor import of_kinds
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import Lesion, Piece
from grammar.records import Question, Slot


@dataclass(slots=True, kw_only=True)
class Work:
    """The pieces of one animal, without fillers, and what has been decided about them."""

    pieces: list[Piece]
    link: list[bool]
    """Whether "on", "in", "with" … stood directly before the piece."""
    before: list[str]
    """The fillers directly before the piece: "wrapped the left hind", "no block or wrap"."""
    lexicon: Lexicon
    tail: str = ""
    """The fillers behind the last piece."""
    denied: tuple[Slot[str], ...] = ()
    questions: list[Question] = field(default_factory=list)
    """What was left open, to be marked."""
    owned: set[int] = field(default_factory=set)
    """Claws and regions that belong to an action."""
    loose: set[int] = field(default_factory=set)
    """Pieces that fitted nowhere."""

    def at(self, *kinds: type[Piece]) -> list[int]:
        """Return the positions of the pieces of these kinds."""
        return of_kinds(self.pieces, kinds)

    def is_staged(self, at: int) -> bool:
        """Whether a piece is a lesion that has stages."""
        piece = self.pieces[at]
        return isinstance(piece, Lesion) and self.lexicon.lesions[piece.value].staged

    def is_of_skin(self, at: int) -> bool:
        """Whether a piece is a lesion of the skin, of which no claw need be said."""
        piece = self.pieces[at]
        return isinstance(piece, Lesion) and self.lexicon.lesions[piece.value].on == "skin"

    def drop(self, gone: set[int]) -> None:
        """Take out the pieces at these positions."""
        if not gone:
            return
        stay = [i for i in range(len(self.pieces)) if i not in gone]
        now = {before: at for at, before in enumerate(stay)}
        self.owned = {now[i] for i in self.owned if i in now}
        self.loose = {now[i] for i in self.loose if i in now}
        self.link = [self.link[i] for i in stay]
        self.before = [self.before[i] for i in stay]
        self.pieces = [self.pieces[i] for i in stay]

    def insert(self, at: int, piece: Piece) -> None:
        """Put a piece in, with the link and the fillers of the one that stands there."""
        self.link.insert(at, self.link[at])
        self.before.insert(at, self.before[at])
        self.pieces.insert(at, piece)

    def swap(self, at: int) -> None:
        """Let a piece and the next change places, each with its own fillers."""
        self.pieces[at : at + 2] = self.pieces[at : at + 2][::-1]
        self.link[at : at + 2] = self.link[at : at + 2][::-1]
        self.before[at : at + 2] = self.before[at : at + 2][::-1]

    def said_before(self, at: int) -> Sequence[str]:
        """Return the filler words directly before a piece."""
        return self.before[at].split()

    def said_behind(self, at: int) -> Sequence[str]:
        """Return the filler words directly behind a piece."""
        return (self.before[at + 1] if at + 1 < len(self.before) else self.tail).split()
