"""From the grammar's entry to the values that are shown, amended and recorded; word positions stay."""

from collections.abc import Collection, Iterable, Mapping
from typing import Any

from dictate.entry.values import (
    ActionValues,
    CorrectionValues,
    EntryValues,
    FindingValues,
    FollowUpValues,
    LocomotionValues,
    MarkValues,
    MeasureValues,
    Span,
)
from grammar import records as said
from grammar.records import How, Slot

_CARRIED = {How.CARRIED: "unsaid", How.INFERRED: "same cow"}


def values_of(entry: said.Entry, *, commands: Collection[str] = ()) -> EntryValues:
    """The values of an entry as it was read.

    Args:
        entry: As the grammar read it.
        commands: Kinds of the commands that were said in its note. They tell of an entry that has no
            animal, as nothing was handed on so far, whether it would take one over.
    """
    score = entry.locomotion
    animal = entry.animal
    carried = _CARRIED.get(animal.how, "") if animal else _would_carry(commands)
    spoken = {"animal": animal, "locomotion": score.score if score else None}
    return EntryValues.model_validate(
        {
            "animal": animal.value if animal else None,
            "carried": carried,
            "animal_candidates": entry.animal_candidates,
            "findings": tuple(map(_finding, entry.findings)),
            "actions": tuple(map(_action, entry.actions)),
            "follow_ups": tuple(map(_follow_up, entry.follow_ups)),
            "locomotion": LocomotionValues.model_validate(
                {"score": score.score.value, "scale": score.scale}
            )
            if score
            else None,
            "measures": tuple(
                MeasureValues(what=one.what, number=one.number, unit=one.unit)
                for one in entry.measures
            ),
            "status": tuple(one.value for one in entry.status),
            "denied": tuple(one.value for one in entry.denied),
            "remark": entry.remark,
            "corrections": tuple(
                CorrectionValues(slot=one.slot, was=one.was, now=one.now)
                for one in entry.corrections
            ),
            "at": _spans(spoken),
        }
    ).with_marks(map(mark_values, entry.marks))


def _would_carry(commands: Collection[str]) -> str:
    if "next cow" in commands:
        return ""
    return "same cow" if "same cow" in commands else "unsaid"


def mark_values(mark: said.Mark) -> MarkValues:
    """A mark of the grammar's checks as plain data."""
    return MarkValues(
        id=mark.check,
        what=mark.what,
        why=mark.why,
        clear=mark.clear,
        first=mark.first,
        last=mark.last,
        candidates=mark.candidates,
    )


def _finding(one: said.Finding) -> FindingValues:
    slots = {
        "foot": one.foot, "claw": one.claw, "zone": one.zone, "lesion": one.lesion, "stage": one.stage,
        "severity": one.severity, "object": one.object, "course": one.course, "region": one.region,
    }  # fmt: skip
    return FindingValues.model_validate(
        {
            **_values(slots),
            "heard": one.lesion.heard,
            "tissue": tuple(slot.value for slot in one.tissue),
            "at": _spans(slots) | _around("tissue", one.tissue),
        }
    )


def _action(one: said.Action) -> ActionValues:
    slots = {"kind": one.kind, "foot": one.foot, "claw": one.claw, "material": one.material}
    return ActionValues.model_validate({**_values(slots), "at": _spans(slots)})


def _follow_up(one: said.FollowUp) -> FollowUpValues:
    slots = {"kind": one.kind, "claw": one.claw}
    return FollowUpValues.model_validate(
        {
            **_values(slots),
            "feet": tuple(foot.value for foot in one.feet),
            "in_days": one.in_days,
            "date": one.on,
            "when": one.when,
            "at": _spans(slots) | _around("feet", one.feet),
        }
    )


def _values(slots: Mapping[str, Slot[Any] | None]) -> dict[str, Any]:
    return {name: slot.value if slot else None for name, slot in slots.items()}


def _spans(slots: Mapping[str, Slot[Any] | None]) -> dict[str, Span]:
    return {
        name: (slot.first, slot.last) for name, slot in slots.items() if slot and slot.first >= 0
    }


def _around(name: str, slots: Iterable[Slot[Any]]) -> dict[str, Span]:
    """One span over several slots."""
    said_ones = [slot for slot in slots if slot.first >= 0]
    if not said_ones:
        return {}
    return {name: (min(one.first for one in said_ones), max(one.last for one in said_ones))}
