"""What she wears, and on which foot a thing is put: "medial block worn thin", "spray only on the M two"."""

from collections.abc import Sequence
from dataclasses import replace

from grammar.join.cursor import back, find_back, get
from grammar.join.near import is_word, just_before, next_to, silent, words_before
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    LINKS,
    ActionSaid,
    Again,
    AnimalSaid,
    Claw,
    Filler,
    Foot,
    LeftUndone,
    Number,
    On,
    OtherFeet,
    Piece,
    Stage,
    StatusSaid,
    Undone,
    turned,
    value_of,
)

__all__ = [
    "both_of_two",
    "claw_of_worn",
    "farm_bath",
    "loose_then_block",
    "off_hers",
    "that_stage",
]

_WAS = frozenset({"was", "were", "is", "all", "that was"})
_WORN = frozenset({"block", "wrap"})
_OFF = frozenset({"off", "took off", "knocked off"})
_BATHS = frozenset({"footbath", "foot bath", "lime bath"})
_THROUGH = frozenset({"in", "into", "through"})
_BOTH = frozenset({"both"})


def loose_then_block(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Took off everything that was loose, block inner": the block is put on."""
    piece = pieces[at]
    loose, thing = piece.heard.split()[0], piece.heard.split()[-1]
    if loose != "loose" or thing != "block" or not is_word(get(pieces, at - 1), _WAS):
        return None
    word = turned(piece, Filler, value=loose, heard=loose, last=piece.first + 1)
    return [word, turned(piece, ActionSaid, value=thing, heard=thing, first=piece.first + 1)]


def claw_of_worn(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Right hind medial block worn thin, ulcer half healed": the claw of the block, and of no lesion."""
    status = next_to(pieces, at)
    worn = isinstance(status, StatusSaid) and not _WORN.isdisjoint(status.value.split())
    of_lesion = isinstance(get(pieces, back(pieces, at - 1, (Filler,))), On)  # "ulcer on the outer"
    return [silent(pieces[at])] if worn and not of_lesion else None


def off_hers(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Knocked off 2121's block": it came off her, and none was put on."""
    thing = pieces[at]
    numbered = isinstance(get(pieces, at - 1), (Number, AnimalSaid))
    if not numbered or value_of(thing) not in _WORN or not is_word(get(pieces, at - 2), _OFF):
        return None
    return [turned(thing, ActionSaid, value=f"{value_of(thing)} removed")]


def that_stage(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Left hind M two, right hind M four, spray only on the M two": the foot that has it."""
    stage, the, on = pieces[at], get(pieces, at - 1), get(pieces, at - 2)
    if not isinstance(stage, Stage) or not isinstance(on, On) or the is None or the.heard != "the":
        return None
    same = [
        i
        for i, one in enumerate(pieces[:at])
        if isinstance(one, Stage) and one.value == stage.value
    ]
    foot = find_back(pieces, same[0], (Foot,)) if len(same) == 1 else None
    return [turned(stage, Foot, value=value_of(pieces[foot]))] if foot is not None else None


def both_of_two(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Ulcer left hind outer, same on the right, blocks on both, inner": of the two feet."""
    claw, both = pieces[at], get(pieces, at - 1)
    if not isinstance(claw, Claw) or not is_word(both, _BOTH) or claw.of_both_feet:
        return None
    deed = isinstance(get(pieces, back(pieces, at - 1, LINKS)), ActionSaid)
    again = any(isinstance(one, (Again, OtherFeet)) for one in pieces[:at])
    return [replace(claw, of_both_feet=True)] if deed and again else None


def farm_bath(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Footbath her regular", "footbath advised": what the farm does; a deed only in words for doing it."""
    bath = pieces[at].heard in _BATHS
    told = isinstance(just_before(pieces, at), Undone) or isinstance(
        next_to(pieces, at), LeftUndone
    )
    done = told or not _THROUGH.isdisjoint(words_before(pieces, at, 2))
    return [turned(pieces[at], StatusSaid, value=pieces[at].heard)] if bath and not done else None
