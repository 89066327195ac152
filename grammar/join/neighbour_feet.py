"""Feet told by those named elsewhere: "sprayed the other two", "no ulcer on the left, right hind …", "left the hind alone"."""

from collections.abc import Sequence

from grammar.hear.identifiers import identifier_readings
from grammar.join.cursor import back, get, past, seek
from grammar.join.near import COMES_OFF, is_word, just_before, next_to, silent, words_before
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    CLAWS,
    FEET,
    LINKS,
    ActionSaid,
    Again,
    AnimalSaid,
    Claw,
    Filler,
    Foot,
    HalfFoot,
    Lesion,
    Number,
    On,
    Piece,
    is_clean,
    is_side,
    turned,
)
from grammar.records import How

__all__ = [
    "IS",
    "LIKE",
    "NEAR_OFF",
    "both_ends",
    "end_of_both",
    "foot_as_told",
    "half_before",
    "is_on_claw",
    "let_alone",
    "like_the_other",
    "other_two",
    "the_off",
]

_OTHER = frozenset({"other", "the other"})
_ALONE = frozenset({"alone"})
_LEFT = frozenset({"left", "leave", "leaving"})
_THE = frozenset({"the"})
_SIDES = {"near": "left", "off": "right"}
NEAR_OFF = frozenset(_SIDES)
_TWO = 2
_THREE = 3
_WAS = frozenset({"was", "were", "had", "last"})
LIKE = frozenset({"like"})
IS = frozenset({"is", "sits"})


def other_two(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Wrapped the left hind, sprayed the other two": those named, without the one said last.

    "Sprayed the other two sixty oh one": the number behind it is the animal's.
    """
    piece, other = pieces[at], get(pieces, at - 1)
    two, *words = piece.heard.split()
    if not isinstance(piece, Number) or two != "two" or not is_word(other, _OTHER):
        return None
    named = [one for one in pieces[:at] if isinstance(one, Foot)]
    if not named or other is None:
        return None
    told = dict.fromkeys(foot for one in named for foot in one.value)
    rest = tuple(foot for foot in told if foot not in named[-1].value)
    readings = identifier_readings(words, lexicon.numbers)
    if len(rest) != _TWO or (words and not readings):
        return None
    end = piece.first + 1
    feet = turned(
        piece, Foot, value=rest, heard=f"{other.heard} {two}", first=other.first, last=end
    )
    if not words:
        return [feet]
    own = {"first": end, "heard": " ".join(words), "value": piece.value}
    return [feet, turned(piece, Number, identifier=readings, quantity=None, **own)]


def half_before(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "No ulcer on the left, right hind outer has one": the only foot named tells of which end."""
    piece = pieces[at]
    if not isinstance(piece, HalfFoot) or piece.is_end or piece.rejected:
        return None
    if seek(pieces, 0, FEET, at) is not None or isinstance(next_to(pieces, at), FEET):
        return None
    feet = [one for one in pieces[at + 1 :] if isinstance(one, FEET)]
    animals = [one for one in pieces if isinstance(one, AnimalSaid)]
    other = feet[0] if feet else None
    if len(animals) > 1 or not isinstance(other, Foot) or len(other.value) != 1 or other.place:
        return None
    if any(not isinstance(one, HalfFoot) for one in feet[1:]):
        return None
    side, end = piece.value[0].upper(), other.value[0][1]
    if other.value[0][0] == side:
        return None
    return [turned(piece, Foot, value=(side + end,), how=How.INFERRED)]


def let_alone(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Pared the two fronts, left the hind alone": of that foot nothing was done."""
    led = back(pieces, at - 1, (Filler,)) + 1
    left = any(is_word(one, _LEFT) for one in pieces[max(led, at - _TWO) : at])
    deed = seek(pieces, 0, (ActionSaid,), at) is not None
    alone = left and deed and is_word(get(pieces, at + 1), _ALONE)
    return [silent(pieces[at])] if alone else None


def foot_as_told(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "They wrote left hind, it's right hind": the one that it was said to be is not meant."""
    words = lexicon.corrections
    told = not words.was_told.isdisjoint(words_before(pieces, at, _THREE))
    then = past(pieces, at + 1, (Filler,))
    is_ = any(is_word(one, words.it_is) for one in pieces[at + 1 : then])
    right = told and is_ and isinstance(get(pieces, then), Foot)
    return [silent(pieces[at])] if right else None


def the_off(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Near hind ulcer, off hind bruise, trimmed the off": the right one, by the word used before."""
    piece, the = pieces[at], get(pieces, at - 1)
    named = any(isinstance(one, Foot) and one.heard.startswith(piece.heard) for one in pieces[:at])
    deed = isinstance(just_before(pieces, at), ActionSaid)
    after = get(pieces, at + 1)
    if not named or not deed or not is_word(the, _THE) or isinstance(after, LINKS) or the is None:
        return None
    heard = f"{the.heard} {piece.heard}"
    return [turned(piece, HalfFoot, value=_SIDES[piece.heard], heard=heard, first=the.first)]


def is_on_claw(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Ulcer's medial, block's lateral": each claw is of what it is told of."""
    piece, head = pieces[at], get(pieces, at - 1)
    block = isinstance(head, ActionSaid) and head.value in COMES_OFF
    if not block and (not isinstance(head, Lesion) or is_clean(head)):
        return None
    return [turned(piece, On, value="on")] if isinstance(get(pieces, at + 1), CLAWS) else None


def both_ends(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "White line on the hind outers": outers of one end are those of both its feet."""
    piece, claw = pieces[at], get(pieces, at + 1)
    if not isinstance(piece, HalfFoot) or not piece.is_end or piece.rejected:
        return None
    if not isinstance(claw, Claw) or not claw.of_both_feet:
        return None
    end = "F" if piece.value == "front" else "H"
    return [turned(piece, Foot, value=("L" + end, "R" + end))]


def end_of_both(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Heel erosion, hind, severity two on the left and one on the right": both hinds."""
    piece = pieces[at]
    if not isinstance(piece, HalfFoot) or not piece.is_end or piece.rejected:
        return None
    later = {one.heard.split()[-1] for one in pieces[at + 1 :] if _is_half(one)}
    other = any(isinstance(one, Foot) for one in pieces)
    beside = any(map(_is_half, pieces[max(at - 1, 0) : at + 2 : 2]))
    if other or beside or not later >= {"left", "right"}:
        return None
    end = "F" if piece.value == "front" else "H"
    return [turned(piece, Foot, value=("L" + end, "R" + end))]


def _is_half(piece: Piece) -> bool:
    return isinstance(piece, HalfFoot) or is_side(piece)


def like_the_other(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Right hind's long like the left": the same on both."""
    piece, lesion, foot = pieces[at], get(pieces, at - 1), get(pieces, at + 1)
    if not isinstance(lesion, Lesion) or is_clean(lesion) or not isinstance(foot, FEET):
        return None
    named = seek(pieces, 0, FEET, at - 1) is not None
    after = get(pieces, at + 2)
    if not named or (isinstance(after, Filler) and after.heard in _WAS):
        return None
    return [turned(piece, Again, value="like")]
