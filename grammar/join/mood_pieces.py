"""One animal's pieces while what was not done or is not there is taken out of them."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from grammar.join.cursor import back, get, past, seek
from grammar.join.feet import ALL_FEET
from grammar.lexicon.schema import ClauseWords
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    LINKS,
    MODIFIERS,
    Break,
    Denied,
    Filler,
    Foot,
    Kinds,
    Leftover,
    LeftUndone,
    Material,
    On,
    OtherFeet,
    Piece,
    Region,
    TimeSaid,
    Zone,
    slot_of,
    turned,
    value_of,
)
from grammar.records import Question, Slot

__all__ = ["BETWEEN", "Moods", "ahead", "behind", "silence_own"]

BETWEEN: Kinds = (*LINKS, *FEET, *CLAWS, *MODIFIERS, Region, Zone, Material, Leftover)
"""What may stand between a cue and what it speaks of: "needs the left hind wrapped"."""


@dataclass(slots=True, kw_only=True)
class Moods:
    """One animal's pieces without what was not done or is not there now."""

    pieces: list[Piece]
    said: Sequence[Piece]
    """The pieces as they were said."""
    words: ClauseWords
    denied: list[Slot[str]] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)

    def silence(self, at: int) -> None:
        """Let a piece say nothing any more; a lesion that is not there still parts two feet."""
        piece = self.pieces[at]
        kind = Denied if isinstance(piece, FINDINGS) else Filler
        self.pieces[at] = turned(piece, kind, value="" if kind is Denied else piece.heard)

    def leave_out(self, at: int) -> None:
        """Let a foot say nothing; "the others" are those without it."""
        foot, rest = self.pieces[at], seek(self.pieces, at + 1, (OtherFeet,))
        if rest is not None and isinstance(foot, Foot) and value_of(self.pieces[rest]) == "rest":
            others = tuple(one for one in ALL_FEET if one not in foot.value)
            self.pieces[rest] = turned(self.pieces[rest], Foot, value=others)
        self.silence(at)

    def set_aside(self, at: int, check: str, what: str) -> None:
        """Take a head out and say so in a mark."""
        self.ask(at, check, what)
        self.silence(at)

    def ask(self, at: int, check: str, what: str) -> None:
        """Mark a piece."""
        piece = self.pieces[at]
        self.questions.append(Question(check=check, what=what, first=piece.first, last=piece.last))

    def deny(self, at: int) -> None:
        piece = self.pieces[at]
        self.denied.append(slot_of(piece, str(value_of(piece))))
        self.silence(at)


def ahead(pieces: Sequence[Piece], at: int, kinds: Kinds) -> int | None:
    """Return the next head of these kinds, past what belongs to it."""
    head = past(pieces, at + 1, BETWEEN)
    return head if isinstance(get(pieces, head), kinds) else None


def behind(pieces: Sequence[Piece], at: int, kinds: Kinds) -> int | None:
    head = back(pieces, at - 1, (*BETWEEN, TimeSaid, Break))
    return head if isinstance(get(pieces, head), kinds) else None


def silence_own(moods: Moods, at: int) -> None:
    """Silence the materials and the claw that are the deed's own."""
    first = back(moods.pieces, at - 1, (Material,)) + 1
    last = past(moods.pieces, at + 1, (*LINKS, *CLAWS, Material, LeftUndone))
    claw = past(moods.pieces, last + 1, CLAWS)
    of_deed = claw > last + 1 and not isinstance(get(moods.pieces, claw), FINDINGS)
    on = isinstance(get(moods.pieces, at + 1), On)
    if isinstance(get(moods.pieces, last), FEET) and (on or of_deed):
        last = claw  # "wants a block on the left hind inner"
    gets = back(moods.pieces, at - 1, LINKS)
    if isinstance(get(moods.pieces, gets), CLAWS) and _gets(moods.pieces, gets, at):
        moods.silence(gets)
    for position in (*range(first, at), *range(at + 1, last)):
        piece, after = moods.pieces[position], past(moods.pieces, position + 1, LINKS)
        own = isinstance(get(moods.pieces, past(moods.pieces, after + 1, LINKS)), CLAWS)
        own = own or "for" in [one.heard for one in moods.pieces[position + 1 : after]]
        if isinstance(piece, CLAWS) and isinstance(get(moods.pieces, after), FINDINGS) and not own:
            continue  # "needs a block, outer ulcer"; but "block on the inner, ulcer outer"
        told = any(isinstance(one, LeftUndone) for one in moods.pieces[at:position])
        if isinstance(piece, (*CLAWS, Material)) and not (told and isinstance(piece, Material)):
            moods.silence(position)  # but "bandage declined, spray only" leaves the spray


def _gets(pieces: Sequence[Piece], claw: int, deed: int) -> bool:
    """ "The inner gets its block on Wednesday": the claw is that of the block."""
    return any("gets" in one.heard.split() for one in pieces[claw + 1 : deed])
