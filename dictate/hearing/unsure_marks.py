"""Marks of what was heard unclearly, each with what else it may have been."""

from collections.abc import Iterable, Mapping, Sequence

from dictate.entry.values import MarkValues
from dictate.hearing.certainty import SlotCertainty, slot_values
from grammar import Word
from grammar.records import Entry


def by_slot(entries: Iterable[Entry | None]) -> dict[str, tuple[str, ...]]:
    """Return each slot with all the values that the hearings of one entry give it, best first."""
    values: dict[str, dict[str, None]] = {}
    for entry in entries:
        for name, value in slot_values(entry).items():
            values.setdefault(name, {})[str(value)] = None
    return {name: tuple(found) for name, found in values.items()}


def mark_of_hearing(words: Sequence[Word]) -> MarkValues:
    """The reading is not that of the likeliest hearing: it may lack what that one held."""
    return MarkValues(
        id="heard-otherwise",
        what=f"read from a less likely hearing: {' '.join(word.text for word in words)}",
        why="it left fewer words over, and may lack something that was said",
        clear="listen, and compare with the heard words",
    )


def _other_values(slot: SlotCertainty, otherwise: Mapping[str, tuple[str, ...]]) -> list[str]:
    """What else it may have been; a hearing with no word for it names nothing to choose."""
    return [value for value in otherwise.get(slot.slot, ()) if value not in ("", slot.value)]


def _or(others: Sequence[str]) -> str:
    return f", or {' or '.join(others)}" if others else ""


def mark_of_animal(unsure: SlotCertainty, otherwise: Mapping[str, tuple[str, ...]]) -> MarkValues:
    others = _other_values(unsure, otherwise)
    return MarkValues(
        id="unsure-animal",
        what=f"the number was heard unclearly: {_both_readings(unsure, otherwise)}",
        why="words heard like this have often turned out to be others",
        clear="listen; choose the animal",
        first=unsure.first,
        last=unsure.last,
        candidates=(unsure.value, *others),
    )


def mark_of_slots(
    unsure: Sequence[SlotCertainty], otherwise: Mapping[str, tuple[str, ...]]
) -> MarkValues:
    worst = min(unsure, key=lambda slot: slot.certainty)
    return MarkValues(
        id="unsure",
        what=f"heard unclearly: {', '.join(_both_readings(slot, otherwise) for slot in unsure)}",
        why="words heard like this have often turned out to be others",
        clear="listen, and compare",
        first=worst.first,
        last=worst.last,
    )


def _both_readings(slot: SlotCertainty, otherwise: Mapping[str, tuple[str, ...]]) -> str:
    return f"{slot.value} ({slot.certainty:.0%} sure{_or(_other_values(slot, otherwise))})"
