"""Words that the word beside them shows to be of something else: "from that new concrete", "all round the heel"."""

from collections.abc import Sequence

from grammar.join.cursor import get, past, seek
from grammar.join.near import is_word, silent, untaken
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    SIDES,
    ActionSaid,
    AnimalSaid,
    Course,
    Filler,
    Foot,
    Leftover,
    Not,
    Number,
    On,
    OtherFeet,
    Past,
    Piece,
    Region,
    Severity,
    StatusSaid,
    Tissue,
    is_side,
    turned,
)

__all__ = [
    "BEHIND_IT",
    "WAS_NOT",
    "behind_it",
    "gets_done",
    "lame_one",
    "named_behind",
    "of_deed",
    "of_surroundings",
    "round_place",
    "was_not",
]

WAS_NOT = frozenset({"wasn't", "weren't"})

_STATES = (Severity, Course, Tissue)
BEHIND_IT = frozenset({"behind it"})
_FROM = frozenset({"from"})
_NUMBERS = (Number, AnimalSaid)
_ARTICLES = frozenset({"a", "the", "this", "that"})
_ROUND = ("all round", "all around")
_HOW_MUCH = frozenset({"a bit", "a little", "a wee bit", "a touch", "a little bit"})


def of_surroundings(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "From that new concrete", "a rough calving": of what stands behind it, and of no lesion."""
    noun = get(pieces, at + 1)
    beside = isinstance(noun, (Filler, Leftover)) and noun.first == pieces[at].last
    around = beside and noun is not None and noun.heard in lexicon.compared.surroundings
    return [silent(pieces[at])] if around else None


def of_deed(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Filed it a little" says how much was done, and not how bad it is."""
    deed = at - 1
    while isinstance(get(pieces, deed), Filler) and pieces[deed].heard in ("it", "her", "them"):
        deed -= 1
    worked = isinstance(get(pieces, deed), ActionSaid) and pieces[at].heard in _HOW_MUCH
    return [silent(pieces[at])] if worked and not _tells_of(pieces, at + 1) else None


def _tells_of(pieces: Sequence[Piece], at: int) -> bool:
    """Whether a lesion follows: "trimmed, a bit of heel erosion"."""
    return isinstance(get(pieces, past(pieces, at, (Filler, *_STATES))), FINDINGS)


def was_not(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "She wasn't lame", "wasn't bandaged": denied, where no other time is told."""
    if pieces[at].heard not in WAS_NOT:
        return None
    said, then = get(pieces, at + 1), get(pieces, at + 2)
    of_her = isinstance(said, StatusSaid) and said.opposite is not None
    if not (of_her or isinstance(said, (ActionSaid, *_STATES))) or isinstance(then, Past):
        return None
    return [turned(pieces[at], Not, value="not", rule="not: not")]


def round_place(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Warts all round the heel, back right": how far it reaches, and not all four feet."""
    if pieces[at].heard not in _ROUND:
        return None
    place = get(pieces, past(pieces, at + 1, (Filler,)))
    return [silent(pieces[at])] if isinstance(place, Region) and place is not pieces[at] else None


def gets_done(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """The "get it" of "couldn't get it wrapped": the deed is what follows, and nothing is due."""
    deed = get(pieces, at + 1)
    told = isinstance(deed, ActionSaid) and deed.heard.split()[0].endswith("ed")
    return [silent(pieces[at])] if told and pieces[at].heard.startswith("get ") else None


def named_behind(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Ulcer and digi, same foot, left hind": the foot is the one named behind."""
    piece = pieces[at]
    if not isinstance(piece, OtherFeet) or piece.value != "same":
        return None
    behind = isinstance(get(pieces, at + 1), Foot)
    return [silent(piece)] if behind and seek(pieces, 0, FEET, at) is None else None


def behind_it(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Block is off from left behind, it is healed": a foot, and then a sentence of its own."""
    piece, side, lead = pieces[at], get(pieces, at - 1), get(pieces, at - 2)
    if side is None or not is_side(side) or not (isinstance(lead, On) or is_word(lead, _FROM)):
        return None
    value = (SIDES[side.heard] + "H",)
    heard, end = f"{side.heard} {piece.heard}".removesuffix(" it"), piece.last - 1
    foot = turned(piece, Foot, value=value, heard=heard, first=side.first, last=end, rule="foot")
    return [foot, turned(piece, Filler, value="it", heard="it", first=end)]


def lame_one(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "One three oh, lame one, left hind": before any foot it is the cow, or how she walks."""
    piece = pieces[at]
    if piece.heard != "lame one" or seek(pieces, 0, (*FEET, *CLAWS), at) is not None:
        return None
    lame = turned(piece, StatusSaid, value="lame", heard="lame", last=piece.first + 1)
    one = turned(piece, Filler, value="one", heard="one", first=piece.first + 1)
    cow = is_word(get(pieces, at - 1), _ARTICLES) or isinstance(get(pieces, at + 1), _NUMBERS)
    return [lame, one if cow else untaken(one)]
