"""Which numbers without "cow" before them are animals, and which of these are surely so."""

from collections.abc import Sequence
from dataclasses import replace

from grammar.hear.animals import Roster
from grammar.join.cursor import REACH, back, find_back, get, next_solid, past
from grammar.join.near import is_word, next_to
from grammar.join.number_lists import LIST_RULE, are_several, counts_in, joins
from grammar.join.replacing import BARE_ANIMAL_DIGITS, as_animal, is_round, may_name_animal
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    LINKS,
    MODIFIERS,
    ActionSaid,
    Again,
    AnimalSaid,
    Break,
    CorrectionCue,
    Course,
    Dangling,
    Either,
    Except,
    Filler,
    FollowUpSaid,
    Gone,
    Leftover,
    LeftUndone,
    Material,
    MeasureSaid,
    NextCow,
    No,
    Not,
    NotNeeded,
    Number,
    On,
    Past,
    Piece,
    Region,
    Scratch,
    Stage,
    StatusSaid,
    TakenOff,
    TimeSaid,
    Undone,
    With,
    WrongCow,
    Zone,
    is_clean,
    is_side,
    turned,
)

__all__ = ["BARE_RULE", "bare_animals", "is_or", "names_animal"]

BARE_RULE = "animal by number alone"
_INTRODUCES = frozenset(
    {"is", "that's", "it's", "she's", "on", "of", "number", "this one", "this one here"}
)
_TELLS = frozenset({"has", "is", "had", "was", "needs", "got", "had her", "are", "were", "have"})
_WHICH = "told: which animal"
"""The rule of what she looks like, or is called."""
_WORN = ("collar", "band", "tape", "strap")
_LONGEST = 5
"""The most digits of a number that is called, and not read from a tag."""
_ONE_AND_LETTER = 2
_ONE_AND_SCRATCH = 2
"""An animal and "scratch that", behind which the right one is said."""
_OF_ANIMAL = (
    *FEET, *CLAWS, *FINDINGS, ActionSaid, Again, Course, Except, FollowUpSaid, Material, No, Not, Past, Stage,
    StatusSaid, Undone,
)  # fmt: skip
"""What is said right behind an animal's number."""
_UNSURE_BEFORE = (Leftover, Dangling, Number)
"""Right behind them a number may be of another thing, or of a name."""
_RECORDED = (
    *FEET, *CLAWS, *FINDINGS, *MODIFIERS, ActionSaid, Again, FollowUpSaid, Gone, LeftUndone, Material, MeasureSaid,
    NotNeeded, Region, TakenOff, TimeSaid, Zone,
)  # fmt: skip
"""What a note tells, and may end in before its animal's number."""
_OPENS = (ActionSaid, Material, *LINKS)
"""What may stand before the first number of a note, with what is clean."""
_TIMES = (TimeSaid, FollowUpSaid)
_SCALES = frozenset({"hundred", "thousand"})
"""A number that begins with them is a word misheard, or its first word was lost."""
_OF_YEARS = frozenset({"in", "since"})
_OF = frozenset({"of"})
_ARTICLE = frozenset({"a"})
_PRICED = frozenset({"for", "a", "per", "each"})
_HOURS = 12
_MINUTES = 60
_CENTURIES = ("19", "20")
_YEAR = 4
_SHORT = 2
_NEAR = 5
"""How far a short number without "cow" is at most from the last one."""


def bare_animals(pieces: Sequence[Piece], roster: Roster | None, lexicon: Lexicon) -> list[Piece]:
    """Take a number at the start of a note, or a long or known one later on, as an animal.

    Never behind an animal with only unknown words between: "four [unk] twelve" is a number with a
    hole in it, and no second animal.
    """
    result: list[Piece] = []
    for at, piece in enumerate(pieces):
        number = isinstance(piece, Number) and not _behind_stage(result)
        animal = as_animal(piece) if number else None
        before = result[-REACH:] if animal is not None else ()
        if animal is None:
            result.append(piece)
        elif _names_by_letter(result):
            letter = result.pop()
            result.append(_lettered(animal, letter, led=bool(result)))
        elif (whole := _end_of_one(pieces, at, animal, before)) is not None:
            result.append(whole)
        elif (one := _listed_with(pieces, at, animal, before, lexicon)) is not None:
            result += _listed(animal, one)
        elif _may_be_animal(pieces, at, animal, before, roster, lexicon):
            cued = _is_surely_one(pieces, at, animal, before, lexicon)
            result.append(replace(animal, bare=not cued, rule=BARE_RULE))
        else:
            result.append(piece)
    return result


# --- by a letter, by its end ---


def _behind_stage(before: Sequence[Piece]) -> bool:
    """ "M five": a stage that there is not, and no animal."""
    return bool(before) and isinstance(before[-1], Leftover) and before[-1].heard == "m"


def _names_by_letter(before: Sequence[Piece]) -> bool:
    """ "Tag b seventeen", "this is r one sixteen": a letter between what leads to a number and it."""
    letter = before[-1] if before else None
    if not isinstance(letter, Leftover) or len(letter.heard) != 1 or not letter.heard.isalpha():
        return False
    lead = before[-_ONE_AND_LETTER] if len(before) >= _ONE_AND_LETTER else None
    named = isinstance(lead, Filler) and lead.rule.startswith("animal")
    return named or lead is None or _is_introduced(before[:-1])


def _lettered(animal: AnimalSaid, letter: Piece, *, led: bool) -> AnimalSaid:
    values = (*(f"{letter.heard.upper()}{one}" for one in animal.value[:1]), *animal.value)
    heard = f"{letter.heard} {animal.heard}"
    return replace(
        animal, value=values, first=letter.first, heard=heard, rule=BARE_RULE, bare=not led
    )


def _end_of_one(
    pieces: Sequence[Piece], at: int, animal: AnimalSaid, before: Sequence[Piece]
) -> AnimalSaid | None:
    """ "Seven fourteen and seven fifteen came through … fourteen has a wart": the end of one named before."""
    end = animal.value[0]
    named = {one.value[0]: one for one in before if isinstance(one, AnimalSaid)}
    ends = [one for value, one in named.items() if value.endswith(end)]
    told = len(named) > 1 and len(end) == _SHORT and _is_told_of(pieces, at + 1, animal)
    if len(ends) != 1 or not told:
        return None
    return replace(animal, value=(*ends[0].value[:1], *animal.value), rule=BARE_RULE)


# --- in a list ------------------------------------------------------------------------------


def _listed_with(
    pieces: Sequence[Piece], at: int, animal: AnimalSaid, before: Sequence[Piece], lexicon: Lexicon
) -> AnimalSaid | None:
    """Return the animal right before, joined by "and": "fifty five and fifty six", "831 and three"."""
    last = back(before, len(before) - 1, (*LINKS, Either))
    one, joint = get(before, last), before[last + 1 :]
    if not isinstance(one, AnimalSaid) or not any(map(joins, joint)):
        return None
    digits, usual = len(animal.value[0]), len(one.value[0])
    several = one.rule == LIST_RULE or are_several(before, last - 1, lexicon)
    next_one = several and one.value[0] == str(int(animal.value[0]) - 1)
    alike = (
        digits == usual > 1 or next_one or (digits == usual + 1 and set(one.value[0][1:]) == {"9"})
    )
    shorter = digits < usual <= _LONGEST or digits == usual == 1
    if not (alike or shorter):
        return None
    return one if alike or _is_of_all(pieces, at + 1) else None


def _is_of_all(pieces: Sequence[Piece], at: int) -> bool:
    """Whether what follows is said of animals, and counts nothing: "831 and three trimmed clean"."""
    behind = past(pieces, at, (*LINKS, Number))
    after = get(pieces, behind)
    trim = isinstance(after, ActionSaid) and after.heard.endswith("ed")
    return trim or is_clean(after) or any(map(counts_in, pieces[at:behind]))


def _listed(animal: AnimalSaid, one: AnimalSaid) -> list[Piece]:
    """Make the next animal of a list; a shorter number may have the first one's beginning."""
    start = one.value[0][: len(one.value[0]) - len(animal.value[0])]
    said = replace(animal, rule=LIST_RULE)
    if not start or len(animal.value[0]) > len(one.value[0]):
        return [said]
    whole = start + animal.value[0]
    doubt = turned(animal, Either, value=animal.value[0], heard=whole, rule="")
    return [replace(said, value=(whole, *animal.value)), doubt]


# --- by its place ---------------------------------------------------------------------------


def _is_surely_one(
    pieces: Sequence[Piece],
    at: int,
    animal: AnimalSaid,
    before: Sequence[Piece],
    lexicon: Lexicon,
) -> bool:
    """Whether nothing else can be meant by a bare number."""
    known = next((p for p in reversed(before) if not isinstance(p, (*LINKS, Leftover))), None)
    if known is None or isinstance(known, NextCow) or names_animal(before):
        return True
    if known.rule == _WHICH and known.heard.endswith(_WORN):
        return True
    if _is_introduced(before) or _is_subject(pieces, at, animal, before):
        return True
    if _names_the_note(pieces, at, animal, lexicon):
        return True
    if len(animal.value[0]) < BARE_ANIMAL_DIGITS or animal.words[0] in _SCALES:
        return False
    last = next((one for one in reversed(before) if isinstance(one, AnimalSaid)), None)
    opens = all(is_clean(one) or isinstance(one, _OPENS) for one in before[:-1])
    opens = opens and (is_clean(before[-1]) or isinstance(before[-1], (StatusSaid, *_OPENS)))
    # Behind "cow seven" it may be the rest of that number, with a word misheard between them.
    whole = last is not None and len(last.value[0]) >= BARE_ANIMAL_DIGITS
    pointed = isinstance(before[-1], StatusSaid) and animal.words[0] == "one"
    of_other = isinstance(before[-1], _UNSURE_BEFORE) and not opens
    of_other = of_other or pointed  # "the red and white one, six twenty"
    if not (whole or opens) or of_other:
        return False
    sited = isinstance(next_to(pieces, at), (*FEET, *FINDINGS))
    return (sited or not _is_time(animal, before)) and _is_told_of(pieces, at + 1, animal)


def _names_the_note(pieces: Sequence[Piece], at: int, animal: AnimalSaid, lexicon: Lexicon) -> bool:
    """ "Toe ulcer right rear, wrapped it, fifty six oh eight": the note's only number, behind its record.

    A foot or a finding behind it may be another animal's, and what leads up to it may count.
    """
    if not _is_alone(pieces, at, animal) or not _SCALES.isdisjoint(
        (animal.words[0], animal.words[-1])
    ):
        return False
    quiet = frozenset(lexicon.numbers.behind_a_record.words)
    last, ends = at - 1, len(animal.value[0]) >= BARE_ANIMAL_DIGITS and _is_last(pieces, at)
    while is_word(get(pieces, last), quiet) or (ends and isinstance(get(pieces, last), LINKS)):
        last -= 1
    if is_word(pieces[at - 1], _OF_YEARS) and _is_clock(animal):
        return False  # "bought her in two thousand nineteen"
    told, after = get(pieces, last), get(pieces, at + 1)
    state = isinstance(told, StatusSaid) and told.rule.startswith("status")  # no "rosie"
    denied = ends and isinstance(told, Not) and any(isinstance(one, _RECORDED) for one in pieces)
    recorded = (state or denied or isinstance(told, _RECORDED)) and not is_word(after, _PRICED)
    leads_on = isinstance(after, _UNSURE_BEFORE) or isinstance(next_to(pieces, at), FINDINGS)
    leads_on = leads_on or any(isinstance(one, FEET) for one in pieces[at + 1 :])
    dated = isinstance(told, _TIMES) and _is_clock(animal)
    counted_on = isinstance(told, TimeSaid) and told.every is not None  # "in two weeks, twelve ten"
    return recorded and not leads_on and (not dated or counted_on)


def _is_alone(pieces: Sequence[Piece], at: int, animal: AnimalSaid) -> bool:
    """Whether nothing else in the note may name an animal, and this is no single digit."""
    least = min(len(animal.value[0]), BARE_ANIMAL_DIGITS)
    others = (*pieces[:at], *pieces[at + 1 :])
    return least >= _SHORT and not any(may_name_animal(one, least) for one in others)


def _ends_the_note(
    pieces: Sequence[Piece], at: int, animal: AnimalSaid, before: Sequence[Piece]
) -> bool:
    """ "Left it, one hundred and ninety", "nothing on thirty three, …": the note's only number.

    Said last behind what the note tells; or behind "on", "of", "with".
    """
    told = any(isinstance(one, _RECORDED) for one in before)
    led = isinstance(before[-1], (On, With)) or is_word(before[-1], _OF)
    return told and (led or _is_last(pieces, at)) and _is_alone(pieces, at, animal)


def _is_last(pieces: Sequence[Piece], at: int) -> bool:
    return past(pieces, at + 1, (*LINKS, TimeSaid, FollowUpSaid)) == len(pieces)


def _is_told_of(pieces: Sequence[Piece], at: int, animal: AnimalSaid) -> bool:
    """Whether what follows is said of an animal: a foot, a finding, a deed, "both", "and 413"."""
    behind = next_solid(pieces, at)
    after = get(pieces, behind)
    between = pieces[at:behind]
    if isinstance(after, ActionSaid) and set(animal.value[0][1:]) == {"0"}:
        return False  # "two hundred trimmed today"
    if between and is_word(between[0], _PRICED):
        return False  # "two fifty for the block"
    if any(isinstance(one, Filler) and one.heard in _TELLS for one in between):
        return True
    listed = isinstance(after, (AnimalSaid, Number)) and any(map(joins, between))
    return listed or is_side(after) or isinstance(after, _OF_ANIMAL)


def _is_time(animal: AnimalSaid, before: Sequence[Piece]) -> bool:
    """ "Back tomorrow, eleven thirty": a time of day or a year behind a day or what is due."""
    return isinstance(get(before, back(before, len(before) - 1, LINKS)), _TIMES) and _is_clock(
        animal
    )


def _is_clock(animal: AnimalSaid) -> bool:
    """Whether a number may be a time of day or a year."""
    digits = animal.value[0]
    if len(digits) > _YEAR:
        return False
    year = len(digits) == _YEAR and digits.startswith(_CENTURIES)
    clock = int(digits[:-_SHORT] or 0) in range(1, _HOURS + 1) and int(digits[-_SHORT:]) < _MINUTES
    return year or (clock and "oh" not in animal.words)


def _is_introduced(before: Sequence[Piece]) -> bool:
    """ "Well that's nine two two", "tidy feet on four one nine": the first number of the note."""
    last = before[-1] if before else None
    introduced = isinstance(last, (Filler, On)) and last.heard in _INTRODUCES
    first = not any(isinstance(piece, AnimalSaid) for piece in before)
    again = isinstance(last, Scratch) and len(before) == _ONE_AND_SCRATCH and not first
    return (introduced and first) or again


def _is_subject(
    pieces: Sequence[Piece], at: int, animal: AnimalSaid, before: Sequence[Piece]
) -> bool:
    """ "Ah look at this, three hundred and eighteen has mortellaro"; a short one only if the first."""
    verb = get(pieces, at + 1)
    tells = isinstance(verb, Filler) and verb.heard in _TELLS
    short = len(animal.value[0]) < BARE_ANIMAL_DIGITS
    return tells and not (short and any(isinstance(piece, AnimalSaid) for piece in before))


def _may_be_animal(
    pieces: Sequence[Piece],
    at: int,
    animal: AnimalSaid,
    before: Sequence[Piece],
    roster: Roster | None,
    lexicon: Lexicon,
) -> bool:
    """Whether a bare number is an animal."""
    solid = [p for p in before[-6:] if not isinstance(p, LINKS)]
    if _is_put_right(before) or _is_no_animal(animal, before, solid, lexicon):
        return False
    last = solid[-1] if solid else None
    scratched = isinstance(last, Scratch) and len(before) == _ONE_AND_SCRATCH
    if scratched and isinstance(before[0], AnimalSaid):
        return True  # "cow eighty one, scratch that, eighty two"
    if isinstance(last, AnimalSaid) and is_or(before[before.index(last) + 1 :]):
        return True  # "cow eighty one or eighty two"
    # "Purple collar forty four", "rosie, sixty two": what she looks like leads to her number.
    starts = all(isinstance(p, (*LINKS, Leftover)) or p.rule == _WHICH for p in before)
    if starts or isinstance(last, NextCow) or names_animal(before):
        return True
    if _ends_the_note(pieces, at, animal, before):
        return True
    told = _is_told_of(pieces, at + 1, animal)
    if told and (_is_next_short(animal, before) or _is_excepted(animal, last, before)):
        return True
    if roster is not None:
        return any(roster.fits(reading) for reading in animal.value)
    return len(animal.value[0]) >= BARE_ANIMAL_DIGITS


def _is_no_animal(
    animal: AnimalSaid, before: Sequence[Piece], solid: Sequence[Piece], lexicon: Lexicon
) -> bool:
    """Whether a number counts, or is the rest of the one before, with a word misheard between them."""
    always = animal.heard == "one" and before and isinstance(before[-1], Filler)
    always = always or (len(animal.value[0]) == 1 and before and is_word(before[-1], _ARTICLE))
    if always or _is_counted(animal, before, lexicon):
        return True  # "there's always one, cow seven oh seven", "was a four"
    known = get(solid, back(solid, len(solid) - 1, (Leftover,)))
    hole = isinstance(known, AnimalSaid) and known is not solid[-1]
    named = {one.value[0] for one in before if isinstance(one, AnimalSaid)}
    return hole and animal.value[0] not in named


def _is_put_right(before: Sequence[Piece]) -> bool:
    """ "No, four thirteen", "it's not four twelve"; of "didn't bother her, left it" a deed is denied."""
    at = back(before, len(before) - 1, LINKS)
    cue = get(before, at)
    plain = isinstance(cue, Not) and cue.heard != "not" and at < len(before) - 1
    return isinstance(cue, (No, Not, CorrectionCue, WrongCow)) and not plain


def _is_next_short(animal: AnimalSaid, before: Sequence[Piece]) -> bool:
    """ "Fourteen, fifteen and sixteen … seventeen has an ulcer": of the same digits, and near the last one."""
    last = next((one for one in reversed(before) if isinstance(one, AnimalSaid)), None)
    if last is None or not len(animal.value[0]) == len(last.value[0]) == _SHORT:
        return False
    if not last.value[0].isdigit():
        return False  # "b7"
    near = abs(int(animal.value[0]) - int(last.value[0])) <= _NEAR
    return near and isinstance(before[-1], (*FINDINGS, *MODIFIERS, ActionSaid, TimeSaid, *LINKS))


def _is_excepted(animal: AnimalSaid, last: Piece | None, before: Sequence[Piece]) -> bool:
    """ "Fourteen, fifteen and sixteen all clean except sixteen": one of those named before."""
    named = (one.value[0] for one in before if isinstance(one, AnimalSaid))
    return isinstance(last, Except) and animal.value[0] in named


def _is_counted(animal: AnimalSaid, before: Sequence[Piece], lexicon: Lexicon) -> bool:
    """ "He has two hundred milking", "near a hundred"; but "have a look at six oh one" is one."""
    if before and is_round(animal):
        return True
    if not before or not isinstance(before[-1], (Filler, Leftover)):
        return False
    if before[-1].heard not in lexicon.numbers.counting.words:
        return False
    looks = any(isinstance(one, FollowUpSaid) and one.only_dated for one in before[-2:-1])
    short = len(animal.value[0]) < BARE_ANIMAL_DIGITS
    by_digits = len(animal.words) == len(animal.value[0]) <= _LONGEST
    return (
        before[-1].value != "at" or short or not (looks or by_digits)
    )  # "nothing at three one five"


def names_animal(before: Sequence[Piece]) -> bool:
    """ "fresh cow two eleven", "first calver three oh two": the words before end in a cue."""
    return (
        bool(before)
        and isinstance(before[-1], StatusSaid)
        and before[-1].heard.split()[-1] in ("cow", "calver", "heifer")
    )


def is_or(pieces: Sequence[Piece]) -> bool:
    """Whether nothing but an "or" stands between two animals: "five oh three or five thirteen"."""
    edge = find_back(pieces, len(pieces) - 1, (Break,), ())
    between = pieces if edge is None else pieces[edge + 1 :]
    words = {word for piece in between for word in piece.heard.split()}
    return "or" in words and all(isinstance(piece, LINKS) for piece in between)
