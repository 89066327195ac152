"""The pieces of a note cut into animals' parts."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from grammar.hear.animals import Roster
from grammar.join.pieces import CLAW_KINDS, FOOT_KINDS, LINKS, Piece
from grammar.join.replacing import as_animal

__all__ = ["BARE_ANIMAL_DIGITS", "Part", "bare_animals", "drop_openers", "split_parts"]

BARE_ANIMAL_DIGITS = 3
"""A number without "cow" in the middle of a note is an animal only from this many digits on."""
BARE_RULE = "animal by number alone"
_OPENERS = frozenset({"good", "fine", "grand", "clear", "all good"})
"""Words that may open a note, before its animal, and then say nothing of a foot."""
_INTERJECTIONS = frozenset({"ok", "okay"})
"""Words that say that a foot is clean only right after a foot, a claw or the animal."""
_MAY_BE_CLEAN = FOOT_KINDS | CLAW_KINDS | {"animal"}
_STARTS = frozenset({"animal", "same cow", "next cow"})


@dataclass(slots=True, kw_only=True)
class Part:
    """The pieces of one animal."""

    animal: Piece | None = None
    pieces: list[Piece] = field(default_factory=list)
    cued: bool = True
    """Whether "cow", "number" … stood before the animal's number."""
    same: bool = False
    """After "same cow"."""
    fresh: bool = False
    """After "next cow": the animal does not carry over."""


def bare_animals(pieces: Sequence[Piece], roster: Roster | None) -> list[Piece]:
    """Take a number at the start of a note, or a long or known one later on, as an animal.

    Never behind an animal with only unknown words between: "four [unk] twelve" is a number with a
    hole in it, and no second animal.
    """
    result: list[Piece] = []
    for piece in pieces:
        animal = as_animal(piece) if piece.kind == "num" else None
        if animal is not None and _may_be_animal(piece, result, roster):
            before = next((p.kind for p in reversed(result) if p.kind not in LINKS | {"other"}), "")
            cued = before in ("", "next cow") or _names_animal(result)
            more = animal.more | {"bare": not cued}
            result.append(replace(animal, more=more, rule=BARE_RULE))
        else:
            result.append(piece)
    return result


def _may_be_animal(piece: Piece, before: Sequence[Piece], roster: Roster | None) -> bool:
    solid = [p for p in before[-6:] if p.kind not in LINKS]
    if solid and solid[-1].kind in ("no", "not", "correction", "wrongcow"):
        return False
    if solid and solid[-1].kind == "other":
        known = next((p for p in reversed(solid) if p.kind != "other"), None)
        if known is not None and known.kind == "animal":
            return False
    starts = not any(p.kind not in LINKS | {"other"} for p in before)
    if starts or (solid and solid[-1].kind == "next cow"):
        return True
    if _names_animal(before):
        return True
    readings = piece.more["identifier"]
    if roster is not None:
        return any(roster.fits(reading) for reading in readings)
    return len(readings[0]) >= BARE_ANIMAL_DIGITS


def _names_animal(before: Sequence[Piece]) -> bool:
    """ "fresh cow two eleven", "first calver three oh two": the words before end in a cue."""
    return (
        bool(before)
        and before[-1].kind == "status"
        and before[-1].heard.split()[-1] in ("cow", "calver", "heifer")
    )


def drop_openers(pieces: Sequence[Piece]) -> list[Piece]:
    """ "okay, this is cow four twelve": a word for clean that opens a note says nothing of a foot."""
    result = list(pieces)
    solid = [i for i, piece in enumerate(pieces) if piece.kind not in LINKS]
    for order, i in enumerate(solid):
        piece = pieces[i]
        before = pieces[solid[order - 1]].kind if order else ""
        after = pieces[solid[order + 1]].kind if order + 1 < len(solid) else ""
        opens = not before and after in _STARTS and piece.heard in _OPENERS
        between = piece.heard in _INTERJECTIONS and before not in _MAY_BE_CLEAN
        if piece.kind == "lesion" and (opens or between):
            result[i] = replace(piece, kind="fill", rule="filler word")
    return result


def split_parts(pieces: Sequence[Piece]) -> list[Part]:
    """Cut where another animal begins; a lone animal said last still owns what came before."""
    parts = [Part()]
    for piece in pieces:
        part = parts[-1]
        if piece.kind == "animal":
            # Only the usual reading counts: 901 and "ninety one" (91, or 901) are two animals.
            if part.animal is not None and part.animal.value[0] == piece.value[0]:
                continue
            if part.animal is not None or (part.same and part.pieces):
                part = Part()
                parts.append(part)
                if piece.rule == BARE_RULE and _names_animal(parts[-2].pieces):
                    part.pieces.append(parts[-2].pieces.pop())
            part.animal = piece
            part.cued = not piece.more.get("bare", False)
        elif piece.kind == "next cow":
            if part.animal is not None or part.pieces:
                parts.append(Part(fresh=True))
            else:
                part.fresh = True
        elif piece.kind == "same cow":
            part.same = True
        else:
            part.pieces.append(piece)
    return parts
