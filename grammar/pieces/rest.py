"""Words that hold others together, and words left over."""

from dataclasses import dataclass
from fractions import Fraction

from grammar.pieces.piece import Said


class Filler(Said[str]):
    """A word that says nothing of its own."""


class Others(Filler):
    """ "The last fella", "himself": somebody else, whose doing is not ours."""


class Asked(Said[str]):
    """ "Where's the", "how many": a question to people begins."""


class On(Said[str]):
    """ "on the": joins a site to what stands before it."""


class With(Said[str]):
    """ "with", "using"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Number(Said[str]):
    """A number that no rule took: both readings, of which corrections and bare animals choose one."""

    identifier: tuple[str, ...]
    quantity: Fraction | None


class Dangling(Said[str]):
    """A unit, a month or a day without its number."""


class Leftover(Said[str]):
    """A word that means nothing here."""


COPULAS = frozenset({"is", "was", "looks"})
"""What joins a foot to what is said of it."""
