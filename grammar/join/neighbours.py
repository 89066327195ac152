"""Words that the piece next to them gives another meaning, before any correction.

"Trimmed, back in six months" is no "trimmed back"; "fronts done" is a trim; "cut it right back" names
no right hind.  Each rule looks at one kind of piece and says what stands in its place.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace

from grammar.join.cursor import back, get, past, seek
from grammar.join.feet import ALL_FEET
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    LINKS,
    MODIFIERS,
    ActionSaid,
    AnimalSaid,
    Course,
    Filler,
    FollowUpSaid,
    Foot,
    HalfFoot,
    Leftover,
    LeftUndone,
    Lesion,
    No,
    Not,
    Number,
    On,
    OtherClaw,
    OtherFeet,
    Past,
    Piece,
    Region,
    Severity,
    Stage,
    StatusSaid,
    TimeSaid,
    Tissue,
    Undone,
    is_side,
    turned,
)

__all__ = ["read_neighbours"]

_TRIM = "functional trim"
_COUNTED = frozenset({"feet", "legs"})
_ALL_BUT_ONE = 3
_COUNT_MAX = 4
_OF_A_LESION = (Severity, Tissue, Course)
_BACK = " back"
_OF_LONG = (*FEET, *CLAWS, Region)
"""What "long" alone is said of."""
_DRY = frozenset({"dry", "is dry"})
_WERE = frozenset({"was", "were", "been"})
_ARE = frozenset({"is", "are", "all", "both", "now", "have", "has", "got", *_WERE})
"""What may stand between a foot and "done"."""
_BETWEEN_CLAWS = frozenset({"interdigital hyperplasia", "interdigital phlegmon"})
_GOOD = frozenset({"good", "fine", "sound", "ok", "okay", "all good", "perfect"})
_WORN = frozenset({"block", "wrap", "bandage", "shoe"})
_DO = frozenset({"do", "did", "doing"})
_AWAY = frozenset({"away", "off", "out", "back", "free"})
_SOMETHING = frozenset({"something", "odd", "ish"})
_NOTHING_MUCH = frozenset({"nothing much", "nothing special", "nothing serious", "not much"})
_CUTS = (
    "cut",
    "pared",
    "trimmed",
    "took",
    "taken",
    "dug",
    "opened",
    "stripped",
    "peeled",
    "ground",
)
"""Verbs behind which "right back" says how far."""

Rule = Callable[[Sequence[Piece], int, Lexicon], list[Piece] | None]


def read_neighbours(pieces: Sequence[Piece], lexicon: Lexicon) -> list[Piece]:
    """Return the pieces with those changed that their neighbours tell apart."""
    result: list[Piece] = []
    for at, piece in enumerate(pieces):
        found = (rule(pieces, at, lexicon) for rule in _RULES.get(type(piece), ()))
        said = next((one for one in found if one is not None), [piece])
        if result and said[0].first < result[-1].last:
            result.pop()  # "left one" takes the "left" with it
        result += said
    return result


def _silent(piece: Piece) -> Piece:
    return turned(piece, Filler, value=piece.heard)


def _is_word(piece: Piece | None, words: frozenset[str]) -> bool:
    return isinstance(piece, Filler) and piece.heard in words


def _after(pieces: Sequence[Piece], at: int) -> Piece | None:
    """Return the next piece that is no link."""
    return get(pieces, past(pieces, at + 1, LINKS))


def _before(pieces: Sequence[Piece], at: int) -> Piece | None:
    return get(pieces, back(pieces, at - 1, LINKS))


# --- counts -----------------------------------------------------------------------------------


def _counted(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Three feet clean, right hind a bruise": a count is no animal; three feet are the rest."""
    piece = pieces[at]
    if not isinstance(piece, Number) or piece.quantity is None or piece.quantity > _COUNT_MAX:
        return None
    thing = get(pieces, at + 1)
    if _is_word(thing, _COUNTED):
        if isinstance(_after(pieces, at + 1), FEET):
            return [_silent(piece)]  # "warts on three feet, both rears and left front"
        if (others := _but_one(pieces, at + 2)) is not None:
            return [turned(piece, Foot, value=others)]
        if piece.quantity == _ALL_BUT_ONE and seek(pieces, 0, FEET) is not None:
            return [turned(piece, OtherFeet, value="rest")]
        return [turned(piece, Leftover, value=piece.heard, rule="")]
    return None


def _but_one(pieces: Sequence[Piece], at: int) -> tuple[str, ...] | None:
    """ "On three feet, not the right front": the other three."""
    cue = get(pieces, past(pieces, at, LINKS))
    foot = _after(pieces, past(pieces, at, LINKS))
    if not isinstance(cue, (No, Not)) or not isinstance(foot, Foot) or len(foot.value) != 1:
        return None
    return tuple(one for one in ALL_FEET if one not in foot.value)


def _one_small(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Trimmed, one wee abscess": a count of lesions behind something that is no number."""
    piece = pieces[at]
    lesion = get(pieces, past(pieces, at + 1, (*LINKS, *_OF_A_LESION)))
    named = isinstance(get(pieces, back(pieces, at - 1, LINKS)), (AnimalSaid, Number))
    if isinstance(_after(pieces, at), FEET) and piece.heard == "one" and not named:
        return [_silent(piece)] if seek(pieces, 0, (Lesion,), at) is not None else None
    single = isinstance(piece, Number) and piece.heard in ("one", "two", "three")
    return [_silent(piece)] if single and not named and at and isinstance(lesion, Lesion) else None


def _left_one(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Both hinds digi, left one m two": half a foot."""
    piece, side = pieces[at], get(pieces, at - 1)
    if not isinstance(piece, Number) or piece.heard != "one":
        return None
    if isinstance(side, (HalfFoot, Stage, *_OF_A_LESION)):
        return [_silent(piece)]  # "the left one", "a chronic one"
    if not is_side(side):
        return None
    if seek(pieces, 0, FEET, at) is None or side is None:
        return None
    heard = f"{side.heard} one"
    return [turned(piece, HalfFoot, value=side.heard, heard=heard, first=side.first)]


def _interdigital(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Interdigital, big growth" says where the growth is."""
    piece = pieces[at]
    if piece.heard != "interdigital":
        return None
    other = past(pieces, at + 1, (*LINKS, *MODIFIERS))
    lesion = get(pieces, other)
    between = isinstance(lesion, Lesion) and lesion.value in _BETWEEN_CLAWS
    if any(_is_word(one, frozenset({"and", "plus"})) for one in pieces[at:other]):
        return None
    return [_silent(piece)] if between else None


def _four_claws(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "All four claws on the fronts" are those of two feet."""
    piece, claws = pieces[at], get(pieces, at + 1)
    if piece.heard != "all four" or not _is_word(claws, frozenset({"claws", "toes", "digits"})):
        return None
    pair = _after(pieces, at + 1)
    two = isinstance(get(pieces, at + 2), On) and isinstance(pair, Foot) and len(pair.value) > 1
    return [_silent(piece)] if two else None


# --- deeds ------------------------------------------------------------------------------------


def _without_back(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Trimmed back in six months" is a trim, and back then."""
    piece = pieces[at]
    if not isinstance(piece, ActionSaid) or not piece.heard.endswith(_BACK):
        return None
    term = lexicon.terms.get(piece.heard.removesuffix(_BACK))
    if not isinstance(_after(pieces, at), TimeSaid) or term is None or term.tag != "ACTION":
        return None
    deed = replace(piece, value=str(term.value), heard=term.phrase, last=piece.last - 1)
    due = {"heard": "back", "first": piece.last - 1, "only_dated": True}
    return [deed, turned(piece, FollowUpSaid, value="look again", **due)]


def _feet_done(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Got the fronts done" is a trim; "hinds were done in march" was one."""
    piece = pieces[at]
    if not _is_word(piece, frozenset({"done"})):
        return None
    foot = at - 1
    while _is_word(get(pieces, foot), _ARE):
        foot -= 1
    if not isinstance(get(pieces, foot), FEET):
        return None
    were = any(_is_word(one, _WERE) for one in pieces[foot + 1 : at])
    if were and isinstance(_after(pieces, at), (TimeSaid, Past)):
        return [turned(piece, LeftUndone, value=piece.heard)]
    return [turned(piece, ActionSaid, value=_TRIM)]


def _did_feet(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Did the fronts" is a trim; "couldn't do the hinds" is none."""
    piece, foot = pieces[at], past(pieces, at + 1, LINKS)
    told = _is_word(piece, _DO) or (isinstance(piece, Leftover) and piece.heard in _DO)
    if not told or not isinstance(get(pieces, foot), FEET):
        return None
    said_of = isinstance(_after(pieces, foot), (Lesion, ActionSaid, Stage, *CLAWS))
    return None if said_of else [turned(piece, ActionSaid, value=_TRIM)]


def _cut_away(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Cut the tyloma away" is one deed around what it was done to."""
    piece, lesion = pieces[at], past(pieces, at + 1, (Filler,))
    away = get(pieces, lesion + 1)
    if piece.heard != "cut" or not isinstance(get(pieces, lesion), FINDINGS):
        return None
    if not _is_word(away, _AWAY):
        return None
    return [turned(piece, ActionSaid, value="therapeutic trim", on_lesion=True)]


def _a_digit_unread(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Cow two something" is not cow two."""
    piece = pieces[at]
    if not _is_word(piece, _SOMETHING) or not isinstance(get(pieces, at - 1), (AnimalSaid, Number)):
        return None
    return [turned(piece, Leftover, value=piece.heard, rule="")]


# --- sites ------------------------------------------------------------------------------------


def _right_back(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Cut it right back" says how far, where no more is said of a right hind."""
    piece = pieces[at]
    if piece.heard not in ("right back", "left back"):
        return None
    start = back(pieces, at - 1, (Filler, ActionSaid)) + 1
    said = " ".join(one.heard for one in pieces[start:at]).split()
    cuts = not {*_CUTS}.isdisjoint(said)
    more = isinstance(_after(pieces, at), (*FINDINGS, *CLAWS, *_OF_A_LESION, Stage))
    return [_silent(piece)] if cuts and not more else None


def _left_on_claw(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Both hinds ulcer, left on the outer" leaves nothing on."""
    piece = pieces[at]
    if piece.heard != "left on" or not isinstance(_after(pieces, at), CLAWS):
        return None
    middle = piece.last - 1
    return [
        turned(piece, Filler, value="left", heard="left", last=middle),
        turned(piece, On, value="on", heard="on", first=middle),
    ]


def _nothing_much(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Nothing much on the fronts" is said of those feet alone."""
    piece, link = pieces[at], get(pieces, at + 1)
    if not _is_word(piece, _NOTHING_MUCH) or not isinstance(link, (On, Filler)):
        return None
    on = link.heard.split()[0] in ("on", "in", "with")
    feet = on and isinstance(_after(pieces, at), FEET)
    return [turned(piece, Lesion, value="no lesion")] if feet else None


def _still_good(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Block good": the old one still serves, and says of no foot that it is clean."""
    piece, deed = pieces[at], _before(pieces, at)
    clean = isinstance(piece, Lesion) and piece.value == "no lesion" and piece.heard in _GOOD
    named = isinstance(deed, ActionSaid) and deed.heard in _WORN
    return [turned(piece, LeftUndone, value=piece.heard)] if clean and named else None


# --- states -----------------------------------------------------------------------------------


def _bad_one(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Now the back left, that's the bad one": of the foot, and no claw."""
    piece, article = pieces[at], get(pieces, at - 1)
    if not piece.heard.endswith(" one") or not _is_word(article, frozenset({"the", "a"})):
        return None
    tells = _is_word(get(pieces, at - 2), frozenset({"that's", "it's", "is", "this is"}))
    return [_silent(piece)] if tells else None


def _long(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Long" alone is overgrown only beside a foot or claw."""
    piece = pieces[at]
    of = isinstance(_before(pieces, at), _OF_LONG) or isinstance(_after(pieces, at), FEET)
    return [_silent(piece)] if piece.heard == "long" and not of else None


def _should_be_fine(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Shallow white line, pared away, should be fine" finds no clean foot."""
    piece, cue = pieces[at], _before(pieces, at)
    if not isinstance(piece, Lesion) or piece.value != "no lesion":
        return None
    hoped = isinstance(cue, Undone) and cue.heard.endswith("be")
    lesion = any(isinstance(one, Lesion) and one.value != "no lesion" for one in pieces[:at])
    return [_silent(piece)] if hoped and lesion else None


def _dry(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Underneath is hard and dry" is no dry cow."""
    piece, before = pieces[at], _before(pieces, at)
    link = get(pieces, at - 1)
    if piece.heard not in _DRY or before is None or isinstance(before, (AnimalSaid, StatusSaid)):
        return None
    if _is_word(link, frozenset({"she", "she's", "cow"})):
        return None
    if seek(pieces, 0, (Lesion,), at) is not None:
        return [turned(piece, Tissue, value="dry")]
    return [_silent(piece)]


_RULES: dict[type[Piece], tuple[Rule, ...]] = {
    ActionSaid: (_without_back,),
    Filler: (_feet_done, _did_feet, _nothing_much, _a_digit_unread),
    Foot: (
        _four_claws,
        _right_back,
    ),
    Leftover: (_did_feet, _cut_away),
    LeftUndone: (_left_on_claw,),
    Lesion: (_long, _should_be_fine, _interdigital, _still_good),
    OtherClaw: (_bad_one,),
    Number: (_counted, _left_one, _one_small),
    StatusSaid: (_dry,),
}
