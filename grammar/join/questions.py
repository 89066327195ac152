"""Questions to people at the chute are no record: "how many left out there, twelve, okay"."""

from collections.abc import Sequence

from grammar.join.near import silent
from grammar.pieces import (
    ANIMAL_EDGES,
    CLAWS,
    FEET,
    Asked,
    Lesion,
    OtherFeet,
    Piece,
    SameCow,
    Stage,
    Zone,
    is_clean,
)

__all__ = ["drop_questions"]

_ENDS = (*ANIMAL_EDGES, SameCow)
"""Behind an animal named as one the note goes on."""


def drop_questions(pieces: Sequence[Piece]) -> list[Piece]:
    """Let a question say nothing, with its answer; where a foot or lesion is named all is kept."""
    result = list(pieces)
    for at in range(len(pieces)):
        if not isinstance(result[at], Asked):
            continue
        end = next((i for i in range(at, len(pieces)) if isinstance(pieces[i], _ENDS)), len(pieces))
        kept = any(_is_of_a_foot(one) for one in pieces[at:end])
        for i in range(at, at + 1 if kept else end):
            result[i] = silent(pieces[i])
    return result


def _is_of_a_foot(piece: Piece) -> bool:
    if isinstance(piece, Lesion):
        return not is_clean(piece)
    return isinstance(piece, (*FEET, *CLAWS, OtherFeet, Stage, Zone))
