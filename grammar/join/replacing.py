"""What may replace what in a correction, and what the new words mean in the old one's place."""

from collections.abc import Iterable
from dataclasses import replace

from grammar.hear.identifiers import spoken_digits
from grammar.hear.whens import from_count
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    AnimalSaid,
    Claw,
    Filler,
    Foot,
    HalfFoot,
    Kinds,
    MeasureSaid,
    Number,
    OtherClaw,
    Piece,
    Score,
    Severity,
    Stage,
    TimeSaid,
    Zone,
    is_side,
    turned,
)

OTHER_CLAW = {"outer": "inner", "inner": "outer"}
BARE_ANIMAL_DIGITS = 3
"""A number without "cow" in the middle of a note is an animal only from this many digits on."""
_NUMBERED = (AnimalSaid, Zone, Stage, Score, TimeSaid, MeasureSaid, Severity)
"""What a bare number may put right, where its own number is."""
_GROUPS: tuple[Kinds, ...] = (FEET, CLAWS, FINDINGS)
"""Kinds that take each other's place."""
_STAGES = frozenset({"M0", "M1", "M2", "M3", "M4", "M4.1"})


def as_animal(piece: Piece | None) -> AnimalSaid | None:
    """Return an animal, or the animal that a bare number names; None for anything else."""
    if isinstance(piece, AnimalSaid):
        return piece
    if not isinstance(piece, Number) or not piece.identifier or not piece.identifier[0].strip("0"):
        return None  # no animal is called "oh"
    words = tuple(piece.heard.split())
    return turned(piece, AnimalSaid, value=piece.identifier, words=words)


def may_name_animal(piece: Piece, least: int = BARE_ANIMAL_DIGITS) -> bool:
    """Whether a piece names an animal, or is a number of so many digits that may."""
    animal = as_animal(piece)
    if animal is None or animal is piece:
        return animal is piece
    return not is_round(animal) and any(len(reading) >= least for reading in animal.value)


def is_round(animal: AnimalSaid) -> bool:
    """ "A hundred": nobody calls an animal so in the middle of a note."""
    return animal.words[0] == "a" and set(animal.value[0][1:]) == {"0"}


def number_for(old: Piece, said: Number) -> Piece | None:
    """Return what a bare number means in place of an animal, zone, stage or score; None if nothing."""
    if isinstance(old, AnimalSaid):
        return _another_number(old, said)
    count = said.quantity
    if count is None:
        return None
    whole = int(count) if count.denominator == 1 else None
    if isinstance(old, Zone) and whole is not None and whole <= 12:
        return turned(said, Zone, value=(whole,))
    if isinstance(old, Stage) and f"M{float(count):g}" in _STAGES:
        return turned(said, Stage, value=f"M{float(count):g}")
    if isinstance(old, Score) and whole is not None and whole <= 5:
        return turned(said, Score, value=whole, scale=old.scale)
    if isinstance(old, Severity) and old.value.startswith("grade ") and whole in range(11):
        scale = old.value.partition(" of ")[1:]
        return turned(said, Severity, value=f"grade {whole}{''.join(scale)}")
    if isinstance(old, MeasureSaid):
        return turned(said, MeasureSaid, value=(count, old.value[1]), what=old.what)
    if isinstance(old, TimeSaid) and old.every is not None:
        when = from_count(f"{said.heard} {old.unit}", count, old.every, old.since)
        own = {"unit": old.unit, "every": old.every, "since": old.since}
        return turned(said, TimeSaid, value=when, **own) if when is not None else None
    return None


def _another_number(old: AnimalSaid, said: Number) -> AnimalSaid | None:
    """ "four twelve, sorry, thirteen" is 413: a shorter number puts the end right; or it is 13."""
    new = as_animal(said)
    if new is None or len(new.value[0]) >= len(old.value[0]):
        return new
    start = old.value[0][: -len(new.value[0])]
    readings = tuple(start + end for end in new.value if len(end) == len(new.value[0]))
    return replace(new, value=(*readings, *new.value), words=(*spoken_digits(start), *new.words))


def same_kinds(piece: Piece) -> Kinds:
    """Return the kinds that a piece takes the place of."""
    if isinstance(piece, Number):
        return _NUMBERED
    if is_side(piece):
        return FEET
    return next((group for group in _GROUPS if isinstance(piece, group)), (type(piece),))


def half_foot(piece: Piece) -> HalfFoot:
    """Make half a foot of a bare "left" or "right"."""
    return turned(piece, HalfFoot, value=piece.value if isinstance(piece, Filler) else piece.heard)


def half_of(piece: Piece, old: Piece) -> Piece:
    """Complete half a foot from the foot it corrects: "left hind, no, right" is right hind.

    And the other claw from the claw: "inner, no, the other claw" is the outer.
    """
    if isinstance(piece, OtherClaw) and isinstance(old, Claw) and "other" in piece.heard.split():
        return turned(piece, Claw, value=OTHER_CLAW.get(old.value, old.value))
    if not isinstance(piece, HalfFoot) or not isinstance(old, Foot):
        return piece
    return turned(piece, Foot, value=feet_of_half(piece, old.value))


def feet_of_half(half: HalfFoot, known: Iterable[str]) -> tuple[str, ...]:
    """Return the feet that half a foot names beside these: "the right" after left hind is RH."""
    letter = half.value[0].upper()
    feet = (foot[0] + letter if half.is_end else letter + foot[1] for foot in known)
    return tuple(dict.fromkeys(feet))
