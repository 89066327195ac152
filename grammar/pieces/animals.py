"""Pieces that name an animal, or go from one to the next."""

from dataclasses import dataclass

from grammar.pieces.piece import Said


@dataclass(frozen=True, slots=True, kw_only=True)
class AnimalSaid(Said[tuple[str, ...]]):
    """ "cow four twelve": every reading of the number, the usual one first."""

    words: tuple[str, ...]
    """The words of the number alone."""
    ending: bool = False
    """Whether only the number's end was said."""
    bare: bool = False
    """Whether no "cow" or "number" stood before it, in the middle of a note."""


class SameCow(Said[str]):
    """ "same cow"."""


class Break(Said[str]):
    """Where an animal's number stood among its pieces: no cue reaches ahead over it."""


class NextCow(Said[str]):
    """ "next cow": the animal does not carry over."""


class WrongCow(Said[str]):
    """ "wrong cow": with a number it gives the right animal."""
