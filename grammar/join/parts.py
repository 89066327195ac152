"""The pieces of a note cut into animals' parts."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from grammar.join.bare_numbers import BARE_RULE, is_or, names_animal
from grammar.join.number_lists import LIST_RULE
from grammar.pieces import (
    CLAWS,
    FEET,
    LINKS,
    AnimalSaid,
    Break,
    Either,
    Filler,
    Lesion,
    NextCow,
    Piece,
    SameCow,
    Undone,
    turned,
)
from grammar.records import Question

__all__ = ["Part", "drop_openers", "split_parts"]

_OPENERS = frozenset({"good", "fine", "grand", "clear", "all good"})
"""Words that may open a note, before its animal, and then say nothing of a foot."""
_INTERJECTIONS = frozenset({"ok", "okay", "lovely", "perfect", "spot on", "sweet as", "nice"})
"""Words that say that a foot is clean only right after a foot, a claw or the animal."""
_FEET_WORDS = frozenset({"feet", "foot", "claws", "legs", "hooves"})
_MAY_BE_CLEAN = (*FEET, *CLAWS, AnimalSaid)
_STARTS = (AnimalSaid, SameCow, NextCow)


@dataclass(slots=True, kw_only=True)
class Part:
    """The pieces of one animal."""

    animal: AnimalSaid | None = None
    pieces: list[Piece] = field(default_factory=list)
    cued: bool = True
    """Whether "cow", "number" … stood before the animal's number."""
    same: bool = False
    """After "same cow"."""
    fresh: bool = False
    """After "next cow": the animal does not carry over."""
    questions: list[Question] = field(default_factory=list)
    """What is marked because of how several animals were said."""

    @property
    def told(self) -> list[Piece]:
        """What was said behind the animal's number, or all where none was said."""
        edges = [at for at, piece in enumerate(self.pieces) if isinstance(piece, Break)]
        return self.pieces[edges[0] + 1 :] if edges else self.pieces

    @property
    def lead(self) -> list[Piece]:
        """What was said before the animal's number, with the number's own place."""
        return self.pieces[: len(self.pieces) - len(self.told)]

    @property
    def number(self) -> str:
        """The animal's number as it is usually read; empty where none was said."""
        return self.animal.value[0] if self.animal is not None else ""

    def ask(self, check: str, what: str, candidates: Sequence[str] = ()) -> None:
        """Mark the animal's number."""
        first, last = (self.animal.first, self.animal.last) if self.animal else (-1, -1)
        self.questions.append(
            Question(check=check, what=what, first=first, last=last, candidates=tuple(candidates))
        )

    @property
    def waits(self) -> bool:
        """Whether nothing was said of the animal yet, but for "and" or "or"."""
        return self.animal is not None and all(
            isinstance(piece, (*LINKS, Either)) for piece in self.told
        )

    def names_again(self, animal: AnimalSaid) -> bool:
        """Whether a number says the same animal again, or leaves open which of two it is."""
        if self.animal is None:
            return False
        if is_or(self.pieces):
            animal = _in_full(animal, self.animal)
            self.pieces.append(_either_animal(self.animal, animal))
            self.animal = replace(self.animal, rejected=(*self.animal.rejected, animal.value))
            return True
        # Only the usual reading counts: 901 and "ninety one" (91, or 901) are two animals.
        return self.animal.value[0] == animal.value[0]


def drop_openers(pieces: Sequence[Piece]) -> list[Piece]:
    """ "okay, this is cow four twelve": a word for clean that opens a note says nothing of a foot."""
    result = list(pieces)
    solid = [i for i, piece in enumerate(pieces) if not isinstance(piece, (*LINKS, Undone))]
    for order, i in enumerate(solid):
        piece = pieces[i]
        before = pieces[solid[order - 1]] if order else None
        after = pieces[solid[order + 1]] if order + 1 < len(solid) else None
        opens = before is None and isinstance(after, _STARTS) and piece.heard in _OPENERS
        of_feet = i > 0 and pieces[i - 1].heard in _FEET_WORDS
        between = piece.heard in _INTERJECTIONS and not isinstance(before, _MAY_BE_CLEAN)
        between = between and not of_feet
        if isinstance(piece, Lesion) and (opens or between):
            result[i] = turned(piece, Filler, value=piece.heard, rule="filler word")
    return result


def split_parts(pieces: Sequence[Piece]) -> list[Part]:
    """Cut where another animal begins; a lone animal said last still owns what came before."""
    parts = [Part()]
    for piece in pieces:
        part = parts[-1]
        if isinstance(piece, AnimalSaid):
            _add_animal(parts, piece)
        elif isinstance(piece, NextCow):
            if part.animal is not None or part.pieces:
                parts.append(Part(fresh=True))
            else:
                part.fresh = True
        elif isinstance(piece, SameCow):
            part.same = True
        else:
            part.pieces.append(piece)
    return parts


def _add_animal(parts: list[Part], animal: AnimalSaid) -> None:
    part = parts[-1]
    if part.names_again(animal):
        if parts[1:] and parts[-2].waits and not part.waits:
            parts.append(Part(animal=animal))  # "610 and 611 trimmed, 611 blocked"
        return
    if part.animal is not None or (part.same and part.pieces):
        part = Part()
        parts.append(part)
        if animal.rule in (BARE_RULE, LIST_RULE) and names_animal(parts[-2].pieces):
            part.pieces.append(parts[-2].pieces.pop())
    if part.pieces:
        part.pieces.append(turned(animal, Break, value=animal.heard, corrections=()))
    part.animal = animal
    part.cued = not animal.bare


def _in_full(other: AnimalSaid, one: AnimalSaid) -> AnimalSaid:
    """ "Eighty one or two" is 81 or 82: a shorter second number has the first one's beginning."""
    missing = len(one.value[0]) - len(other.value[0])
    if not other.bare or missing <= 0:
        return other
    start = one.value[0][:missing]
    return replace(other, value=(start + other.value[0], *other.value))


def _either_animal(one: AnimalSaid, other: AnimalSaid) -> Either:
    return turned(one, Either, value=other.value[0], last=other.last, rejected=(), corrections=())
