"""The table of checks: what each is called, what it means, why it matters, how to clear it."""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from grammar.checks.things import Thing
from grammar.hear.animals import Found
from grammar.hear.doubts import Doubts
from grammar.join.same_again import Copied
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import Piece
from grammar.records import Carry, Entry, Mark, Question, Slot


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What the checks may look at besides the entry."""

    lexicon: Lexicon
    carry: Carry = field(default_factory=Carry)
    on: date | None = None
    """The clip's own date."""
    found: Found | None = None
    """What the words for the animal came to."""
    cued: bool = True
    """Whether a word such as "cow" stood before the animal's number."""
    loose: tuple[Piece, ...] = ()
    """Pieces that fitted nowhere."""
    pieces: tuple[Piece, ...] = ()
    """All that was said of the animal, in the order said."""
    questions: tuple[Question, ...] = ()
    """What the joining left open."""
    copied: Copied | None = None
    """Where "same again" was said."""
    leftover: tuple[tuple[int, int, str], ...] = ()
    """Stretches that no rule took, within this animal's part."""
    doubts: Doubts = field(default_factory=Doubts)
    """What the words themselves leave in doubt, within this animal's part."""


FOOT_NAMES = {"LF": "left front", "RF": "right front", "LH": "left hind", "RH": "right hind"}
_FOOT = re.compile(r"\b[LR][FH]\b")

Finder = Callable[[Entry, Facts], Iterator[Mark]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One row of the table."""

    id: str
    what: str
    why: str
    clear: str
    example: str
    """Words that raise it; the docs and a test use them."""
    find: Finder


CHECKS: dict[str, Check] = {}
"""Id -> check, in the order of the reference page."""


def check(id_: str, *, what: str, why: str, clear: str, example: str) -> Callable[[Finder], Finder]:
    """Register a finder under its id."""

    def register(find: Finder) -> Finder:
        CHECKS[id_] = Check(id=id_, what=what, why=why, clear=clear, example=example, find=find)
        return find

    return register


def check_of_questions(id_: str, *, what: str, why: str, clear: str, example: str) -> None:
    """Register a check whose questions the joining of pieces has found."""

    @check(id_, what=what, why=why, clear=clear, example=example)
    def find(entry: Entry, facts: Facts) -> Iterator[Mark]:
        for doubt in facts.questions:
            if doubt.check == id_:
                yield mark(id_, doubt.what, doubt, doubt.candidates)


def check_of_reading(id_: str, *, what: str, why: str, clear: str, example: str) -> None:
    """Register a check that the whole reading raises, when all its entries are there (`checks.net`)."""
    check(id_, what=what, why=why, clear=clear, example=example)(lambda _entry, _facts: iter(()))


def place_of(check: str) -> int:
    """Return where a check stands in the table, for putting marks in order; one of no grammar's comes last."""
    return next((at for at, id_ in enumerate(CHECKS) if id_ == check), len(CHECKS))


def mark(
    id_: str,
    what: str,
    at: Slot[Any] | Piece | Question | Thing | None = None,
    candidates: Sequence[Any] = (),
) -> Mark:
    """Make the mark of a check, pointing at the words of a slot or piece; feet are named in words."""
    row = CHECKS[id_]
    what = _FOOT.sub(lambda foot: FOOT_NAMES[foot[0]], what)
    first, last = (at.first, at.last) if at is not None else (-1, -1)
    return Mark(
        check=id_, what=what, first=first, last=last, why=row.why, clear=row.clear,
        candidates=tuple(str(candidate) for candidate in candidates),
    )  # fmt: skip
