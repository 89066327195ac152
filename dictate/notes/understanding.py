"""From heard words to the entries of one note: the grammar's reading, made ready for the queue."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from dictate.entry.values import EntryValues, FollowUpValues, MarkValues
from dictate.hearing.talk import Judged
from dictate.hearing.unsure import MAY_BE_TALK, mark_of_talk, unsure_marks
from grammar import Carry, Reading, Roster, Word, as_json, load_lexicon, parse_best
from grammar.hear.words import UNKNOWN
from grammar.records import Entry, How

__all__ = ["Context", "Understood", "lexicon_version", "understand"]

_NOTHING = Carry()


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """What the grammar may know while it reads the notes of one visit."""

    roster: Roster | None = None
    on: dt.date | None = None
    aliases: Mapping[str, str] = field(default_factory=dict)
    """Heard words to term, as the speaker taught them."""
    intervals: Mapping[str, int] = field(default_factory=dict)
    """The trimmer's own days by kind of follow-up, for those said without a date."""
    usual_fit: float = 0.0
    """How well the trimmer's notes fit their sound so far, see `dictate.hearing.talk`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Understood:
    """One note, read."""

    content: dict[str, Any]
    """The reading as `dictate explain --json` prints it."""
    entries: tuple[EntryValues, ...]
    """At least one: a note without any gets an empty entry, so that a person looks at it."""
    carried_out: str | None
    """Animal handed to the next note."""


def understand(
    heard: Judged | Sequence[Sequence[Word]], context: Context, *, carry: Carry = _NOTHING
) -> Understood:
    """Read one note from its best hearing and the engine's other ones, or from typed words."""
    judged = heard if isinstance(heard, Judged) else Judged.as_they_are(heard)
    reading = parse_best(
        judged.hearings,
        roster=context.roster,
        on=context.on,
        carry=carry,
        aliases=context.aliases,
    )
    content = as_json(reading)
    content["words"] = [word.text for word in judged.as_heard(reading.words)]
    entries = tuple(
        EntryValues.model_validate(entry | {"carried": _carried(said, reading)})
        for entry, said in zip(content["entries"], reading.entries, strict=True)
    )
    if not entries:
        # Words that were not understood may have named another animal: nothing is handed on.
        handed_on = reading.carry.animal if judged.aside or not content["leftover"] else None
        blank = _blank(content, judged)
        return Understood(content=content, entries=(blank,), carried_out=handed_on)
    ready = (_with_own_intervals(entry, context) for entry in entries)
    unsure = unsure_marks(reading, judged, roster=context.roster, aliases=context.aliases)
    doubted = tuple(_doubted(entry, marks) for entry, marks in zip(ready, unsure, strict=True))
    return Understood(content=content, entries=doubted, carried_out=reading.carry.animal)


def _carried(said: Entry, reading: Reading) -> str:
    """How an entry came to the animal of the one before; also where there was none to hand on."""
    if said.animal is not None:
        return {How.CARRIED: "unsaid", How.INFERRED: "same cow"}.get(said.animal.how, "")
    return "" if any(command.kind == "next cow" for command in reading.commands) else "unsaid"


def _doubted(entry: EntryValues, unsure: Sequence[MarkValues]) -> EntryValues:
    """Add the marks that need more than the grammar knows."""
    found = list(unsure)
    if UNKNOWN in (entry.remark or ""):
        found.append(
            MarkValues(
                id="remark-unclear",
                what="words of the remark were not understood",
                why="a remark may hold any words, and the recogniser knows those of the trade",
                clear="listen, and type the remark",
            )
        )
    return entry.model_copy(
        update={
            "marks": (*entry.marks, *(mark.id for mark in found)),
            "mark_details": (*entry.mark_details, *found),
        }
    )


def _blank(content: Mapping[str, Any], judged: Judged) -> EntryValues:
    talk = tuple(mark_of_talk(one) for one in judged.talk)
    if judged.aside:
        return EntryValues(marks=(MAY_BE_TALK,), mark_details=talk)
    if not content["words"]:
        mark = MarkValues(
            id="no-speech",
            what="no speech was found in this clip",
            why="machine noise alone, or a voice too far away",
            clear="listen; reject it, or type what was said",
        )
    elif content["leftover"]:
        mark = MarkValues(
            id="nothing-understood",
            what="nothing here could be understood",
            why="no animal, finding or action was found in the words",
            clear="listen; type what was said, or reject it",
        )
    else:
        mark = MarkValues(
            id="nothing-to-record",
            what="these words hold nothing to record",
            why="a spoken command alone, or a part of a note whose rest was not heard",
            clear="listen; reject it, or type what was said",
        )
    marks = (mark, *talk)
    return EntryValues(marks=tuple(dict.fromkeys(one.id for one in marks)), mark_details=marks)


def _with_own_intervals(entry: EntryValues, context: Context) -> EntryValues:
    dated = tuple(_dated(follow_up, context) for follow_up in entry.follow_ups)
    return entry if dated == entry.follow_ups else entry.model_copy(update={"follow_ups": dated})


def _dated(follow_up: FollowUpValues, context: Context) -> FollowUpValues:
    days = context.intervals.get(follow_up.kind)
    if days is None or follow_up.date or follow_up.in_days is not None:
        return follow_up
    due = context.on + dt.timedelta(days=days) if context.on else None
    return follow_up.model_copy(
        update={"in_days": days, "date": due, "when": f"own interval: {days} days"}
    )


def lexicon_version() -> str:
    """Name of the lexicon as it is; readings that bear the same name used the same words."""
    return load_lexicon().version
