"""States and times told by the words next to them: "should be fine", "hard and dry", "next trim before …"."""

from collections.abc import Sequence

from grammar.hear.identifiers import identifier_readings
from grammar.hear.number_runs import ends_a_number
from grammar.hear.quantities import quantity_prefix
from grammar.hear.whens import When
from grammar.join.cursor import back, get, seek
from grammar.join.near import is_word, just_before, next_to, silent, words_before
from grammar.join.number_lists import joins
from grammar.join.replacing import BARE_ANIMAL_DIGITS, may_name_animal
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    LINKS,
    MODIFIERS,
    ActionSaid,
    AnimalSaid,
    Dangling,
    Either,
    Filler,
    FollowUpSaid,
    Leftover,
    LeftUndone,
    Lesion,
    MeasureSaid,
    Number,
    Piece,
    Region,
    Score,
    Severity,
    StatusSaid,
    TimeSaid,
    Tissue,
    Undone,
    Zone,
    is_clean,
    turned,
)
from grammar.records import How

__all__ = [
    "GOOD_COW",
    "bad_one",
    "colour_of_tag",
    "dry",
    "good_then_cow",
    "if_not_better",
    "long",
    "month_due",
    "next_trim",
    "of_group",
    "of_lesion",
    "of_us",
    "season_due",
    "should_be_fine",
]

_BEHIND_LESION = (*LINKS, *MODIFIERS, *FEET, *CLAWS, Zone, Region, Score, Leftover)
_COW = frozenset({"she", "she's", "her"})
_OF_LONG = (*FEET, *CLAWS, Region)
"""What "long" alone is said of."""
_DRY = frozenset({"dry", "is dry"})
_NEXT_TRIM = frozenset({"next trim", "next trimming", "at next trim", "next herd trim"})
_US = frozenset({"you", "you're", "we", "we're", "i", "i'm", "they", "they're"})
_WHO = _US | {"she", "she's", "her", "it", "it's", "cow", "this", "he", "him"}
_NEAR = 3
_PENS_MAX = 99
""" "Pen sixteen, twenty four forty two": the largest number of a pen beside an animal's."""
GOOD_COW = frozenset({"good cow", "good heifer"})
SEASONS = ("in ", "before ", "at ")
"""How a word of the past begins that may be a time to come: "in the spring", "before christmas"."""
_AGAIN = frozenset({"again"})
_NO_MONTH = frozenset({"may", "march"})
"""Months that are other words too."""


def of_lesion(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Heel erosion score two, both hinds" is how bad it is; "scored her a two" is how she walks."""
    score = pieces[at]
    if not isinstance(score, Score) or score.scale is not None:
        return None
    lesion = back(pieces, at - 1, _BEHIND_LESION)
    said = {word for piece in pieces[lesion + 1 : at + 1] for word in piece.heard.split()}
    if not isinstance(get(pieces, lesion), FINDINGS) or is_clean(pieces[lesion]) or said & _COW:
        return None
    return [turned(score, Severity, value=f"grade {score.value}")]


def bad_one(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Now the back left, that's the bad one": of the foot, and no claw."""
    piece, article = pieces[at], get(pieces, at - 1)
    if not piece.heard.endswith(" one") or not is_word(article, frozenset({"the", "a"})):
        return None
    tells = is_word(get(pieces, at - 2), frozenset({"that's", "it's", "is", "this is"}))
    return [silent(piece)] if tells else None


def good_then_cow(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "All four good, cow twelve sixteen …": said of the feet, and then the next animal's number."""
    piece, number = pieces[at], get(pieces, at + 1)
    if not isinstance(number, (Number, AnimalSaid)) or not isinstance(get(pieces, at - 1), FEET):
        return None
    good = turned(piece, Lesion, value="no lesion", heard="good", last=piece.first + 1)
    cow = turned(piece, Filler, value="cow", heard="cow", first=piece.first + 1)
    return [good, cow]


def of_group(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Dry group, nine oh three": no group has such a number, so it is the only animal's.

    "Pen eight, two oh two oh" is pen eight and 2020; "pen four twelve" may be pen four and cow twelve.
    """
    piece = pieces[at]
    place, *words = piece.heard.split()
    after = get(pieces, at + 1)
    listed = after is not None and joins(after) and isinstance(get(pieces, at + 2), Number)
    named = not listed and any(map(may_name_animal, pieces))
    if named or place not in lexicon.numbers.groups.words:
        return None
    readings = identifier_readings(words, lexicon.numbers)
    if not readings or len(readings[0]) < BARE_ANIMAL_DIGITS:
        return None
    first = piece.last - len(words)
    if (cut := _pen_and_cow(words, lexicon)) is not None:
        count, readings = cut
        pen = " ".join([place, *words[:count]])
        start, rest = first + count, tuple(words[count:])
        animal = turned(
            piece, AnimalSaid, value=readings, words=rest, first=start, heard=" ".join(rest)
        )
        return [turned(piece, StatusSaid, value=pen, heard=pen, last=start), animal]
    own = {"first": first, "heard": " ".join(words)}
    said = turned(piece, AnimalSaid, value=readings, words=tuple(words), **own)
    group = turned(piece, Filler, value=place, heard=place, last=first)
    digit, rest = identifier_readings(words[:1], lexicon.numbers), tuple(words[1:])
    cow = identifier_readings(rest, lexicon.numbers)
    if not digit or not rest or not cow or not ends_a_number(rest, lexicon.numbers):
        return [group, said]
    heard = f"{place} {digit[0]} and {cow[0]}"
    return [group, said, turned(said, Either, value=readings[0], heard=heard, rule="")]


def colour_of_tag(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Steer, yellow four oh seven, …": the colour of the tag, and not of what is found behind it."""
    piece, number = pieces[at], get(pieces, at + 1)
    numbered = isinstance(number, Number) and len(number.heard.split()) > 1
    told = isinstance(just_before(pieces, at), (*FINDINGS, *MODIFIERS, Region, Zone))
    if not numbered or told or piece.heard not in lexicon.numbers.tag_colours.words:
        return None
    return [turned(piece, StatusSaid, value=piece.heard)]


def _pen_and_cow(words: Sequence[str], lexicon: Lexicon) -> tuple[int, tuple[str, ...]] | None:
    """Return how many words are the pen's number, and the readings of the whole number behind it."""
    count = quantity_prefix(words, lexicon.numbers, _PENS_MAX)
    rest = words[count:]
    if not count or not rest or not ends_a_number(rest, lexicon.numbers):
        return None
    readings = identifier_readings(rest, lexicon.numbers)
    return (count, readings) if len(readings[0]) >= BARE_ANIMAL_DIGITS else None


def long(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Long" alone is overgrown only beside a foot or claw."""
    piece = pieces[at]
    before = just_before(pieces, at)
    of = isinstance(before, _OF_LONG) or isinstance(next_to(pieces, at), FEET)
    of = of and not isinstance(before, MeasureSaid)  # "two inches long, in the right front"
    return [silent(piece)] if piece.heard == "long" and not of else None


def should_be_fine(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Shallow white line, pared away, should be fine" finds no clean foot."""
    piece, cue = pieces[at], just_before(pieces, at)
    if not is_clean(piece):
        return None
    hoped = isinstance(cue, Undone) and cue.heard.endswith("be")
    lesion = any(isinstance(one, Lesion) and not is_clean(one) for one in pieces[:at])
    return [silent(piece)] if hoped and lesion else None


def of_us(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Are you going to the mart": of the people, and not of the cow."""
    said = words_before(pieces, at, _NEAR)
    who = next((word for word in reversed(said) if word in _WHO), "")
    return (
        [silent(pieces[at])] if who in _US and seek(pieces, 0, (AnimalSaid,), at) is None else None
    )


def dry(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Underneath is hard and dry" is no dry cow."""
    piece, before = pieces[at], just_before(pieces, at)
    link = get(pieces, at - 1)
    if piece.heard not in _DRY or before is None or isinstance(before, (AnimalSaid, StatusSaid)):
        return None
    if is_word(link, frozenset({"she", "she's", "cow"})):
        return None
    if seek(pieces, 0, (Lesion,), at) is not None:
        return [turned(piece, Tissue, value="dry")]
    return [silent(piece)]


def if_not_better(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Vet if she's not better in a week": one time."""
    piece, when = pieces[at], get(pieces, at + 1)
    if not isinstance(piece, TimeSaid) or not isinstance(when, TimeSaid):
        return None
    if not piece.heard.startswith("if ") or when.value.in_days is None:
        return None
    return [silent(piece)]


def season_due(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Trim again in the spring", "block off before christmas": what is due, and no past."""
    piece, due = pieces[at], _due_before(pieces, at) or is_word(get(pieces, at - 1), _AGAIN)
    if not piece.heard.startswith((*SEASONS, "back in ")) or not due:
        return None
    return [turned(piece, TimeSaid, value=When(said=piece.heard))]


def month_due(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Next trim june", "block off january": a month without "in", of what is due."""
    piece, due = pieces[at], _due_before(pieces, at)
    if piece.heard not in lexicon.numbers.months or due is None:
        return None
    led = due.heard.endswith(" in") and due.how is How.EXACT  # "next trim in may"
    if piece.heard in _NO_MONTH and not led:
        return None
    return [turned(piece, TimeSaid, value=When(said=piece.heard))]


def _due_before(pieces: Sequence[Piece], at: int) -> Piece | None:
    """Return what stands before a time and may be due then."""
    place = back(pieces, at - 1, (*LINKS, *FEET, *CLAWS))
    due = get(pieces, place)
    if isinstance(due, (FollowUpSaid, TimeSaid, LeftUndone)):
        by = words_before(pieces, place, 1)
        return None if by in (["the"], ["by"]) else due  # "cut out by the vet at christmas"
    if not isinstance(due, ActionSaid):
        return None
    again = is_word(get(pieces, at - 1), frozenset({"again"}))
    needed = any(isinstance(one, Undone) and one.later for one in pieces[max(0, at - _NEAR) : at])
    return due if due.if_dated or again or needed else None


def next_trim(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Next trim before drying off": what is due, and when."""
    piece = pieces[at]
    when = get(pieces, at + 1)
    month = isinstance(when, Dangling) and month_due(pieces, at + 1, lexicon) is not None
    if isinstance(when, (LeftUndone, Undone)):
        when = get(pieces, at + 2)  # "next trimming recommended in ten weeks", "… due in ten"
    if piece.heard not in _NEXT_TRIM or not (isinstance(when, TimeSaid) or month):
        return None
    return [turned(piece, FollowUpSaid, value="trim")]
