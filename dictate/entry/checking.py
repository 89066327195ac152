"""Checking the values of an entry anew, as they stand after a person or another note changed them.

Two kinds of marks stand on an entry. Those of words (a repaired term, words left over, a number
heard unclearly) come from the reading and go only when a person settles them. Those of values (a
lesion that does not fit its zone, a block on the sore claw) hold of what the entry says, whoever
said it, and are found here by the same checks that the grammar runs.
"""

import datetime as dt
from collections.abc import Iterable, Iterator
from typing import TypeVar

from dictate.entry.read import mark_values
from dictate.entry.terms import FOOT_NAMES
from dictate.entry.values import (
    ActionValues,
    EntryValues,
    FindingValues,
    FollowUpValues,
    MarkValues,
    Span,
)
from grammar import Carry, Roster, load_lexicon
from grammar import records as said
from grammar.checks import Facts, place_of, run_checks
from grammar.hear.animals import Found

T = TypeVar("T")

LEFT_BEHIND = "left-behind"
"""Check of an action that stands on a foot from which a person moved the finding."""
CONTEXT = frozenset({"animal-carried", "animal-seen-twice"})
"""Checks that look at the notes before."""
OF_VALUES = CONTEXT | frozenset(
    {
        "action-foot-missing", "animal-alone", "animal-missing", "animal-not-on-roster",
        "block-claw-unsaid", "block-on-lesion-claw", "contradiction", "eid-length", "follow-up-past", "foot-missing", "lesion-site-odd", "locomotion-scale-open",
        "stage-without-dermatitis", "zone-odd-for-lesion", LEFT_BEHIND,
    }
)  # fmt: skip
"""Checks that need nothing but the values; all others look at how the words were heard."""
IN_DOUBT = "where the number was in doubt"
"""How the grammar's mark of a carried animal ends when the one before was doubted."""
_BLANK = frozenset(
    {"may-be-talk", "no-speech", "nothing-understood", "nothing-to-record", "took-back"}
)
"""Marks of an entry that stands for a note without one."""


def rechecked(
    values: EntryValues, *, roster: Roster | None, on: dt.date | None, carry: Carry
) -> EntryValues:
    """The values with the marks that they have now; those of words stay as they are.

    Args:
        values: As they stand.
        roster: The farm's animals; None when it has no list.
        on: Day of the visit.
        carry: What the entry is handed by those before it.
    """
    if _says_nothing(values) and not _BLANK.isdisjoint(values.marks):
        return values
    there = {(mark.id, mark.what): mark for mark in values.mark_details}
    facts = Facts(lexicon=load_lexicon(), carry=carry, on=on, found=_found(values, roster))
    found = [
        there.get((mark.check, mark.what)) or mark_values(mark)
        for mark in run_checks(_as_said(values), facts)
        if mark.check in OF_VALUES
    ]
    found += _left_behind(values)
    heard = [mark for mark in values.mark_details if mark.id not in OF_VALUES]
    return values.with_marks(_in_order((*found, *heard)))


def _in_order(marks: Iterable[MarkValues]) -> list[MarkValues]:
    """Marks as a reading gives them, the checks' own first: one that goes and comes again stands where it stood."""
    return sorted(marks, key=lambda mark: place_of(mark.id))


def context_marks_differ(values: EntryValues, carry: Carry) -> bool:
    """Whether an entry would get other marks from the notes before it now; found without the grammar."""
    there = {
        (mark.id, mark.what.endswith(IN_DOUBT))
        for mark in values.mark_details
        if mark.id in CONTEXT
    }
    return there != set(_context_marks(values, carry))


def _context_marks(values: EntryValues, carry: Carry) -> Iterator[tuple[str, bool]]:
    if values.carried and values.animal:
        if values.carried == "unsaid" or carry.doubted:
            yield "animal-carried", carry.doubted
    elif values.animal in carry.seen and values.animal != carry.animal:
        yield "animal-seen-twice", False


def _left_behind(values: EntryValues) -> list[MarkValues]:
    """Actions on a foot without a finding, once a person moved a finding to another foot."""
    moved = [one.foot for one in values.findings if one.foot and "foot" in one.by_hand]
    held = {one.foot for one in values.findings}
    return [
        MarkValues(
            id=LEFT_BEHIND,
            what=f"{action.kind} on {FOOT_NAMES[action.foot]}, where nothing was found",
            why="the finding was moved to another foot, and this may belong to it",
            clear="move it as well, or confirm both",
            candidates=tuple(dict.fromkeys(moved)),
        )
        for action in values.actions
        if moved and action.foot and action.foot not in held and "foot" not in action.by_hand
    ]


def _says_nothing(values: EntryValues) -> bool:
    return not (
        values.animal or values.findings or values.actions or values.follow_ups
        or values.locomotion or values.measures or values.status or values.remark_to_tell
    )  # fmt: skip


def _found(values: EntryValues, roster: Roster | None) -> Found | None:
    """Whether the animal is on the roster; one that was handed on was asked about where it was said."""
    if values.animal is None or values.carried:
        return None
    return Found(
        value=values.animal,
        candidates=(values.animal,),
        on_roster=roster is None or bool(roster.fits(values.animal)),
    )


def _as_said(values: EntryValues) -> said.Entry:
    """The values as the record that the checks look at."""
    lesions = load_lexicon().lesions
    score = values.locomotion
    return said.Entry(
        animal=_animal(values),
        findings=tuple(map(_finding, (one for one in values.findings if one.lesion in lesions))),
        actions=tuple(map(_action, values.actions)),
        follow_ups=tuple(map(_follow_up, values.follow_ups)),
        locomotion=said.Locomotion(score=_slot(score.score), scale=score.scale) if score else None,
        measures=tuple(
            said.Measure(what=one.what, number=one.number, unit=one.unit) for one in values.measures
        ),
        remark=values.remark_to_tell,
        status=tuple(map(_slot, values.status)),
        denied=tuple(map(_slot, values.denied)),
    )


def _animal(values: EntryValues) -> said.Slot[str] | None:
    if values.animal is None:
        return None
    how = {"": said.How.EXACT, "unsaid": said.How.CARRIED, "same cow": said.How.INFERRED}
    # A number that a person chose was not heard in these words.
    at = None if "animal" in values.by_hand else values.at.get("animal")
    return _slot(values.animal, how=how[values.carried], at=at)


def _finding(one: FindingValues) -> said.Finding:
    return said.Finding(
        lesion=_slot(one.lesion, heard=one.heard),
        foot=_maybe(one.foot),
        claw=_maybe(one.claw),
        # A zone that a region stands for is not asked about; one that was said or set by itself is.
        zone=None if one.zone is None else _slot(one.zone, heard="" if one.region else "zone"),
        stage=_maybe(one.stage),
        severity=_maybe(one.severity),
        region=_maybe(one.region),
    )


def _action(one: ActionValues) -> said.Action:
    return said.Action(
        kind=_slot(one.kind),
        foot=_maybe(one.foot),
        claw=_maybe(one.claw),
        material=_maybe(one.material),
    )


def _follow_up(one: FollowUpValues) -> said.FollowUp:
    return said.FollowUp(
        kind=_slot(one.kind),
        feet=tuple(map(_slot, one.feet)),
        claw=_maybe(one.claw),
        in_days=one.in_days,
        on=one.date,
        when=one.when,
    )


def _maybe(value: T | None) -> said.Slot[T] | None:
    return None if value is None else _slot(value)


def _slot(
    value: T, *, heard: str = "", how: said.How = said.How.EXACT, at: Span | None = None
) -> said.Slot[T]:
    first, last = at or (-1, -1)
    return said.Slot(value=value, heard=heard, first=first, last=last, how=how)
