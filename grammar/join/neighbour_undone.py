"""Little words beside a deed that say it was not done: "I left the wrap", "but not wrapped", "left unwrapped"."""

from collections.abc import Sequence
from dataclasses import replace

from grammar.join.cursor import back, find_back, get, past
from grammar.join.near import COMES_OFF, is_word, silent, words_before
from grammar.join.neighbour_deeds import kept_on
from grammar.join.replacing import same_kinds
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    CLAWS,
    DEEDS,
    FEET,
    FINDINGS,
    LINKS,
    MODIFIERS,
    ActionSaid,
    AnimalSaid,
    CorrectionCue,
    Except,
    Filler,
    Foot,
    HalfFoot,
    Leftover,
    Lesion,
    Material,
    No,
    Not,
    NotNeeded,
    Number,
    Piece,
    Stage,
    Undone,
    Zone,
    is_clean,
    is_side,
    turned,
)

__all__ = [
    "HANG_ON",
    "LEFT",
    "ONLY",
    "but_i_did_not",
    "but_not_done",
    "for_such_feet",
    "hang_on",
    "left_deed",
    "left_off",
    "no_hang_on",
    "not_got",
    "not_sprayed",
    "not_that_foot",
    "nothing_done",
    "only_one",
    "unwrapped",
]

LEFT = frozenset({"left"})
_WHO = frozenset(
    {"i", "we", "i've", "we've", "i'd", "just", "he", "they", "and", "so", "but", "then"}
)
_LED = frozenset({"the", "her", "it", "that", "a", "his"})
_UN = ("unwrapped", "unbandaged", "unblocked")
_LEAVES = frozenset(
    {"left", "leave", "leaving", "keep", "kept", "stays", "stay", "goes", "go", "went", "going"}
)
_WITH = frozenset({"with", "and", "then"})
_FOR = frozenset({"for", "for the"})
_DID_NOT = frozenset({"didn't", "not", "never", "don't", "couldn't", "haven't"})
_HER = frozenset({"it", "her", "them", "that", "this"})
_NOT = frozenset({"not", "not the"})
_NOTHING = frozenset({"nothing", "nothing was", "nothing got"})
HANG_ON = frozenset(
    {"hang on", "hold on", "hang on a minute", "hang on a second", "hang about", "hold on now"}
)
ONLY = frozenset({"only", "just", "well only", "well just"})
_COPULAS = frozenset({"that's", "it's", "that", "was", "is", "the", "that is", "it is", "no"})
_SITES = (*FEET, *CLAWS, Zone)
_BUT_I = (["but", "i"], ["and", "i"], ["but", "we"])


def left_deed(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "No, I left the wrap": it was not put on; but "left the wrap on" leaves the old one."""
    cue, deed = pieces[at], past(pieces, at + 1, (Filler,))
    piece = get(pieces, deed)
    led = deed > at + 1 and all(is_word(one, _LED) for one in pieces[at + 1 : deed])
    if not isinstance(piece, ActionSaid) or not led or not _is_told(pieces, at):
        return None
    worn = piece.value in COMES_OFF and " on" not in piece.heard
    if not (worn or _is_off(piece)) or kept_on(pieces, deed, lexicon) is not None:
        return None
    return [turned(cue, Undone, value="undone", heard="didn't")]


def left_off(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "I left the block off": what was not done is the block."""
    piece = pieces[at]
    if not isinstance(piece, ActionSaid) or not _is_off(piece):
        return None
    verb = at - 1
    while is_word(get(pieces, verb), _LED):
        verb -= 1
    left = verb < at - 1 and is_word(get(pieces, verb), LEFT) and _is_told(pieces, verb)
    return (
        [replace(piece, value=piece.value.removesuffix(" removed"), if_dated=None)]
        if left
        else None
    )


def _is_told(pieces: Sequence[Piece], left: int) -> bool:
    """Whether "left" is what somebody did: "i left the", or one foot has been named already."""
    if is_word(get(pieces, left - 1), _WHO):
        return True
    foot = find_back(pieces, left - 1, FEET)
    one = pieces[foot] if foot is not None else None
    return isinstance(one, Foot) and len(one.value) == 1 and foot != left - 1


def _is_off(piece: ActionSaid) -> bool:
    """ "Block off" said alone, and no "took the block off"."""
    kind = piece.value.removesuffix(" removed")
    return kind in COMES_OFF and kind != piece.value and len(piece.heard.split()) == 2


def unwrapped(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Left it unwrapped": no wrap was put on, and none came off."""
    piece = pieces[at]
    if not isinstance(piece, ActionSaid) or not piece.heard.startswith(_UN):
        return None
    if _LEAVES.isdisjoint(words_before(pieces, at, 3)):
        return None
    kind = piece.value.removesuffix(" removed")
    no = turned(piece, Not, value="not", contrasts=False, last=piece.first)
    return [no, replace(piece, value=kind, if_dated=None)]


def but_not_done(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Treated but not wrapped" excepts no foot."""
    denied = isinstance(get(pieces, at + 1), (*DEEDS, Material))
    return (
        [turned(pieces[at], Not, value="not")] if pieces[at].heard == "but not" and denied else None
    )


def but_i_did_not(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "I said blocked, left hind, but I didn't": the deed told before was not done."""
    said = words_before(pieces, at, 2)
    ends = isinstance(get(pieces, at + 1), (AnimalSaid, Number, type(None)))
    told = find_back(pieces, at - 1, (ActionSaid,)) is not None
    if not ends or not told or said[-2:] not in _BUT_I:
        return None
    return [turned(pieces[at], NotNeeded, value="not needed", heard="not done")]


def not_that_foot(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Trimmed all four, well, not the left front": that one is left out of them."""
    place = past(pieces, at + 1, (Filler,))
    one, last = get(pieces, place), find_back(pieces, at - 1, FEET)
    several = pieces[last] if last is not None else None
    if not isinstance(one, Foot) or not isinstance(several, Foot) or pieces[at].heard not in _NOT:
        return None
    after = get(pieces, past(pieces, place + 1, LINKS))
    deed = any(isinstance(said, ActionSaid) for said in pieces[:at])
    if not deed or not set(one.value) < set(several.value) or place > at + 2:
        return None
    if isinstance(after, (*FEET, *FINDINGS, *MODIFIERS, *CLAWS, *DEEDS)):
        return None
    return [turned(pieces[at], Except, value="except", heard="except")]


def not_got(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Didn't get the left front done, other three trimmed": that foot is left out."""
    words, cue = lexicon.denials, pieces[at]
    then = get(pieces, past(pieces, at + 1, FEET))
    out = isinstance(get(pieces, at + 1), FEET) and cue.heard.startswith(words.gets)
    up = isinstance(then, (Filler, Leftover)) and then.heard in words.got
    return [turned(cue, Undone, value="undone", passes_over=True)] if out and up else None


def not_sprayed(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Didn't spray it, wrapped it": what is denied is the deed."""
    piece, cue, after = pieces[at], get(pieces, at - 1), get(pieces, at + 1)
    denied = isinstance(cue, (Not, Undone)) and cue.heard.split()[-1] in _DID_NOT
    if not denied or not (after is None or is_word(after, _HER)) or " " in piece.heard:
        return None
    return [turned(piece, ActionSaid, value=piece.of)] if isinstance(piece, Material) else None


def nothing_done(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Nothing wrapped" finds no clean foot."""
    deed = get(pieces, at + 1)
    if not isinstance(deed, ActionSaid) or not deed.heard.endswith("ed"):
        return None
    if not is_clean(pieces[at]):
        return None
    found = any(isinstance(one, FINDINGS) and not is_clean(one) for one in pieces[:at])
    before = get(pieces, at - 1)
    with_it = before is not None and before.heard in _WITH
    sited = with_it or isinstance(before, (*FEET, *CLAWS))
    ends = isinstance(get(pieces, at + 2), (Number, AnimalSaid, type(None)))
    if deed.value == "functional trim" and (sited or not (found and ends)):
        return None  # "nothing, trimmed"; but "toe ulcer right hind, nothing trimmed"
    if pieces[at].heard not in _NOTHING:
        return None
    return [turned(pieces[at], Not, value="not", contrasts=False)]


def for_such_feet(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Ulcer right front, no blocks for fronts, relieved it": told of all fronts, and of none today."""
    foot, deed = pieces[at], back(pieces, at - 1, (Filler,))
    led = any(is_word(one, _FOR) for one in pieces[deed + 1 : at])
    no = isinstance(get(pieces, back(pieces, deed - 1, (Material,))), (No, Not))
    several = isinstance(foot, Foot) and len(foot.value) > 1
    if not (led and no and several) or not isinstance(get(pieces, deed), DEEDS):
        return None
    return [silent(foot)] if any(isinstance(one, FEET) for one in pieces[:deed]) else None


def only_one(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Both hinds dermatitis, well, only the left": of the two feet, the one said last."""
    place = past(pieces, at + 1, (Filler,))
    one, before = get(pieces, place), back(pieces, at - 1, (Filler,))
    foot = find_back(pieces, at - 1, FEET)
    several = pieces[foot] if foot is not None else None
    ends = past(pieces, place + 1, LINKS) == len(pieces)
    if not ends or not isinstance(one, (Foot, HalfFoot)) or not isinstance(several, Foot):
        return None
    if len(several.value) < 2 or (isinstance(one, Foot) and len(one.value) > 1):
        return None
    well = is_word(get(pieces, at - 1), frozenset({"well"}))
    if not well and not isinstance(get(pieces, before), (Lesion, Stage, Foot, Not)):
        return None  # "sprayed the hinds, wrapped only the right"
    return [turned(pieces[at], CorrectionCue, value="correction")]


def no_hang_on(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Block inner, no, hang on, ulcer's inner": puts right what follows, and denies nothing."""
    if not is_word(get(pieces, at + 1), HANG_ON):
        return None
    return [turned(pieces[at], CorrectionCue, value="correction", restates=True)]


def hang_on(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Left hind, hang on, that's the right": puts a site right that was said before.

    Without a "that's" only where nothing is told of the new one: "clean, hang on, right hind ulcer".
    """
    place = at + 1
    while is_word(one := get(pieces, place), _COPULAS) and not is_side(one):
        place += 1
    new, copula = get(pieces, place), place > at + 1
    kinds = (*_SITES, Stage, Lesion) if copula else _SITES
    if isinstance(get(pieces, at - 1), AnimalSaid):
        kinds = (*kinds, AnimalSaid, Number)  # "cow four six two, hold on, four six three"
    if not (isinstance(new, kinds) or is_side(new)) or is_clean(new) or new is None:
        return None
    if find_back(pieces, at - 1, same_kinds(new)) is None:
        return None
    end = past(pieces, place, (*_SITES, Filler))
    if not copula and isinstance(get(pieces, end), (*FINDINGS, *MODIFIERS, *DEEDS)):
        return None
    return [turned(pieces[at], CorrectionCue, value="correction", restates=True)]
