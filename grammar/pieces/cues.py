"""Words that act on others: corrections, denials, what was not done, what was before."""

from dataclasses import dataclass

from grammar.pieces.piece import Said


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectionCue(Said[str]):
    """ "sorry", "make that"."""

    restates: bool = False
    """Whether the whole finding may be said anew."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scratch(Said[str]):
    """ "scratch that", "scratch all", "scrap the …"."""

    whole: bool = False
    named: bool = False
    """Whether what is taken back is said next."""


class No(Said[str]):
    """ "no": denies a lesion, corrects a site or number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Not(Said[str]):
    """ "not", "no sign of"."""

    contrasts: bool = True
    """Whether it may stand before a site: "not the left hind, the right"."""


class NotNeeded(Said[str]):
    """ "wrap not needed": denies what was said before it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Undone(Said[str]):
    """ "needs", "couldn't": the deed said next was not done."""

    later: bool = False
    """Whether it is still to be done."""
    passes_over: bool = False
    """Whether a foot behind it was left out: "didn't lift the fronts"."""


class LeftUndone(Said[str]):
    """ "still on", "to go on": the deed said before was not done today."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Past(Said[str]):
    """ "used to have", "last time": what is said next, or before, was so at another time."""

    behind: bool = False
    """Whether it is said behind what it speaks of, if anything stands there."""


class TakenOff(Said[str]):
    """ "removed": the block or wrap said before came off."""


class Gone(Said[str]):
    """ "is gone": the lesion said before is not there any more."""


class Denied(Said[str]):
    """Where something has been denied: "deed", or "" for what may be seen."""


class Except(Said[str]):
    """ "all four except …"."""


class Either(Said[str]):
    """ "one or other of": one of the feet said next."""


class Again(Said[str]):
    """ "same again"."""


class EndOfNote(Said[str]):
    """ "end of note"."""
