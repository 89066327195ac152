"""From heard words to the entries of one note: the grammar's reading, made ready for the queue."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from dictate.entry.read import values_of
from dictate.entry.values import EntryValues, FollowUpValues, MarkValues, SpokenRemark, WordsRead
from dictate.hearing.agreement import mark_of_second, opinion_of
from dictate.hearing.remarks import heard_in, mark_of_remark, place_of_remark, remark_in
from dictate.hearing.talk import MAY_BE_TALK, Judged, mark_of_talk
from dictate.hearing.unsure import doubts_of, read_best
from dictate.notes.context import Context
from grammar import Carry, Word, load_lexicon

_NOTHING = Carry()


@dataclass(frozen=True, slots=True, kw_only=True)
class Understood:
    """One note, read."""

    said: WordsRead
    entries: tuple[EntryValues, ...]
    """At least one: a note without any gets an empty entry, so that a person looks at it."""
    carried_out: str | None
    """Animal handed to the next note."""


def understand(
    heard: Judged | Sequence[Sequence[Word]],
    context: Context,
    *,
    carry: Carry = _NOTHING,
    seconds: float | None = None,
    spoken: SpokenRemark | None = None,
) -> Understood:
    """Read one note from its best hearing and the engine's other ones, or from typed words.

    Args:
        heard: The hearings, or one line of typed words.
        context: What the grammar may know.
        carry: What the note before handed on.
        seconds: Length of the note's sound, in which a remark may lie.
        spoken: The remark that the note is known to hold, for words typed in place of the heard.
    """
    judged = heard if isinstance(heard, Judged) else Judged.as_they_are(heard)
    reading, judged = read_best(
        judged, roster=context.roster, on=context.on, carry=carry, aliases=context.aliases
    )
    said = WordsRead(
        words=tuple(word.text for word in judged.as_heard(reading.words)),
        commands=tuple(command.kind for command in reading.commands),
        leftover=tuple(reading.words[at].text for at in reading.leftover),
        leftover_at=tuple(reading.leftover),
    )
    entries = [values_of(entry, commands=said.commands) for entry in reading.entries]
    carried_out = reading.carry.animal
    if entries:
        doubts = doubts_of(reading, judged, roster=context.roster, aliases=context.aliases)
        entries = [
            _marked(_with_own_intervals(_without(entry, found.settled), context), found.marks)
            for entry, found in zip(entries, doubts, strict=True)
        ]
    else:
        entries = [_blank(said, judged)]
        opinion = opinion_of(judged.again, roster=context.roster, aliases=context.aliases)
        if opinion and opinion.entries:
            entries = [_marked(entries[0], [mark_of_second(opinion)])]
        if said.leftover and not judged.aside:
            carried_out = None  # words that were not understood may have named another animal
    if place_of_remark(reading.words) is not None:
        spoken = spoken or remark_in(judged.as_heard(reading.words), seconds)
        entries[-1] = _with_remark(entries[-1], spoken, judged.again)
    return Understood(said=said, entries=tuple(entries), carried_out=carried_out)


def _with_remark(
    entry: EntryValues, spoken: SpokenRemark | None, again: Sequence[Word]
) -> EntryValues:
    """Keep a remark as sound, and as text only where a person typed other words than were heard."""
    if spoken is None:
        return entry
    entry = entry.model_copy(update={"spoken_remark": spoken})
    if entry.remark and heard_in(entry.remark.split()) != spoken.heard:
        return entry
    return _marked(entry.model_copy(update={"remark": None}), [mark_of_remark(spoken, again)])


def _without(entry: EntryValues, gone: frozenset[str]) -> EntryValues:
    return entry.with_marks(mark for mark in entry.mark_details if mark.id not in gone)


def _marked(entry: EntryValues, found: Sequence[MarkValues]) -> EntryValues:
    return entry.with_marks((*entry.mark_details, *found))


def _blank(said: WordsRead, judged: Judged) -> EntryValues:
    talk = tuple(mark_of_talk(one) for one in judged.talk)
    if judged.aside:
        return EntryValues(marks=(MAY_BE_TALK,), mark_details=talk)
    if not said.words:
        mark = MarkValues(
            id="no-speech",
            what="no speech was found in this clip",
            why="machine noise alone, or a voice too far away",
            clear="listen; discard it, or type what was said",
        )
    elif said.leftover:
        mark = MarkValues(
            id="nothing-understood",
            what="nothing here could be understood",
            why="no animal, finding or action was found in the words",
            clear="listen; type what was said, or discard it",
        )
    else:
        mark = MarkValues(
            id="nothing-to-record",
            what="these words hold nothing to record",
            why="a spoken command alone, or a part of a note whose rest was not heard",
            clear="listen; discard it, or type what was said",
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
