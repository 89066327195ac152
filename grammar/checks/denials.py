"""Whether what a denying word stands before, or behind, was recorded all the same."""

from collections.abc import Iterator, Sequence
from typing import Any

from grammar.checks.hearing import slots_of
from grammar.checks.table import Facts, check, mark
from grammar.join.cursor import back, get, past
from grammar.join.denial_reach import has_had_its_say
from grammar.lexicon.schema import DenialWords
from grammar.pieces import (
    FEET,
    FINDINGS,
    LINKS,
    MODIFIERS,
    ActionSaid,
    LeftUndone,
    Lesion,
    Material,
    No,
    Not,
    NotNeeded,
    Piece,
    StatusSaid,
    Undone,
)
from grammar.records import Entry, Mark, Slot

_SAID = (*FINDINGS, *MODIFIERS, ActionSaid, Material, StatusSaid)
"""What is denied; a site is contrasted instead, and a time put off."""
_CUES = (No, Not, Undone, LeftUndone, NotNeeded)
_AWAY = 4
"""Words between a denial and what it denies, at most."""


@check(
    "denial-unused",
    what="What stands at a word that denies was recorded as there, or as done.",
    why="What was said not to be there, or not done, must not be recorded as there or done.",
    clear="Listen, and take out what was denied; or confirm the entry as it is.",
    example="cow four twelve left hind white line haven't healed",
)
def _denial_unused(entry: Entry, facts: Facts) -> Iterator[Mark]:
    if not any(isinstance(piece, _CUES) for piece in facts.pieces):
        return
    due = {one.kind for one in entry.follow_ups}  # "leave it on another fortnight"
    recorded = [slot for slot in slots_of(entry) if slot.first >= 0 and slot not in due]
    for at, cue in enumerate(facts.pieces):
        head = _denied_by(facts.pieces, at, facts.lexicon.denials)
        if head is not None and any(_is_of(s, head, cue) for s in recorded):
            what = f"{head.heard!r} was recorded, and {cue.heard!r} said of it"
            yield mark("denial-unused", what, cue)


def _is_of(slot: Slot[Any], head: Piece, cue: Piece) -> bool:
    """Whether a slot was taken from the head alone: "not lame" is a status of its own."""
    return slot.first <= head.first < slot.last and not slot.first <= cue.first < slot.last


def _denied_by(pieces: Sequence[Piece], at: int, words: DenialWords) -> Piece | None:
    """Return what a cue speaks of; None where it is no cue, or speaks of something else."""
    cue = pieces[at]
    if isinstance(cue, (No, Not)) or (isinstance(cue, Undone) and not cue.later):
        head = get(pieces, past(pieces, at + 1, LINKS))
        between = pieces[at + 1 : past(pieces, at + 1, LINKS)]
        led = [word for piece in between for word in piece.heard.split()]
        if not words.own_object.isdisjoint(led) or has_had_its_say(cue, led, words):
            return None
        near = head is not None and head.first - cue.last <= _AWAY
        if isinstance(cue, No) and isinstance(head, Lesion) and head.value == "no lesion":
            return None  # "no, there's nothing there"
        if isinstance(head, StatusSaid) and head.heard.startswith(("no ", "not ")):
            return None  # "doesn't move, not lame"
    elif isinstance(cue, (LeftUndone, NotNeeded)):
        if cue.heard == "none" and isinstance(get(pieces, past(pieces, at + 1, LINKS)), FEET):
            return None  # "wrapped, none on the right hind"
        head = get(pieces, back(pieces, at - 1, LINKS))
        if isinstance(head, FINDINGS) and cue.heard.endswith("still there"):
            return None  # "digital, still there": it is, and no block left on
        near = head is not None and cue.first - head.last <= _AWAY
    else:
        return None
    return head if near and isinstance(head, _SAID) else None
