"""Whether it is the right animal."""

from collections.abc import Iterator

from grammar.checks.table import Facts, check, mark
from grammar.hear.identifiers import EID_DIGITS, identifier_readings
from grammar.hear.quantities import quantity
from grammar.pieces import (
    FEET,
    FINDINGS,
    ActionSaid,
    Claw,
    Course,
    FollowUpSaid,
    Material,
    MeasureSaid,
    Score,
    Severity,
    StatusSaid,
    TimeSaid,
    Tissue,
)
from grammar.records import Entry, How, Mark, Slot

_LONGEST_MANAGEMENT_NUMBER = 10
_WHOLE_NUMBER = 3
"""Digits from which a bare number is hardly a count."""
_RECORDED = (*FINDINGS, *FEET, ActionSaid, Material, FollowUpSaid, MeasureSaid, TimeSaid, Score)
_DESCRIBED = (Claw, Course, Severity, Tissue)
"""What "one" may stand for: "the inner one", "a small one"."""
_LETTERS = frozenset("bcdefghijklmnpqrstuvwxyz")
"""Letters said before a number: "a" is a little word, and "o" a zero."""
_LONG = 5
"""Digits from which a number may have been said in groups of three."""
_GROUPS = frozenset({6, 9, 12})
_WHOLE = frozenset({12, EID_DIGITS})
"""Digits of a whole ear tag or electronic id."""


@check(
    "animal-missing",
    what="No animal was said and none carries over.",
    why="A finding without an animal cannot be filed.",
    clear="Give the animal's number.",
    example="left hind outer sole ulcer",
)
def _missing(entry: Entry, facts: Facts) -> Iterator[Mark]:
    if entry.animal is None:
        yield mark("animal-missing", "no animal was said")


@check(
    "animal-carried",
    what="The animal carries over from the note before.",
    why="A note that names no animal is taken to be about the one before, which may be wrong; one that "
    "says 'same cow' is marked when the number before was in doubt.",
    clear="Confirm the animal or give another.",
    example="left hind clean (after a note about another foot)",
)
def _carried(entry: Entry, facts: Facts) -> Iterator[Mark]:
    animal = entry.animal
    if animal is None or animal.how not in (How.CARRIED, How.INFERRED):
        return
    # "Same cow" says that it carries over; that the number before was right, it does not say.
    if animal.how is How.CARRIED or facts.carry.doubted:
        doubt = ", where the number was in doubt" if facts.carry.doubted else ""
        what = f"{animal.value} carries over from the note before{doubt}"
        yield mark("animal-carried", what, candidates=(animal.value,))


@check(
    "animal-not-on-roster",
    what="The number is not on the farm's list.",
    why="It may be misheard or misread; the list may also be old.",
    clear="Choose the right animal, or confirm the number as new.",
    example="cow four twelve left hind clean (412 is not on the list)",
)
def _not_on_roster(entry: Entry, facts: Facts) -> Iterator[Mark]:
    if entry.animal is not None and facts.found is not None and not facts.found.on_roster:
        what = f"{entry.animal.value} is not on the roster"
        yield mark("animal-not-on-roster", what, entry.animal, facts.found.candidates)


@check(
    "animal-ambiguous",
    what="The words fit several animals of the farm.",
    why="Numbers said in groups can be read in more than one way, and the wrong animal does harm.",
    clear="Choose the right animal.",
    example="cow four twenty two left hind clean (422 and 4202 are both on the list)",
)
def _ambiguous(entry: Entry, facts: Facts) -> Iterator[Mark]:
    if facts.found is not None and len(facts.found.fits) > 1:
        what = "the words fit " + ", ".join(facts.found.fits)
        yield mark("animal-ambiguous", what, entry.animal, facts.found.candidates)
    elif facts.found is not None and facts.found.again not in (None, facts.found.value):
        what = f"the words can be read as {facts.found.value}, or as {facts.found.again} said twice"
        yield mark("animal-ambiguous", what, entry.animal, facts.found.candidates)
    elif entry.animal is not None and (other := _with_letter(entry.animal)) is not None:
        others = [entry.animal.value, other]
        what = "the words can be read as " + ", ".join(others)
        yield mark("animal-ambiguous", what, entry.animal, others)
    elif facts.found is not None and not facts.found.fits and entry.animal is not None:
        others = [c for c in facts.found.candidates if _may_be(c, entry.animal, facts)]
        if len(others) > 1:
            what = "the words can be read as " + ", ".join(others)
            yield mark("animal-ambiguous", what, entry.animal, facts.found.candidates)


def _with_letter(animal: Slot[str]) -> str | None:
    """ "Number w four seven" where the farm has a 47 and no W47: what the number is with its letter."""
    letters = [word for word in animal.heard.split() if word in _LETTERS]  # three in "e i d"
    alone = len(letters) == 1 and animal.value.isdigit()
    return f"{letters[0]}{animal.value}".upper() if alone else None


def _may_be(reading: str, animal: Slot[str], facts: Facts) -> bool:
    """Whether a long number may as well be read so: as an electronic id, or in groups of three.

    "Four twenty seven oh one" is 42701, or 420 701; of shorter numbers the usual reading holds.
    """
    usual = len(animal.value)
    if reading == animal.value or usual in _WHOLE:
        return len(reading) == usual
    numbers = facts.lexicon.numbers
    said = [word for word in animal.heard.split() if word in {*facts.lexicon.number_words, "and"}]
    counted = quantity(said, numbers) is not None  # "seven hundred and twelve thousand"
    return usual >= _LONG and len(reading) in _GROUPS and len(reading) > usual and not counted


@check(
    "number-sounds-alike",
    what="Another animal's number sounds like this one.",
    why="Fifteen and fifty, five and nine are easily misheard, and both animals exist.",
    clear="Choose the right animal.",
    example="cow four fifteen left hind clean (415 and 450 are both on the list)",
)
def _sounds_alike(entry: Entry, facts: Facts) -> Iterator[Mark]:
    if facts.found is not None and facts.found.alike and facts.found.on_roster:
        what = f"{facts.found.value} sounds like " + ", ".join(facts.found.alike)
        yield mark("number-sounds-alike", what, entry.animal, facts.found.candidates)


@check(
    "number-or-count",
    what="A number word behind the animal's number may be its last digit, or a count.",
    why="“Four twelve, one small ulcer” is cow 412 with one ulcer, or cow 4121.",
    clear="Choose the right animal.",
    example="cow four twelve one small wart left hind",
)
def _number_or_count(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for first, last, said in facts.doubts.counts:
        if entry.animal is not None:
            where: Slot[str] = Slot(value=said, heard=said, first=first, last=last)
            inside = first < entry.animal.last
            taken, other = (
                ("its last digit", "a count") if inside else ("a count", "its last digit")
            )
            what = f"{entry.animal.value}: {said!r} was taken for {taken}, but may be {other}"
            yield mark("number-or-count", what, where, entry.animal_candidates)
    if (
        entry.animal is not None
        and not (facts.found is not None and facts.found.fits)
        and (reading := _with_pronoun(entry.animal, facts)) is not None
    ):
        what = f"{entry.animal.value} or {reading}: “one” may be its first digit, or stand for what was found"
        yield mark("number-or-count", what, entry.animal, (entry.animal.value, reading))


def _with_pronoun(animal: Slot[str], facts: Facts) -> str | None:
    """ "The inner one forty", "small one three seventy two": the number with, or without, the "one"."""
    words = animal.heard.split()
    before = next((p for p in facts.pieces if p.last == animal.first), None)
    if not isinstance(before, _DESCRIBED):
        return None
    if before.heard.endswith(" one"):
        said, least = ["one", *words], len(words)
    elif words[0] == "one":
        said, least = words[1:], _WHOLE_NUMBER
    else:
        return None
    readings = identifier_readings(said, facts.lexicon.numbers)
    return readings[0] if readings and len(readings[0]) >= least else None


@check(
    "animal-without-cue",
    what="A bare number in the middle of the note was taken as an animal.",
    why="Without a word such as cow before it the number may mean something else.",
    clear="Confirm the animal or take the entry apart.",
    example="cow four twelve left hind clean four thirteen",
)
def _without_cue(entry: Entry, facts: Facts) -> Iterator[Mark]:
    if not facts.cued and entry.animal is not None and not _is_led_to(entry.animal, facts):
        what = f"{entry.animal.value} was said without cow or number before it"
        yield mark("animal-without-cue", what, entry.animal)


def _is_led_to(animal: Slot[str], facts: Facts) -> bool:
    """ "The right hind of five thirty seven", "off all week, six fourteen, left hind …".

    So is "no block needed, seven oh two": nobody counts or asks a price digit by digit.
    A number that may be a count, a price or another animal's is short, or stands behind a record.
    """
    before = [piece for piece in facts.pieces if piece.last <= animal.first]
    if not before or len(animal.value) < _WHOLE_NUMBER:
        return False
    beside = before[-1].last == animal.first
    hedged = any(last == animal.first for _, last, _ in facts.doubts.hedges)
    if hedged or (beside and isinstance(before[-1], StatusSaid)):
        return False  # "something like five four three", "rosie two hundred and nine"
    numbers = facts.lexicon.numbers
    led = beside and before[-1].heard in numbers.leads.words
    by_digits = {*numbers.digits, *numbers.identifier_digits}.issuperset(animal.heard.split())
    return led or by_digits or not any(isinstance(piece, _RECORDED) for piece in before)


@check(
    "animal-seen-twice",
    what="The animal has been named before in this visit.",
    why="An animal seldom comes through the chute twice a day; one of the numbers may be wrong.",
    clear="Confirm that both notes are about this animal, or change one.",
    example="cow four twelve right hind clean (412 was named two notes before)",
)
def _seen_twice(entry: Entry, facts: Facts) -> Iterator[Mark]:
    animal = entry.animal
    if animal is None or animal.how in (How.CARRIED, How.INFERRED):
        return
    if animal.value in facts.carry.seen and animal.value != facts.carry.animal:
        yield mark("animal-seen-twice", f"{animal.value} was named before in this visit", animal)


@check(
    "eid-length",
    what="An electronic id has not 15 digits.",
    why="An ISO 11784 id has 3 digits of the country or maker and 12 of the animal.",
    clear="Read the id again or choose the animal.",
    example="tag nine eight two oh oh oh one two three four five six seven eight left hind clean",
)
def _eid_length(entry: Entry, facts: Facts) -> Iterator[Mark]:
    animal = entry.animal
    if animal is not None and animal.value.isdigit() and animal.how is not How.CARRIED:
        count = len(animal.value)
        if count > _LONGEST_MANAGEMENT_NUMBER and count != EID_DIGITS:
            yield mark("eid-length", f"{animal.value} has {count} digits, not 15", animal)


@check(
    "animal-alone",
    what="An animal of which nothing was said.",
    why="The number may be a slip of the tongue, or what was found was not heard.",
    clear="Discard the entry, or add what was found.",
    example="cow four cow four twelve left hind clean",
)
def _alone(entry: Entry, facts: Facts) -> Iterator[Mark]:
    said = (
        entry.findings or entry.actions or entry.follow_ups or entry.locomotion or entry.measures
        or entry.remark or entry.status or entry.denied or facts.questions
    )  # fmt: skip
    if entry.animal is not None and not said:
        what = f"nothing to record was said of {entry.animal.value}"
        yield mark("animal-alone", what, entry.animal)
