"""Whether it was heard, and all of it understood."""

from collections.abc import Iterator
from typing import Any

from grammar.checks.table import Facts, check, check_of_questions, check_of_reading, mark
from grammar.pieces import MODIFIERS, Region, Zone
from grammar.records import Entry, How, Mark, Question, Slot

_DETAILS = (Zone, Region, *MODIFIERS)
_GROUPED = ("ten", "eleven", "twelve", "teen", "ty", "hundred", "thousand")
"""How the words of a number end that is not said digit by digit."""


@check(
    "repaired-term",
    what="A mis-heard term was repaired.",
    why="The words heard are not in the lexicon; the nearest term that fits was taken.",
    clear="Confirm the term or choose another; a term taught here is known next time.",
    example="cow four twelve left hind soul ulcer",
)
def _repaired(entry: Entry, facts: Facts) -> Iterator[Mark]:
    repaired: dict[tuple[int, int], list[Slot[Any]]] = {}
    for slot in slots_of(entry):
        if slot.how is How.REPAIRED:
            repaired.setdefault((slot.first, slot.last), []).append(slot)
    for slots in repaired.values():
        values = tuple(dict.fromkeys(str(slot.value) for slot in slots))
        others = tuple(dict.fromkeys(value for slot in slots for value in slot.rejected))
        what = f"{slots[0].heard!r} was taken as {' and '.join(map(repr, values))}"
        yield mark("repaired-term", what, slots[0], (*values, *others))
    shown = {at for first, last in repaired for at in range(first, last)}
    for piece in facts.pieces:  # what was repaired and came to nothing was said all the same
        if piece.how is How.REPAIRED and shown.isdisjoint(range(piece.first, piece.last)):
            yield mark("repaired-term", f"{piece.heard!r} was taken for another word", piece)


def slots_of(entry: Entry) -> Iterator[Slot[Any]]:
    """Return every slot of an entry but the animal's."""
    records: tuple[Any, ...] = (*entry.findings, *entry.actions, *entry.follow_ups)
    if entry.locomotion is not None:
        yield entry.locomotion.score
    for record in records:
        for name in record.__slots__:
            value = getattr(record, name)
            if isinstance(value, Slot):
                yield value
            elif isinstance(value, tuple):
                yield from (item for item in value if isinstance(item, Slot))
    yield from entry.status


@check(
    "number-by-sound",
    what="A word was read as a number, or a number as a word, by its sound.",
    why="“For” may be four or fore, “to” two, “ate” eight, and “five” may be cow; or it was meant as it stands.",
    clear="Listen, and confirm the number or choose another.",
    example="cow for twelve left hind clean",
)
def _by_sound(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for first, last, said in facts.doubts.by_sound:
        where: Slot[str] = Slot(value=said, heard=said, first=first, last=last)
        animal = entry.animal
        of_animal = animal is not None and animal.first <= first < animal.last
        offered = entry.animal_candidates if of_animal else ()
        yield mark("number-by-sound", f"{said!r} was read by its sound", where, offered)
    for first, last, said, digit in facts.doubts.maybe:
        where = Slot(value=said, heard=said, first=first, last=last)
        if entry.animal is not None and entry.animal.first < first <= entry.animal.last:
            what = f"{said!r} may be {digit!r}, the number's last digit"
            if entry.animal.last != first:
                what = f"{said!r} may be {digit!r}, the number's first digit"
            yield mark("number-by-sound", what, where, entry.animal_candidates)
    yield from _maybe_nought(entry, facts)
    cue, found = facts.doubts.cue, facts.found
    if cue is not None and found is not None and entry.animal is not None:
        left_out = found.value in cue.without
        if left_out or (cue.uneven and not found.fits):
            first, last, said = cue.place
            where = Slot(value=said, heard=said, first=first, last=last)
            what = f"{said!r} may be cow, and the number {cue.without[0]}"
            yield mark("number-by-sound", what, where, entry.animal_candidates)


def _maybe_nought(entry: Entry, facts: Facts) -> Iterator[Mark]:
    """ "Four nine one, oh there's no ulcer", or 4910: only behind a number said digit by digit."""
    animal = entry.animal
    if animal is None or any(word.endswith(_GROUPED) for word in animal.heard.split()):
        return
    for piece in facts.pieces:
        if piece.first == animal.last and piece.heard == "oh":
            what = f"{piece.heard!r} may be {'nought'!r}, the number's last digit"
            offered = (*entry.animal_candidates, f"{animal.value}0")
            yield mark("number-by-sound", what, piece, offered)


@check(
    "odd-word",
    what="A little word, or one of talk, stands where it makes no sense.",
    why="A word that carries meaning, such as outer, left or five, is often misheard as one that has none.",
    clear="Listen, and say what stands there; or confirm the entry as it is.",
    example="cow four twelve left hind of sole ulcer",
)
def _odd_word(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for first, last, said in facts.doubts.odd:
        animal, found = entry.animal, facts.found
        if animal is not None and animal.first < last <= animal.last and found and found.fits:
            continue  # "eight oh" where the farm has an 80
        where: Slot[str] = Slot(value=said, heard=said, first=first, last=last)
        yield mark("odd-word", f"{said!r} may be a misheard word", where)


@check(
    "said-unsure",
    what="The speaker was not sure.",
    why="“Looks like” or “I'd say” leaves room; nothing was misheard.",
    clear="Confirm it, or look at the animal again.",
    example="cow four twelve left hind looks like sole ulcer",
)
def _unsure(entry: Entry, facts: Facts) -> Iterator[Mark]:
    if not facts.doubts.hedges:
        return
    slots = sorted(
        (slot for slot in slots_of(entry) if slot.first >= 0), key=lambda slot: slot.first
    )
    shown: list[Slot[Any]] = []
    for first, last, said in facts.doubts.hedges:
        of = next((slot for slot in slots if slot.first >= last), None)
        of = of or next((slot for slot in reversed(slots) if slot.last <= first), None)
        if of is not None and of not in shown:  # "I think it's maybe white line"
            shown.append(of)
            yield mark("said-unsure", f"{said!r} was said of {of.value}", of)


@check(
    "copied",
    what="Work, or more than one finding, was copied by same again.",
    why="What was said for one foot or claw was taken over for another; work that is copied is billed.",
    clear="Confirm the copy or change it.",
    example="cow four twelve left hind outer sole ulcer block on the inner same again on the other side",
)
def _copied(entry: Entry, facts: Facts) -> Iterator[Mark]:
    if facts.copied is not None and not facts.copied.plain:
        where = Question(check="copied", what="", first=facts.copied.first, last=facts.copied.last)
        yield mark("copied", "what was said for one site was copied to another", where)
    for doubt in facts.questions:
        if doubt.check == "copied":
            yield mark("copied", doubt.what, doubt, doubt.candidates)


check_of_reading(
    "word-unused",
    what="A word that changes what is said stands by something recorded, and nothing came of it.",
    why="“Had”, “than”, “both” or “no” may deny, put into the past or share what was recorded; no rule took account of it.",
    clear="Correct the entry, or confirm it as it is.",
    example="cow four twelve there was a block on her left hind inner",
)

check_of_reading(
    "animal-lost",
    what="A number was said, and nothing came of it.",
    why="It may be another animal, or what was put right; nothing is lost in silence.",
    clear="Give the animal or the value that it was said for, or confirm the entry without it.",
    example="cow eighteen eighteen not eighteen eighty left hind sole bruise",
)

check_of_reading(
    "foot-shared",
    what="What was said once was recorded on two feet that were not named together.",
    why="The second foot may have put the first one right, or the first one may have nothing.",
    clear="Choose the foot, or confirm both.",
    example="cow four twelve near hind that's off hind toe necrosis",
)

check_of_questions(
    "either-or",
    what="One of two was said, and not which.",
    why="The first was kept; which of the two it was, only the speaker knows.",
    clear="Choose the right one.",
    example="cow four twelve left or right hind sole ulcer",
)


@check(
    "detail-without-lesion",
    what="A zone, region, stage, severity or other detail without a lesion.",
    why="The lesion it belongs to was not understood.",
    clear="Give the lesion, or take the detail out.",
    example="cow four twelve left hind outer zone four",
)
def _detail_without_lesion(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for piece in facts.loose:
        if isinstance(piece, _DETAILS):
            what = f"{piece.heard!r} was said without a lesion"
            yield mark("detail-without-lesion", what, piece)


@check(
    "leftover-words",
    what="Words were left over that no rule took.",
    why="A lost word may be a misheard lesion, a lost part of a number, or only chatter.",
    clear="Look at the words and complete what is missing.",
    example="cow four twelve left hind outer sole ulcer banana tractor",
)
def _leftover(entry: Entry, facts: Facts) -> Iterator[Mark]:
    counts = {(first, last) for first, last, _ in facts.doubts.counts}
    for first, last, said in facts.leftover:
        if (first, last) in counts:
            continue  # `number-or-count` asks already
        where: Slot[str] = Slot(value=said, heard=said, first=first, last=last)
        yield mark("leftover-words", f"{said!r} was not understood", where)


@check(
    "nothing-understood",
    what="Nothing in the note was understood.",
    why="Something was said, or the clip is noise; either way nobody has recorded it.",
    clear="Listen to the clip, then type what was said or discard it.",
    example="what time is the kettle on",
)
def _nothing_understood(entry: Entry, facts: Facts) -> Iterator[Mark]:
    """Raised for the whole note, where there is no entry to look at."""
    yield from ()


@check(
    "alternatives-disagree",
    what="Another alternative of the recogniser names another animal.",
    why="Both were understood equally well, so the words alone do not settle the animal.",
    clear="Choose the right animal.",
    example="cow four fifteen left hind clean (the recogniser also offers cow four fifty)",
)
def _alternatives_disagree(entry: Entry, facts: Facts) -> Iterator[Mark]:
    """Raised where the alternatives are compared, in `grammar.best`."""
    yield from ()
