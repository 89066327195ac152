"""Marks for what is likely enough to be misheard, with what the other hearings make of it."""

from collections.abc import Mapping, Sequence
from typing import Any

from dictate.hearing.certainty import (
    SlotCertainty,
    is_unsure,
    next_entries,
    slot_certainties,
    slot_values,
)
from dictate.notes.values import MarkValues
from grammar import Reading, Roster, Word, as_json, parse

__all__ = ["marked_entries", "unsure_marks"]


def unsure_marks(
    reading: Reading,
    hearings: Sequence[Sequence[Word]],
    *,
    roster: Roster | None = None,
    aliases: Mapping[str, str] | None = None,
) -> tuple[tuple[MarkValues, ...], ...]:
    """Return, for each entry of a reading, marks for slots that are likely enough to be wrong.

    An unsure animal is shown with what the other hearings of the same sound make of it.
    """
    marks: list[tuple[MarkValues, ...]] = []
    for position, entry in enumerate(reading.entries):
        following = next_entries(position, hearings, roster=roster, aliases=aliases)
        certainties = slot_certainties(entry, reading.words, roster, others=following)
        unsure = [slot for slot in certainties if is_unsure(slot)]
        otherwise = _heard_otherwise(position, hearings, roster, aliases) if unsure else {}
        animals = [slot for slot in unsure if slot.slot == "animal"]
        others = [slot for slot in unsure if slot.slot != "animal"]
        found = [_mark_of_animal(slot, otherwise) for slot in animals]
        if others:
            found.append(_mark_of_slots(others, otherwise))
        marks.append(tuple(found))
    return tuple(marks)


def marked_entries(
    reading: Reading,
    hearings: Sequence[Sequence[Word]],
    *,
    roster: Roster | None = None,
    aliases: Mapping[str, str] | None = None,
) -> list[dict[str, Any]]:
    """Return a reading's entries as plain data, with the marks of unsure slots among theirs."""
    marks = unsure_marks(reading, hearings, roster=roster, aliases=aliases)
    return [
        entry
        | {
            "marks": [*entry["marks"], *(mark.id for mark in found)],
            "mark_details": [
                *entry["mark_details"],
                *(mark.model_dump(mode="json") for mark in found),
            ],
        }
        for entry, found in zip(as_json(reading)["entries"], marks, strict=True)
    ]


def _heard_otherwise(
    position: int,
    hearings: Sequence[Sequence[Word]],
    roster: Roster | None,
    aliases: Mapping[str, str] | None,
) -> dict[str, tuple[str, ...]]:
    """Return each slot of an entry with all the values that the hearings give it, best first."""
    values: dict[str, dict[str, None]] = {}
    for words in hearings:
        entries = parse(words, roster=roster, aliases=aliases).entries
        for name, value in slot_values(
            entries[position] if len(entries) > position else None
        ).items():
            values.setdefault(name, {})[str(value)] = None
    return {name: tuple(found) for name, found in values.items()}


def _mark_of_animal(unsure: SlotCertainty, otherwise: Mapping[str, tuple[str, ...]]) -> MarkValues:
    others = [value for value in otherwise.get("animal", ()) if value != unsure.value]
    also = f", or {' or '.join(others)}" if others else ""
    return MarkValues(
        id="unsure-animal",
        what=f"the number may not be {unsure.value}{also} ({unsure.certainty:.0%} sure)",
        why="the recogniser heard these words unclearly",
        clear="listen; choose the animal",
        first=unsure.first,
        last=unsure.last,
        candidates=(unsure.value, *others),
    )


def _mark_of_slots(
    unsure: Sequence[SlotCertainty], otherwise: Mapping[str, tuple[str, ...]]
) -> MarkValues:
    worst = min(unsure, key=lambda slot: slot.certainty)
    return MarkValues(
        id="unsure",
        what=f"heard unclearly: {', '.join(_both_readings(slot, otherwise) for slot in unsure)}",
        why="in held-out speech such words were often others",
        clear="listen, and compare",
        first=worst.first,
        last=worst.last,
    )


def _both_readings(slot: SlotCertainty, otherwise: Mapping[str, tuple[str, ...]]) -> str:
    others = [value for value in otherwise.get(slot.slot, ()) if value != slot.value]
    also = f", or {' or '.join(others)}" if others else ""
    return f"{slot.value} ({slot.certainty:.0%} sure{also})"
