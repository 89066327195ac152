"""Pieces that say where on the animal: feet, claws, zones and places in words."""

from dataclasses import dataclass

from grammar.pieces.piece import Said


@dataclass(frozen=True, slots=True, kw_only=True)
class Foot(Said[tuple[str, ...]]):
    """ "left hind", "both hinds": the feet."""

    claw: str | None = None
    """Of "left outer hind"."""
    place: bool = False
    """Whether it says where on the cow, and a side next to it narrows it: "behind", "in front"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HalfFoot(Said[str]):
    """ "the left", "the front": left, right, hind or front of a foot named elsewhere."""

    @property
    def is_end(self) -> bool:
        """Whether it says hind or front, and not the side."""
        return self.value in ("hind", "front")


class OtherFeet(Said[str]):
    """Feet by those said before: same, across, rest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Claw(Said[str]):
    """outer, inner, both."""

    of_both_feet: bool = False
    """Of "both inners"."""


class OtherClaw(Said[str]):
    """A claw by its state: sound, lesion."""


class Zone(Said[tuple[int, ...]]):
    """ "zone four and five"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Region(Said[str]):
    """ "at the heel": a place on the claw in words."""

    zone: int | None = None
    """The zone it stands for."""
    lesion_alone: str | None = None
    """The lesion that it names where no other lesion is said."""
    measured: bool = False
    """Whether it names a measure: "toe length"."""


SIDES = {
    "left": "L",
    "near": "L",
    "nearside": "L",
    "right": "R",
    "off": "R",
    "offside": "R",
    "both": "",
}
"""Bare words that name the side of a foot."""
