"""How sure each slot of a reading is, as a chance that it is right.

An engine's word confidence is a hint, not a chance.  What a slot rests on (the least confidence of
its words, repaired or said as the lexicon has it, an animal on the roster or not) is turned into a
chance by curves that were fitted on held-out speech and stand in `certainty.toml`.  A slot that the
next hearings of the same sound read otherwise is disputed, and far less sure.
"""

import math
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Any

from pydantic import BaseModel, ConfigDict

from dictate.notes.values import MarkValues
from grammar import Reading, Roster, Word, as_json, parse
from grammar.records import Entry, How, Slot

__all__ = [
    "SlotCertainty",
    "certainty_of",
    "log_odds",
    "marked_entries",
    "slot_certainties",
    "unsure_marks",
]

_NEXT = 2
"""Hearings after the first that may dispute a slot; what the ones after them say means little."""
_LEAST, _MOST = 0.001, 0.9999
"""Confidences are kept inside these, so that their logarithms stay finite."""


class _Curve(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    base: float
    """Log odds of being right at a confidence of one half."""
    slope: float
    """How much the odds follow those of the confidence."""


class _File(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    mark_below: dict[str, float]
    """Chance under which a slot of a kind is marked for a look."""
    curve: dict[str, _Curve]


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotCertainty:
    """One slot of an entry and the chance that it is right."""

    slot: str
    """`animal`, or as in `findings[0].lesion`."""
    value: str
    kind: str
    """Which curve it was judged by."""
    confidence: float
    """The least of its words' confidences."""
    certainty: float
    first: int
    last: int


@lru_cache(maxsize=1)
def _file() -> _File:
    text = resources.files("dictate.hearing").joinpath("certainty.toml").read_text("utf-8")
    return _File.model_validate(tomllib.loads(text))


def certainty_of(kind: str, confidence: float) -> float:
    """Return the chance that a slot of a kind with this least word confidence is right."""
    curve = _file().curve[kind]
    return 1 / (1 + math.exp(-(curve.base + curve.slope * log_odds(confidence))))


def log_odds(confidence: float) -> float:
    """Return the log odds of a confidence, kept finite."""
    held = min(max(confidence, _LEAST), _MOST)
    return math.log(held / (1 - held))


def next_entries(
    position: int,
    hearings: Sequence[Sequence[Word]],
    *,
    roster: Roster | None = None,
    aliases: Mapping[str, str] | None = None,
) -> tuple[Entry | None, ...]:
    """Return what the next hearings have as the entry at this position, None where they have none."""
    read = [
        parse(words, roster=roster, aliases=aliases).entries for words in hearings[1 : 1 + _NEXT]
    ]
    return tuple(entries[position] if len(entries) > position else None for entries in read)


def slot_certainties(
    entry: Entry,
    words: Sequence[Word],
    roster: Roster | None = None,
    *,
    others: Sequence[Entry | None] = (),
) -> tuple[SlotCertainty, ...]:
    """Return the certainty of every slot of an entry that rests on heard words with confidences.

    `others` are the same entry as the next hearings have it.
    """
    values = [_values(other) for other in others]
    found = []
    for name, slot in _slots(entry):
        heard = [word.confidence for word in words[max(slot.first, 0) : max(slot.last, 0)]]
        sure = [confidence for confidence in heard if confidence is not None]
        if sure:
            disputed = any(value.get(name) != slot.value for value in values)
            kind = _kind(name, slot, roster, disputed=disputed)
            found.append(
                SlotCertainty(
                    slot=name,
                    value=str(slot.value),
                    kind=kind,
                    confidence=min(sure),
                    certainty=certainty_of(kind, min(sure)),
                    first=slot.first,
                    last=slot.last,
                )
            )
    return tuple(found)


def _values(entry: Entry | None) -> dict[str, Any]:
    return {name: slot.value for name, slot in _slots(entry)} if entry else {}


def _kind(name: str, slot: Slot[Any], roster: Roster | None, *, disputed: bool) -> str:
    if slot.how is How.REPAIRED:
        return "repaired"
    if name != "animal":
        return "disputed" if disputed else "said"
    return "animal" if roster is None or slot.value not in roster.numbers else "animal on roster"


def _slots(entry: Entry) -> Iterator[tuple[str, Slot[Any]]]:
    if entry.animal is not None:
        yield "animal", entry.animal
    for group in ("findings", "actions", "follow_ups"):
        for at, record in enumerate(getattr(entry, group)):
            for name in record.__dataclass_fields__:
                value = getattr(record, name)
                if isinstance(value, Slot):
                    yield f"{group}[{at}].{name}", value
    if entry.locomotion is not None:
        yield "locomotion.score", entry.locomotion.score


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
    below = _file().mark_below
    marks: list[tuple[MarkValues, ...]] = []
    for position, entry in enumerate(reading.entries):
        others = next_entries(position, hearings, roster=roster, aliases=aliases)
        certainties = slot_certainties(entry, reading.words, roster, others=others)
        unsure = [c for c in certainties if c.certainty < below[c.kind]]
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
        for name, slot in _slots(entries[position]) if len(entries) > position else ():
            values.setdefault(name, {})[str(slot.value)] = None
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
