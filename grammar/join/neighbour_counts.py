"""Counts and the word "one" among the pieces: "three feet clean", "the left one", "four claws"."""

from collections.abc import Sequence
from dataclasses import replace

from grammar.join.cursor import back, get, past, seek
from grammar.join.feet import ALL_FEET
from grammar.join.near import is_word, next_to, silent, untaken, words_before
from grammar.join.replacing import BARE_ANIMAL_DIGITS, as_animal
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    CLAWS,
    COPULAS,
    FEET,
    LINKS,
    MODIFIERS,
    AnimalSaid,
    Claw,
    CorrectionCue,
    Course,
    Filler,
    Foot,
    HalfFoot,
    Leftover,
    Lesion,
    Material,
    No,
    Not,
    Number,
    On,
    OtherFeet,
    Piece,
    Scratch,
    Severity,
    Stage,
    Tissue,
    is_clean,
    is_side,
    turned,
)

__all__ = [
    "a_digit_unread",
    "counted",
    "four_claws",
    "in_talk",
    "interdigital",
    "left_one",
    "letter_behind",
    "of_tag",
    "on_three_legs",
    "one_of_them",
    "one_small",
]

_COUNTED = frozenset({"feet", "legs"})
_SINGLE = "one"
_THINGS = frozenset({"foot", "leg", "claw", "toe", "side", "hoof", "limb"})
_ALL_BUT_ONE = 3
_COUNT_MAX = 4
_OF_A_LESION = (Severity, Tissue, Course)
_BETWEEN_CLAWS = frozenset({"interdigital hyperplasia", "interdigital phlegmon"})
_MAKE = frozenset({"make"})
_THIS = frozenset({"this", "that"})
_MORE = frozenset({"more"})
_FAR = 8
_NEXT = frozenset({"next", "the next", "last", "the last"})
_FEW = frozenset({"two", "three", "four"})
_SOMETHING = frozenset({"something", "odd", "ish"})
_POINTING = frozenset(
    {"a", "the", "that", "this", "another", "each", "every", "only", "new", "fresh", "old", "other"}
    | {"false", "real", "big", "wee", "small", "little", "she'd", "same", "first", "last", "not"}
)
"""Words behind which "one" stands for what was named."""


def counted(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Three feet clean, right hind a bruise": a count is no animal; three feet are the rest."""
    piece = pieces[at]
    if not isinstance(piece, Number) or piece.quantity is None or piece.quantity > _COUNT_MAX:
        return None
    thing = get(pieces, at + 1)
    if isinstance(thing, Claw) and thing.of_both_feet:
        return [silent(piece)]  # "blocks on the two inners"
    if isinstance(thing, Foot) and piece.quantity == len(thing.value) > 1:
        return [silent(piece)]  # "two hinds with warts"
    if piece.heard == _SINGLE and (is_word(thing, _THINGS) or isinstance(thing, CLAWS)):
        return [silent(piece)]  # "one leg longer than the other"
    if is_word(thing, _COUNTED):
        if isinstance(next_to(pieces, at + 1), FEET):
            return [silent(piece)]  # "warts on three feet, both rears and left front"
        if (others := _but_one(pieces, at + 2)) is not None:
            return [turned(piece, Foot, value=others)]
        if piece.quantity == _ALL_BUT_ONE and seek(pieces, 0, FEET) is not None:
            return [turned(piece, OtherFeet, value="rest")]
        return [untaken(piece)]
    return None


def on_three_legs(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Sound on three legs, off fore sore": the other three are; alone she carries one."""
    legs, clean, foot = pieces[at], get(pieces, at - 1), next_to(pieces, at)
    if not legs.heard.startswith("on three") or not is_clean(clean):
        return None
    if not isinstance(foot, Foot) or len(foot.value) != 1:
        return None
    return [turned(legs, Foot, value=tuple(one for one in ALL_FEET if one not in foot.value))]


def in_talk(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Nine dollars forty", "three more": no animal."""
    before = get(pieces, at - 1)
    if is_word(before, _NEXT) and pieces[at].heard in _FEW:
        return [silent(pieces[at])]  # "next two are eight twenty and eight twenty four"
    money = isinstance(before, Filler) and before.rule == "number in talk"
    if money and (animal := as_animal(pieces[at])) is not None:
        # "Two heifers, six eighty one and …", "twenty minutes, six seventeen"
        several = words_before(pieces, at, 1)[-1] in lexicon.numbers.several.words
        money = len(animal.value[0]) < BARE_ANIMAL_DIGITS and not several
    more = is_word(get(pieces, at + 1), _MORE) and not isinstance(before, AnimalSaid)
    words = set(words_before(pieces, at, _FAR))
    asked = {"how", "many"} <= words
    return [untaken(pieces[at])] if money or more or asked else None


def _but_one(pieces: Sequence[Piece], at: int) -> tuple[str, ...] | None:
    """ "On three feet, not the right front": the other three."""
    cue = get(pieces, past(pieces, at, LINKS))
    foot = next_to(pieces, past(pieces, at, LINKS))
    if not isinstance(cue, (No, Not)) or not isinstance(foot, Foot) or len(foot.value) != 1:
        return None
    return tuple(one for one in ALL_FEET if one not in foot.value)


def one_small(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Trimmed, one wee abscess": a count of lesions behind something that is no number."""
    piece = pieces[at]
    lesion = get(pieces, past(pieces, at + 1, (*LINKS, *_OF_A_LESION)))
    named = isinstance(
        get(pieces, back(pieces, at - 1, LINKS)), (AnimalSaid, Number, CorrectionCue, Scratch)
    ) or is_word(get(pieces, at - 1), _MAKE)  # "in two weeks, make that three, sole ulcer"
    if isinstance(next_to(pieces, at), FEET) and piece.heard == "one" and not named:
        return [silent(piece)] if seek(pieces, 0, (Lesion,), at) is not None else None
    single = isinstance(piece, Number) and piece.heard in ("one", "two", "three")
    return [silent(piece)] if single and not named and at and isinstance(lesion, Lesion) else None


def left_one(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Both hinds digi, left one m two": half a foot."""
    piece, side = pieces[at], get(pieces, at - 1)
    if piece.heard not in ("one", "un"):
        return None
    if isinstance(side, (HalfFoot, Stage, *_OF_A_LESION)):
        return [silent(piece)]  # "the left one", "a chronic one"
    if not is_side(side):
        return None
    if seek(pieces, 0, FEET, at) is None or side is None:
        return None
    heard = f"{side.heard} {piece.heard}"
    return [turned(piece, HalfFoot, value=side.heard, heard=heard, first=side.first)]


def one_of_them(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Fast with a plastic one", "the outer is the bad one": a word for what was named."""
    piece, before = pieces[at], get(pieces, at - 1)
    if piece.heard == "one" and is_word(before, _THIS) and is_word(get(pieces, at + 1), COPULAS):
        return [silent(piece)]  # "that one was a kicker"
    named = seek(pieces, 0, (AnimalSaid, Lesion, *FEET), at) is not None
    if piece.heard != "one" or not named or not isinstance(before, (Filler, Material)):
        return None
    if isinstance(before, Filler) and before.heard not in _POINTING:
        return None
    if isinstance(get(pieces, back(pieces, at - 1, (Filler,))), CorrectionCue):
        return None  # "grade two, call it a one"
    return [silent(piece)]


def interdigital(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Interdigital, big growth" says where the growth is."""
    piece = pieces[at]
    if piece.heard != "interdigital":
        return None
    other = past(pieces, at + 1, (*LINKS, *MODIFIERS))
    lesion = get(pieces, other)
    between = isinstance(lesion, Lesion) and lesion.value in _BETWEEN_CLAWS
    if any(is_word(one, frozenset({"and", "plus"})) for one in pieces[at:other]):
        return None
    return [silent(piece)] if between else None


def four_claws(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "All four claws on the fronts" are those of two feet."""
    piece, claws = pieces[at], get(pieces, at + 1)
    if piece.heard != "all four" or not is_word(claws, frozenset({"claws", "toes", "digits"})):
        return None
    pair = next_to(pieces, at + 1)
    two = isinstance(get(pieces, at + 2), On) and isinstance(pair, Foot) and len(pair.value) > 1
    return [silent(piece)] if two else None


def letter_behind(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Tag one b": the letter is part of the number."""
    animal, letter = pieces[at], get(pieces, at + 1)
    if not isinstance(animal, AnimalSaid) or not _is_letter(letter) or letter is None:
        return None
    values = (*(one + letter.heard.upper() for one in animal.value[:1]), *animal.value)
    heard = f"{animal.heard} {letter.heard}"
    return [replace(animal, value=values, heard=heard, last=letter.last)]


def of_tag(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """The letter of "tag one b"."""
    animal = get(pieces, at - 1)
    return [] if _is_letter(pieces[at]) and isinstance(animal, AnimalSaid) else None


def _is_letter(piece: Piece | None) -> bool:
    """ "b"; but "m" begins a stage."""
    single = isinstance(piece, Leftover) and len(piece.heard) == 1 and piece.heard.isalpha()
    return single and piece is not None and piece.heard != "m"


def a_digit_unread(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Cow two something" is not cow two."""
    piece = pieces[at]
    if not is_word(piece, _SOMETHING) or not isinstance(get(pieces, at - 1), (AnimalSaid, Number)):
        return None
    return [untaken(piece)]
