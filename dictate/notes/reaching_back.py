"""Corrections said as a note of their own: "scratch that", "correction, zone three", "no, right hind".

They answer what was just read back, so they belong to the note before. Its words and theirs are
read together by the same grammar that reads a correction within a note.
"""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from dictate.entry.values import EntryValues, MarkValues
from dictate.notes.context import Context
from dictate.notes.understanding import Understood, understand
from grammar import Carry, Reading, Word, as_json, load_lexicon, parse_best
from grammar.lexicon.lexicon import Lexicon

SOON = dt.timedelta(minutes=2)
"""A correction said later than this after a note is not taken for one of that note."""

_TAKES_BACK = frozenset({"scratch that", "scratch all"})
_CORRECTS = _TAKES_BACK | {"correction"}
_CUES = frozenset({"CORRECTION", "NO", "NOT", "WRONGCOW"})
"""Tags of the cues that may correct."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """The note before, as far as a correction needs it."""

    note_id: int
    words: tuple[Word, ...]
    """As they were read, with those of earlier corrections."""
    entries: tuple[EntryValues, ...]
    carry: Carry
    """What it was handed itself."""
    ended: dt.datetime | None
    fresh: bool
    """True when it was just read, so that corrections of it must be applied again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """What a correction makes of the note before."""

    words: tuple[Word, ...]
    """Those of both."""
    understood: Understood | None
    """Read anew; None when all of it was taken back."""


def reach_back(
    before: Before, hearings: Sequence[Sequence[Word]], context: Context
) -> Reached | None:
    """Read a note as a correction of the one before; None when it stands on its own.

    It must begin with the correction, change something, and name no further animal.
    """
    if not any(_may_reach_back(words, context) for words in hearings):
        return None
    own = _parsed(hearings, context, Carry())
    said = _open_end(before, context)
    if own.commands and not own.entries and not own.leftover and _all_take_back(own):
        return Reached(words=(*said, *own.words), understood=None)
    joined = [[*said, *words] for words in hearings]
    reading = _parsed(joined, context, before.carry)
    if not _begins_with_correction(reading, len(said)):
        return None
    then = _parsed([said], context, before.carry)
    if len(reading.entries) > len(then.entries) or not reading.entries:
        return None
    if reading.words[len(said)].text == "no" and _things(reading) > _things(then):
        return None  # "no" also begins a note such as "no, that one is clean"
    if as_json(reading)["entries"] == as_json(then)["entries"]:
        return None
    return Reached(words=reading.words, understood=_marked(before, joined, context, own))


def going_on(before: Before, found: Reached) -> Before | None:
    """The corrected note as one that may be corrected once more; None when it was taken back."""
    if found.understood is None:
        return None
    return replace(before, words=found.words, entries=found.understood.entries)


def _may_reach_back(words: Sequence[Word], context: Context) -> bool:
    """Whether words could be a correction: most notes need not be read with the one before to know.

    They begin with one of its phrases, past fillers, or hold a "scratch that". Mis-heard words are
    never repaired into either.
    """
    lexicon = load_lexicon()
    corrects, takes_back = _first_words(lexicon)
    said = [word.text for word in words]
    past = next((at for at, word in enumerate(said) if word not in lexicon.fillers), len(said))
    begins = {part for word in said[: past + 1] for part in (word, *word.split("'")[:1])}
    taught = {heard.split()[0] for heard in context.aliases if heard.strip()}
    return not (corrects.isdisjoint(begins) and (takes_back | taught).isdisjoint(said))


@lru_cache(maxsize=4)
def _first_words(lexicon: Lexicon) -> tuple[frozenset[str], frozenset[str]]:
    """Return the words with which corrections begin, and those with which a "scratch that" does."""
    begins: dict[bool, set[str]] = {False: set(), True: set()}
    for phrase, term in lexicon.terms.items():
        takes_back = term.value in _TAKES_BACK
        if takes_back or term.tag in _CUES or (term.tag, phrase) == ("UNDONE", "should be"):
            begins[takes_back].add(phrase.split()[0])
    return frozenset(begins[False] | begins[True]), frozenset(begins[True])


def _marked(
    before: Before, joined: Sequence[Sequence[Word]], context: Context, own: Reading
) -> Understood:
    understood = understand(joined, context, carry=before.carry)
    said = " ".join(word.text for word in own.words)
    mark = MarkValues(
        id="corrected-after",
        what=f"changed by the note after it: “{said}”",
        why="it was said apart from this note",
        clear="compare with both notes' words, and confirm or change it",
    )
    entries = tuple(
        entry
        if at < len(before.entries) and entry == before.entries[at]
        else entry.model_copy(
            update={"marks": (*entry.marks, mark.id), "mark_details": (*entry.mark_details, mark)}
        )
        for at, entry in enumerate(understood.entries)
    )
    return Understood(said=understood.said, entries=entries, carried_out=understood.carried_out)


def _open_end(before: Before, context: Context) -> list[Word]:
    """The words before without a spoken "end of note", behind which nothing can be corrected."""
    reading = _parsed([before.words], context, before.carry)
    ends = [one.first for one in reading.commands if one.kind == "end of note"]
    last = ends[-1] if ends else len(before.words)
    closes = ends and reading.commands[-1].last == len(before.words)
    return list(before.words[:last] if closes else before.words)


def _begins_with_correction(reading: Reading, start: int) -> bool:
    fillers = load_lexicon().fillers
    return any(
        one.kind in _CORRECTS
        and one.first >= start
        and all(word.text in fillers for word in reading.words[start : one.first])
        for one in reading.commands
    )


def _all_take_back(reading: Reading) -> bool:
    return all(command.kind in _TAKES_BACK for command in reading.commands)


def _things(reading: Reading) -> int:
    return sum(len(entry.findings) + len(entry.actions) for entry in reading.entries)


def _parsed(hearings: Sequence[Sequence[Word]], context: Context, carry: Carry) -> Reading:
    return parse_best(
        hearings, roster=context.roster, on=context.on, carry=carry, aliases=context.aliases
    )
