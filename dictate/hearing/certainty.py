"""How sure each slot of a reading is, as a chance that it is right.

An engine's word confidence is a hint, not a chance.  What a slot rests on (the least confidence of
its words, a number or a term, repaired or said as the lexicon has it, an animal on the roster or not)
is turned into a chance by curves that were fitted on held-out speech and stand in `certainty.toml`.
A slot that the next hearings of the same sound read otherwise is disputed, and far less sure.
"""

import math
import tomllib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Any

from pydantic import BaseModel, ConfigDict

from grammar import Roster, Word
from grammar.records import Entry, How, Slot

_RIVALS = 2
"""Other hearings, the likeliest, that may dispute a slot; what the ones after them say means little."""
_LEAST, _MOST = 0.001, 0.9999
"""Confidences are kept inside these, so that their logarithms stay finite."""
_NUMBERS = frozenset({"zone", "stage", "score", "when"})
"""Slots, animals apart, that hold a number: any other number would fit the note as well."""


class _Curve(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    base: float
    """Log odds of being right at a confidence of one half."""
    slope: float
    """How much the odds follow those of the confidence."""
    disputed: float = 0.0
    """Added where one of the likeliest other hearings has something else."""
    mark_below: float
    """Chance under which a slot is marked for a look."""


class _File(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

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
    disputed: bool
    """Whether one of the likeliest other hearings has something else."""
    certainty: float
    first: int
    last: int


@lru_cache(maxsize=1)
def _file() -> _File:
    text = resources.files("dictate.hearing").joinpath("certainty.toml").read_text("utf-8")
    return _File.model_validate(tomllib.loads(text))


def certainty_of(kind: str, confidence: float, *, disputed: bool = False) -> float:
    """Return the chance that a slot of a kind with this least word confidence is right."""
    curve = _file().curve[kind]
    odds = curve.base + curve.slope * log_odds(confidence) + curve.disputed * disputed
    return 1 / (1 + math.exp(-odds))


def log_odds(confidence: float) -> float:
    """Return the log odds of a confidence, kept finite."""
    held = min(max(confidence, _LEAST), _MOST)
    return math.log(held / (1 - held))


def is_unsure(slot: SlotCertainty) -> bool:
    """Whether a slot is likely enough to be wrong to be marked for a look."""
    return slot.certainty < _file().curve[slot.kind].mark_below


def is_unsure_word(confidence: float, *, voice: bool) -> bool:
    """Whether a word that another hearing has otherwise would be marked if a slot rested on it."""
    kind = _said_kind(voice=voice)
    return certainty_of(kind, confidence, disputed=True) < _file().curve[kind].mark_below


def slot_certainties(
    entry: Entry,
    words: Sequence[Word],
    roster: Roster | None = None,
    *,
    others: Sequence[Entry | None] = (),
    borne_out: Callable[[str, str], bool] | None = None,
    voice: bool = False,
) -> tuple[SlotCertainty, ...]:
    """Return the certainty of every slot of an entry that rests on heard words with confidences.

    `others` are the same entry as the rivals of its hearing have it, None where they have none.
    `borne_out` tells whether a second listener heard a slot's value too; None where none listened.
    `voice` says that the model had learnt the speaker's voice.
    """
    values = [slot_values(other) for other in others]
    found = []
    for name, slot in (*named_slots(entry), *_intervals(entry, words)):
        heard = [word.confidence for word in words[max(slot.first, 0) : max(slot.last, 0)]]
        sure = [confidence for confidence in heard if confidence is not None]
        if sure:
            disputed = any(value.get(name) != slot.value for value in values)
            kind = _kind(name, slot, roster, voice=voice)
            if borne_out is not None:
                agreed = borne_out(name, str(slot.value))
                kind = _heard_twice(kind, min(sure), disputed=disputed, agreed=agreed)
            found.append(
                SlotCertainty(
                    slot=name,
                    value=str(slot.value),
                    kind=kind,
                    confidence=min(sure),
                    disputed=disputed,
                    certainty=certainty_of(kind, min(sure), disputed=disputed),
                    first=slot.first,
                    last=slot.last,
                )
            )
    return tuple(found)


def rank_of(words: Sequence[Word], hearings: Sequence[Sequence[Word]]) -> int:
    """Return which of the hearings of a sound was read, 0 for the likeliest."""
    texts = [word.text for word in words]
    return next((at for at, h in enumerate(hearings) if [w.text for w in h] == texts), 0)


def rivals_of(rank: int, hearings: Sequence[Sequence[Word]]) -> tuple[int, ...]:
    """Return the ranks of the other hearings that may dispute what was read of this one."""
    return tuple(at for at in range(len(hearings)) if at != rank)[:_RIVALS]


def slot_values(entry: Entry | None) -> dict[str, Any]:
    """Return what an entry has in each slot, by the slot's name; nothing where there is no entry."""
    if entry is None:
        return {}
    whens = {f"follow_ups[{at}].when": one.when for at, one in enumerate(entry.follow_ups)}
    return {name: slot.value for name, slot in named_slots(entry)} | whens


def named_slots(entry: Entry) -> Iterator[tuple[str, Slot[Any]]]:
    """Yield every slot of an entry with its name."""
    if entry.animal is not None:
        yield "animal", entry.animal
    for group in ("findings", "actions", "follow_ups"):
        for at, record in enumerate(getattr(entry, group)):
            for name in record.__dataclass_fields__:
                value = getattr(record, name)
                if isinstance(value, Slot):
                    yield f"{group}[{at}].{name}", value
    for group in ("status", "denied"):
        for at, slot in enumerate(getattr(entry, group)):
            yield f"{group}[{at}]", slot
    if entry.locomotion is not None:
        yield "locomotion.score", entry.locomotion.score


def slots_of(entry: Entry) -> tuple[Slot[Any], ...]:
    """Return all slots of an entry."""
    return tuple(slot for _, slot in named_slots(entry))


def _kind(name: str, slot: Slot[Any], roster: Roster | None, *, voice: bool) -> str:
    if slot.how is How.REPAIRED:
        return "repaired"
    if name == "animal":
        return (
            "animal" if roster is None or slot.value not in roster.numbers else "animal on roster"
        )
    if name.rpartition(".")[2] in _NUMBERS:
        return "number"
    return _said_kind(voice=voice)


def _said_kind(*, voice: bool) -> str:
    return "said, voice known" if voice else "said"


def _heard_twice(kind: str, confidence: float, *, disputed: bool, agreed: bool) -> str:
    """The curve of a slot with a second opinion: agreement never lowers its chance, nor does doubt raise it."""
    of = "animal" if kind.startswith("animal") else "slot"
    again = f"{of} {'agreed' if agreed else 'contradicted'}"
    choose = max if agreed else min
    return choose(kind, again, key=lambda one: certainty_of(one, confidence, disputed=disputed))


def _intervals(entry: Entry, words: Sequence[Word]) -> Iterator[tuple[str, Slot[Any]]]:
    """Yield the said times of follow-ups, which the record keeps as plain values, as slots."""
    texts = [word.text for word in words]
    for at, follow_up in enumerate(entry.follow_ups):
        said = follow_up.when.split()
        starts = range(max(follow_up.kind.first, 0), len(texts) - len(said) + 1)
        first = next((i for i in starts if said and texts[i : i + len(said)] == said), None)
        if first is not None:
            yield (
                f"follow_ups[{at}].when",
                Slot(
                    value=follow_up.when, heard=follow_up.when, first=first, last=first + len(said)
                ),
            )
