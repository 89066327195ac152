"""What a denial reaches, and what denials come to."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from grammar.join.cursor import get, past
from grammar.lexicon.schema import DenialWords
from grammar.pieces import (
    DEEDS,
    FINDINGS,
    MODIFIERS,
    ActionSaid,
    Course,
    Material,
    Not,
    Piece,
    Severity,
    StatusSaid,
    Tissue,
    is_clean,
    slot_of,
    value_of,
)
from grammar.records import Question, Slot

__all__ = ["HEADS", "Denials", "has_had_its_say", "reach_end"]

HEADS = (*FINDINGS, *DEEDS, StatusSaid)
"""What can be denied together with the words that qualify it."""

_TURNS = frozenset({"just", "only", "but", "both"})
"""What turns from a denial to what is there: "not bad, both dermatitis"."""
_PREDICATES = frozenset({"not", "isn't", "is not", "not a"})
"""Denials of an adjective alone: "not bad, dermatitis"."""
_THINGS = frozenset({"pus", "smell", "heat", "separation", "granulation"})
"""What is seen in a lesion and is a thing of its own: no adjective of what is said next."""


@dataclass(slots=True, kw_only=True)
class Denials:
    """What the denials of one animal's part come to."""

    pieces: list[Piece]
    """All pieces, those of a denial changed in place."""
    gone: set[int] = field(default_factory=set)
    """Positions of the pieces that say nothing of their own any more."""
    slots: list[Slot[str]] = field(default_factory=list)
    """What is not there or was not done."""
    questions: list[Question] = field(default_factory=list)
    """What was left open, to be marked."""

    def deny(self, at: int) -> None:
        self.gone.add(at)
        piece = self.pieces[at]
        self.slots.append(slot_of(piece, str(value_of(piece))))


def reach_end(pieces: Sequence[Piece], at: int, before: Sequence[str]) -> int:
    """Return the last piece a denial reaches: "no bad ulcer", "not bleeding", "no rubber block"."""
    if isinstance(pieces[at], Not) and isinstance(get(pieces, at + 1), (Tissue, Course)):
        return at + 1  # "not bleeding, sole ulcer outer"
    if pieces[at].heard in _PREDICATES and isinstance(get(pieces, at + 1), Severity):
        return at + 1
    if isinstance(thing := get(pieces, at + 1), Tissue) and thing.value in _THINGS:
        return at + 1  # "no pus, no smell, white line outer"
    after = past(pieces, at + 1, (*MODIFIERS, Material))
    for i in range(at + 1, min(after + 1, len(pieces))):
        turns = {*before[i].split(), pieces[i].heard.split()[0]}
        if not _TURNS.isdisjoint(turns):
            return min(at + 1, i - 1)  # "no pus, just a bruise"
    if isinstance(get(pieces, after), HEADS) and not (after > at + 1 and is_clean(pieces[after])):
        ahead = pieces[at + 1 : after]
        if all(_qualifies(piece, pieces[after]) for piece in ahead):
            return after
    return min(at + 1, after - 1) if after > at + 1 else at


def has_had_its_say(cue: Piece, led: Sequence[str], words: DenialWords) -> bool:
    """ "It isn't, it's a wart" begins anew; "not bothering her, left it alone" denies the verb.

    "Couldn't get it wrapped" denies the deed.  led: the little words behind the denial.
    """
    if not isinstance(cue, Not):
        return False
    if not words.begins_anew.isdisjoint(led[:1]):
        return True
    *_, verb, her = ["", *cue.heard.split(), *led]
    if not led or her not in words.pronouns or verb in words.causes:
        return False
    return not verb.endswith("n't") and verb not in words.bare


def _qualifies(piece: Piece, head: Piece) -> bool:
    """Whether a piece is part of the denied thing; "not bleeding, referred" denies no referral."""
    if isinstance(piece, Material) or (isinstance(piece, Course) and piece.value == "new"):
        return isinstance(head, (ActionSaid, *FINDINGS))
    return isinstance(head, FINDINGS)
