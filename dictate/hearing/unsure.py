"""Marks for what is likely enough to be misheard, with what the other hearings make of it."""

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache

from dictate.entry.values import MarkValues
from dictate.hearing.agreement import mark_of_first, mark_of_second, opinion_of, sureness_of
from dictate.hearing.certainty import (
    SlotCertainty,
    is_unsure,
    rank_of,
    rivals_of,
    slot_certainties,
    slot_values,
    slots_of,
)
from dictate.hearing.passed_over import marks_of_words
from dictate.hearing.talk import Judged, Talk, animal_words, mark_of_talk, middle_of
from grammar import Carry, Reading, Roster, Word, parse, parse_best
from grammar.records import Entry, Slot

_OF_HEARINGS = frozenset({"alternatives-disagree"})
_SURE = 0.75
"""How sure the second listener must be for its reading to stand first: of what it hears so surely most
is right, and little of what it is less sure of."""


def read_best(
    judged: Judged,
    *,
    roster: Roster | None = None,
    on: dt.date | None = None,
    carry: Carry | None = None,
    aliases: Mapping[str, str] | None = None,
) -> tuple[Reading, Judged]:
    """Read the best hearing; the second listener's where it is sure of a whole note and the first is not.

    Returns the reading with the hearings that it is one of.
    """
    reading = parse_best(judged.hearings, roster=roster, on=on, carry=carry, aliases=aliases)
    if sureness_of(judged.again) < _SURE:
        return reading, judged
    other = parse(judged.again, roster=roster, on=on, carry=carry, aliases=aliases)
    animals = [entry.animal for entry in other.entries]
    whole = bool(animals) and None not in animals and not other.leftover
    if not whole or not _is_doubted(reading, judged, roster, aliases):
        return reading, judged
    again = (judged.again,)
    swapped = replace(judged, hearings=again, heard=again, again=judged.heard[0], swapped=True)
    return other, swapped


def _is_doubted(
    reading: Reading, judged: Judged, roster: Roster | None, aliases: Mapping[str, str] | None
) -> bool:
    """Whether a reading has no entry, or each of its entries is doubted and heard otherwise."""
    opinion = opinion_of(judged.again, roster=roster, aliases=aliases)
    doubts = doubts_of(reading, judged, roster=roster, aliases=aliases)
    return opinion is not None and all(
        found.marks and opinion.says_otherwise(entry)
        for entry, found in zip(reading.entries, doubts, strict=True)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubts:
    """What there is to look at in one entry, by how surely it was heard."""

    marks: tuple[MarkValues, ...]
    settled: frozenset[str]
    """Marks of the grammar that say no more once the chance of what they are about is known."""


def doubts_of(
    reading: Reading, judged: Judged, *, roster: Roster | None, aliases: Mapping[str, str] | None
) -> tuple[Doubts, ...]:
    """Return, for each entry of a reading, marks for what is likely enough to be wrong.

    An unsure animal is shown with what the other hearings of the same sound make of it; a reading
    of another hearing than the first is marked as such.  That any other hearing has another number
    is no mark of its own where the number's chance is known, or where a second listener heard it too.
    """
    hearings = judged.hearings
    read = cache(lambda rank: parse(hearings[rank], roster=roster, aliases=aliases).entries)
    rank = rank_of(reading.words, hearings)
    rivals = rivals_of(rank, hearings)

    def heard(position: int, ranks: Iterable[int]) -> list[Entry | None]:
        found = map(read, ranks)
        return [entries[position] if position < len(entries) else None for entries in found]

    opinion = opinion_of(judged.again, roster=roster, aliases=aliases)
    talk = _talk_of_entries(reading, judged)
    doubts: list[Doubts] = []
    for position, entry in enumerate(reading.entries):
        rival_entries = heard(position, rivals)
        certainties = slot_certainties(
            entry,
            reading.words,
            roster,
            others=rival_entries,
            borne_out=opinion.bears_out if opinion else None,
            voice=judged.voice,
        )
        others = heard(position, range(len(hearings)))
        cue = _may_be_cue(entry, reading.words, zip(others, hearings, strict=True))
        unsure = [
            slot for slot in certainties if is_unsure(slot) or (cue and slot.slot == "animal")
        ]
        if opinion:
            others = [*others, *opinion.entries[position : position + 1]]
        otherwise = _by_slot(others) if unsure else {}
        animals = [slot for slot in unsure if slot.slot == "animal"]
        slots = [slot for slot in unsure if slot.slot != "animal"]
        found = [_mark_of_animal(slot, otherwise) for slot in animals]
        if slots:
            found.append(_mark_of_slots(slots, otherwise))
        found += marks_of_words(
            entry,
            reading.words,
            [(other, hearings[at]) for other, at in zip(rival_entries, rivals, strict=True)],
            opinion,
            voice=judged.voice,
        )
        if rank:
            found.append(_mark_of_hearing(reading.words))
        found += [mark_of_talk(one) for one in talk.get(position, ())]
        if judged.swapped:
            found.insert(0, mark_of_first(judged.again))
        elif opinion and (found or entry.marks) and opinion.says_otherwise(entry):
            found.insert(0, mark_of_second(opinion))
        settled = any(slot.slot == "animal" for slot in certainties)
        doubts.append(Doubts(marks=tuple(found), settled=_OF_HEARINGS if settled else frozenset()))
    return tuple(doubts)


def _may_be_cue(
    entry: Entry, words: Sequence[Word], others: Iterable[tuple[Entry | None, Sequence[Word]]]
) -> bool:
    """Whether a number that no word such as "cow" goes before begins with that word, misheard.

    "Five four twelve" is then "cow four twelve" in another hearing: the same animal less its first
    digit, with the word.  How sure the number's words are says nothing of that.

    Args:
        entry: As it was read.
        words: Of the hearing that was read.
        others: The other hearings of the same sound, each with its entry at the same place.
    """
    animal = entry.animal
    if animal is None or animal.first < 0 or _has_cue(animal, words):
        return False
    return any(
        other is not None
        and other.animal is not None
        and other.animal.value != animal.value
        and animal.value.endswith(other.animal.value)
        and _has_cue(other.animal, heard)
        for other, heard in others
    )


def _has_cue(animal: Slot[str], words: Sequence[Word]) -> bool:
    """Whether a word such as "cow" is in what was heard for an animal, or right before it."""
    near = words[max(animal.first - 1, 0) : animal.last]
    return animal.first >= 0 and not animal_words().isdisjoint(word.text for word in near)


def _talk_of_entries(reading: Reading, judged: Judged) -> dict[int, list[Talk]]:
    """Return the doubted stretches by the entry that they belong to, or else follow."""
    places = [_place(entry, reading.words) for entry in reading.entries]
    found: dict[int, list[Talk]] = {}
    for talk in judged.talk if places else ():
        inside = [
            at for at, (start, end) in enumerate(places) if start <= talk.end and talk.start <= end
        ]
        before = [at for at, (start, _) in enumerate(places) if start <= talk.start]
        for at in inside or before[-1:] or [0]:
            found.setdefault(at, []).append(talk)
    return found


def _place(entry: Entry, words: Sequence[Word]) -> tuple[float, float]:
    """Return the middles of the first and the last word that an entry rests on."""
    inside = [
        middle_of(word)
        for slot in slots_of(entry)
        for word in words[max(slot.first, 0) : max(slot.last, 0)]
    ]
    return (min(inside), max(inside)) if inside else (0.0, 0.0)


def _by_slot(entries: Iterable[Entry | None]) -> dict[str, tuple[str, ...]]:
    """Return each slot with all the values that the hearings of one entry give it, best first."""
    values: dict[str, dict[str, None]] = {}
    for entry in entries:
        for name, value in slot_values(entry).items():
            values.setdefault(name, {})[str(value)] = None
    return {name: tuple(found) for name, found in values.items()}


def _mark_of_hearing(words: Sequence[Word]) -> MarkValues:
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


def _mark_of_animal(unsure: SlotCertainty, otherwise: Mapping[str, tuple[str, ...]]) -> MarkValues:
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


def _mark_of_slots(
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
