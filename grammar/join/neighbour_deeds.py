"""Deeds told by the words next to them: "fronts done", "cut the tyloma away", "put on today"."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from grammar.join.cursor import back, find_back, get, past, seek
from grammar.join.feet import ALL_FEET
from grammar.join.near import COMES_OFF, is_word, just_before, next_to, silent, words_before
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    CLAWS,
    FEET,
    LINKS,
    ActionSaid,
    Dangling,
    Except,
    Filler,
    FollowUpSaid,
    Foot,
    Leftover,
    LeftUndone,
    Lesion,
    Material,
    MeasureSaid,
    Not,
    Number,
    On,
    OtherClaw,
    Others,
    Past,
    Piece,
    Stage,
    StatusSaid,
    TimeSaid,
    Undone,
    is_clean,
    turned,
)

__all__ = [
    "DO",
    "MINE",
    "ONES",
    "WANTED",
    "WORKS",
    "another_of_kind",
    "another_one",
    "did_feet",
    "dished",
    "do_later",
    "feet_done",
    "kept_on",
    "leave_on",
    "mine",
    "of_business",
    "put_back",
    "still_good",
    "the_other",
    "three_feet",
    "today",
    "vet_says",
    "wanted_doing",
    "without_back",
    "worked_on",
    "wrapped_and_off",
]

_TRIM = "functional trim"
_BACK = " back"
_OFF = " off"
_OFF_WORD = frozenset({"off"})
_TODAY = frozenset({"today", "this morning", "this afternoon", "just now", "now"})
_PUT = frozenset({"put", "went", "stuck", "glued", "fitted", "applied", "goes", "going"})
_TOOK = frozenset({"took", "taken", "take", "pulled"})
MINE = frozenset({"mine", "own", "his", "hers", "theirs"})
_BUSINESS = frozenset({"price", "prices", "cost", "costs", "buy", "sell"})
_NEAR = 4
_ALL = frozenset({"all", "everything", "them", "the lot", "every"})
_KEEP = frozenset({"kept", "keep", "keeping", "left", "leave", "leaving"})
_TILL = frozenset({"till", "until", "for", "another"})
_AND = frozenset({"and", "plus"})
_BOTH = frozenset({"both"})
ONES = frozenset({"one", "un"})
_PUT_ON = (Material, ActionSaid)
_WERE = frozenset({"was", "were", "been"})
_ARE = frozenset({"is", "are", "all", "both", "now", "have", "has", "got", *_WERE})
"""What may stand between a foot and "done"."""
_GOOD = frozenset({"good", "fine", "sound", "ok", "okay", "all good", "perfect"})
_WORN = frozenset({"block", "wrap", "bandage", "shoe"})
_OTHER = frozenset({"other"})
_NEW_ONE = frozenset({"one", "un", "another"})
_WRAPS = frozenset(
    {"wrap", "bandage", "bandaged", "dressing", "plaster", "wraps", "bandages", "wrapped"}
)
_WORN_WORDS = _WRAPS | {"block", "shoe", "blocks", "shoes", "blocked"}
DO = frozenset({"do", "did", "doing"})
WORKS = frozenset(
    {"took", "brought", "cut", "ground", "rasped", "nipped", "dropped", "made", "set"}
)
_HER = frozenset({"her", "it", "them", "him", "those", "these"})
_SAYS = frozenset(
    {
        "says",
        "said",
        "thinks",
        "thought",
        "reckons",
        "reckoned",
        "told",
        "wants",
        "gave",
        "given",
        "lifted",
        "injected",
        "jabbed",
        "treated",
        "took",
        "was",
    }
)
_FEET = frozenset({"feet", "legs", "hooves"})
WANTED = frozenset({"wanted", "wants", "want"})
_DOWN = frozenset({"down", "back", "short", "shorter", "lower", "level", "flat", "even"})
_RIGHT = frozenset({"right", "a bit", "both", "all", "well", "claws", "claw", "toes", "toe"})
_LED = frozenset({"the", "her", "both", "all"})


def without_back(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Trimmed back in six months" is a trim, and back then."""
    piece = pieces[at]
    if not isinstance(piece, ActionSaid) or not piece.heard.endswith(_BACK):
        return None
    term = lexicon.terms.get(piece.heard.removesuffix(_BACK))
    if not isinstance(next_to(pieces, at), TimeSaid) or term is None or term.tag != "ACTION":
        return None
    deed = replace(piece, value=str(term.value), heard=term.phrase, last=piece.last - 1)
    due = {"heard": "back", "first": piece.last - 1, "only_dated": True}
    return [deed, turned(piece, FollowUpSaid, value="look again", **due)]


def feet_done(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Got the fronts done" is a trim; "hinds were done in march" was one."""
    piece = pieces[at]
    if not is_word(piece, frozenset({"done"})):
        return None
    foot = at - 1
    if is_word(get(pieces, at + 1), frozenset({"that"})):
        return None  # "needs her wrap off left hind, done that"
    if _both_done(pieces, at):
        return [turned(piece, ActionSaid, value=_TRIM)]
    while is_word(get(pieces, foot), _ARE):
        foot -= 1
    if not isinstance(get(pieces, foot), FEET):
        return None
    if isinstance(get(pieces, foot - 1), (Not, Undone)):  # "didn't get the left front done"
        return [turned(piece, LeftUndone, value="left undone", heard="not done")]
    were = any(is_word(one, _WERE) for one in pieces[foot + 1 : at])
    if were and isinstance(next_to(pieces, at), (TimeSaid, Past)):
        return [turned(piece, LeftUndone, value=piece.heard)]
    return [turned(piece, ActionSaid, value=_TRIM)]


def _both_done(pieces: Sequence[Piece], at: int) -> bool:
    """ "Fronts long, both done": the feet that were named."""
    feet = find_back(pieces, at - 1, FEET) if is_word(get(pieces, at - 1), _BOTH) else None
    pair = pieces[feet] if feet is not None else None
    deed = find_back(pieces, at - 1, (ActionSaid, Not, Undone))
    return isinstance(pair, Foot) and len(pair.value) == 2 and (deed is None or deed < (feet or 0))


def did_feet(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Did the fronts" is a trim; "couldn't do the hinds" is none."""
    piece, foot = pieces[at], past(pieces, at + 1, LINKS)
    told = is_word(piece, DO) or (isinstance(piece, Leftover) and piece.heard in DO)
    if told and isinstance(get(pieces, foot), Except) and is_word(get(pieces, at + 1), _ALL):
        return [turned(piece, ActionSaid, value=_TRIM, heard="did all")]
    left = get(pieces, foot)
    if told and isinstance(left, LeftUndone) and left.heard == "left on":
        dated = isinstance(next_to(pieces, foot), TimeSaid)  # "did the left on monday"
        return [turned(piece, ActionSaid, value=_TRIM)] if dated else None
    if not told or not isinstance(left, FEET):
        return None
    so = [one.heard for one in pieces[max(0, at - 2) : at]] == ["so", "i"]
    if so and foot == at + 1 and not pieces[foot].heard.startswith(("the", "both")):
        return None  # "said leave it on, so i did, left hind"
    after = next_to(pieces, foot)
    said_of = isinstance(after, (Lesion, ActionSaid, Stage, *CLAWS)) and not is_clean(after)
    if isinstance(after, Lesion):
        lesion = past(pieces, foot + 1, LINKS)
        several = isinstance(done := pieces[foot], Foot) and len(done.value) > 1
        joined = several or isinstance(get(pieces, lesion + 1), On)
        said_of = said_of and not (joined and isinstance(next_to(pieces, lesion), FEET))
        # "did the fronts, wart on the left front", "did all four, bruise left hind"
    return None if said_of else [turned(piece, ActionSaid, value=_TRIM)]


def do_later(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Didn't trim her, do her in a month", "do it next time": a trim that is due."""
    time = get(pieces, at + 2)
    if pieces[at].heard != "do" or not is_word(get(pieces, at + 1), _HER):
        return None
    if not isinstance(time, TimeSaid) or time.value.in_days == 0:
        return None
    last = find_back(pieces, at - 1, (ActionSaid,))
    deed = pieces[last] if last is not None else None
    due = any(isinstance(one, Undone) for one in pieces[:at])
    if due and isinstance(deed, ActionSaid) and deed.value in COMES_OFF:
        return None  # "needs a block, ran out of glue, do it tomorrow"
    return [turned(pieces[at], FollowUpSaid, value="trim")]


def worked_on(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Took the outers down", "brought the left hind back": a trim around what was trimmed."""
    first = get(pieces, at + 1)
    off = isinstance(first, MeasureSaid) and is_word(get(pieces, at + 2), _OFF_WORD)
    all_cut = isinstance(first, Foot) and first.value == ALL_FEET and pieces[at].heard == "cut"
    if off or all_cut:  # "took four centimetres off", "long, cut all four"
        return [turned(pieces[at], ActionSaid, value=_TRIM)]
    site = past(pieces, at + 1, (Filler,))
    end = past(pieces, site, (*FEET, *CLAWS))
    led = all(is_word(one, _LED) for one in pieces[at + 1 : site])
    if end == site or site == at + 1 or not led:
        return None
    while is_word(get(pieces, end), _RIGHT):
        end += 1
    way = get(pieces, end)
    due = isinstance(way, FollowUpSaid) and isinstance(next_to(pieces, end), TimeSaid)
    if way is None or way.heard not in _DOWN or due:
        return None
    return [turned(pieces[at], ActionSaid, value=_TRIM)]


def dished(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Dished both outers", "trimmed and dished the hinds": a trim, and no shape of the wall."""
    site = past(pieces, at + 1, (Filler,))
    led = site > at + 1 and all(is_word(one, _LED) for one in pieces[at + 1 : site])
    both = get(pieces, site)
    named = led or (both is not None and not _LED.isdisjoint(both.heard.split()[:1]))
    trim = isinstance(both, (*FEET, *CLAWS)) and named and pieces[at].heard == "dished"
    return [turned(pieces[at], ActionSaid, value=_TRIM)] if trim else None


def vet_says(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "The vet says no block", "vet numbed it and cut the growth out": nobody is to be called."""
    piece, verb = pieces[at], get(pieces, at + 1)
    if piece.heard not in ("vet", "the vet") or verb is None:
        return None
    word = verb.heard.split()[0]
    if isinstance(verb, Leftover) and word.endswith("ed"):
        return [turned(piece, Others, value=piece.heard)]
    says = isinstance(verb, (Filler, ActionSaid)) and word in _SAYS
    return [silent(piece)] if says else None


def wanted_doing(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Wanted wrapping, but I'm out of bandage": it was not done."""
    deed = get(pieces, at + 1)
    told = isinstance(deed, ActionSaid) and deed.heard.endswith("ing")
    return [turned(pieces[at], Undone, value="undone", later=True)] if told else None


def three_feet(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Trimmed three feet, left front too sore to lift": the three others; "pared the four": all."""
    if pieces[at].heard == "four" and is_word(get(pieces, at - 1), _LED):
        whole = isinstance(just_before(pieces, at), ActionSaid)
        bare = not isinstance(get(pieces, at + 1), (Dangling, Number, *FEET, *CLAWS))
        return [turned(pieces[at], Foot, value=ALL_FEET)] if whole and bare else None
    feet, foot = get(pieces, at + 1), seek(pieces, at + 1, (Foot,))
    one = pieces[foot] if foot is not None else None
    if pieces[at].heard != "three" or not is_word(feet, _FEET) or not isinstance(one, Foot):
        return None
    if len(one.value) > 1 or not isinstance(just_before(pieces, at), ActionSaid):
        return None
    others = tuple(foot for foot in ALL_FEET if foot not in one.value)
    return [turned(pieces[at], Foot, value=others)]


def still_good(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Block good": the old one still serves, and says of no foot that it is clean."""
    piece, deed = pieces[at], just_before(pieces, at)
    clean = is_clean(piece) and piece.heard in _GOOD
    named = isinstance(deed, ActionSaid) and deed.heard in _WORN
    return [turned(piece, LeftUndone, value=piece.heard)] if clean and named else None


def today(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Block off in six weeks, left hind inner, put on today": it was put on, and is due off then."""
    time = pieces[at]
    taken = get(pieces, back(pieces, at - 1, (*CLAWS, *FEET, On)))
    if time.heard in _TODAY and isinstance(taken, ActionSaid) and _is_removed(taken):
        return [silent(time)]  # "took the wrap off today" is done
    if time.heard in _TODAY and is_word(taken, _OFF_WORD):
        return [silent(time)]  # "took it off today"
    given = get(pieces, back(pieces, at - 1, LINKS))
    if time.heard in _TODAY and isinstance(given, StatusSaid) and given.medicine:
        return [silent(time)]  # "painkiller from the vet today, look in ten days"
    verb = back(pieces, at - 1, (On,))
    if time.heard not in _TODAY or not is_word(get(pieces, verb), _PUT):
        return None
    due = [one for one in pieces[:verb] if isinstance(one, ActionSaid) and one.if_dated]
    done = [one for one in pieces[:verb] if isinstance(one, ActionSaid) and one.value in COMES_OFF]
    if done or not due:
        return [silent(time)]
    kind = due[-1].value.removesuffix(" removed")
    deed = turned(time, ActionSaid, value=kind, heard=due[-1].heard)
    return [deed] if kind in COMES_OFF else None


def _is_removed(piece: ActionSaid) -> bool:
    return piece.value.endswith(" removed")


def wrapped_and_off(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Poultice and wrap off in three days": two things put on, and when they come off."""
    piece = pieces[at]
    if isinstance(piece, FollowUpSaid):
        return _and_change(pieces, at, lexicon)
    if not isinstance(piece, ActionSaid) or not piece.heard.endswith(_OFF):
        return None
    term = lexicon.terms.get(piece.heard.removesuffix(_OFF))
    listed = is_word(get(pieces, at - 1), _AND) and isinstance(get(pieces, at - 2), _PUT_ON)
    other = get(pieces, at - 2)
    told = isinstance(other, ActionSaid) and other.heard.endswith("ed")
    if not listed or told or term is None or not isinstance(next_to(pieces, at), TimeSaid):
        return None
    end = piece.last - 1
    deed = turned(
        piece, ActionSaid, value=str(term.value), heard=term.phrase, last=end, rejected=()
    )
    return [deed, turned(piece, Filler, value="off", heard="off", first=end)]


def _and_change(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Cleaned and bandage, change in two days": put on, and to be changed then."""
    piece = pieces[at]
    thing, _, change = piece.heard.rpartition(" ")
    term = lexicon.terms.get(thing)
    dated = isinstance(next_to(pieces, at), TimeSaid)
    if change != "change" or term is None or term.tag != "ACTION" or not dated:
        return None
    if not is_word(get(pieces, at - 1), _AND):
        return None
    end = piece.last - 1
    deed = turned(piece, ActionSaid, value=str(term.value), heard=thing, last=end, rejected=())
    return [deed, replace(piece, heard=change, first=end)]


def kept_on(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Kept the block on", "leave the wrap till Sunday": put on another day."""
    piece = pieces[at]
    if not isinstance(piece, ActionSaid) or piece.value not in COMES_OFF:
        return None
    behind, before = get(pieces, at + 1), get(pieces, at - 1)
    verb = before if isinstance(before, Undone) else get(pieces, at - 2)
    kept = isinstance(verb, (Filler, Undone)) and verb.heard.split()[0] in _KEEP
    stays = isinstance(behind, On) or is_word(behind, _TILL) or isinstance(behind, TimeSaid)
    if not kept or not stays or piece.heard not in _WORN:
        return None
    end = piece.last
    return [piece, turned(piece, LeftUndone, value="still on", heard="still on", first=end)]


def leave_on(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """The "leave the" of "leave the wrap till Sunday" denies nothing."""
    deed = get(pieces, at + 1)
    held = deed is not None and kept_on(pieces, at + 1, lexicon) is not None
    return [silent(pieces[at])] if held else None


def put_back(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Put the block back on the inner": nothing comes back later."""
    deed = get(pieces, at - 1)
    put = isinstance(deed, ActionSaid) and deed.value in COMES_OFF
    on = isinstance(get(pieces, at + 1), On)
    return [silent(pieces[at])] if pieces[at].heard == "back" and put and on else None


def of_business(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "What's the price of them blocks", "a box of wraps costs …": things to buy, and no deed."""
    words = words_before(pieces, at + _NEAR, 2 * _NEAR)
    return [silent(pieces[at])] if not _BUSINESS.isdisjoint(words) else None


def another_of_kind(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "The wrap fell off, put another one on": what is put on is what was named."""
    piece = pieces[at]
    if not isinstance(piece, ActionSaid) or piece.value != "block":
        return None
    words = piece.heard.split()
    if _NEW_ONE.isdisjoint(words) or not {"block", "shoe", "clog"}.isdisjoint(words):
        return None
    said = [word for one in pieces[:at] for word in one.heard.split()]
    named = next((word for word in reversed(said) if word in _WORN_WORDS), "block")
    return [replace(piece, value="wrap")] if named in _WRAPS else None


def mine(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Took his off, put mine on the inner", "put one on": a block or wrap, as was named, or as goes on a claw."""
    piece, before = pieces[at], words_before(pieces, at, 2)
    said = [word for one in pieces[:at] for word in one.heard.split()]
    named = next((word for word in reversed(said) if word in _WORN_WORDS), "")
    rest = pieces[at + 1 :]
    claw = any(isinstance(one, On) and isinstance(two, CLAWS) for one, two in _solid_pairs(rest))
    one = not isinstance(piece, Number) or (claw and is_word(get(pieces, at - 1), _PUT))
    if not (named or claw) or not one or piece.heard not in MINE | ONES:
        return None
    kind = "wrap" if named in _WRAPS else "block"
    if not _PUT.isdisjoint(before) and isinstance(get(pieces, at + 1), On):
        return [turned(piece, ActionSaid, value=kind, heard=f"put {piece.heard}")]
    if not _TOOK.isdisjoint(before) and is_word(get(pieces, at + 1), _OFF_WORD):
        return [turned(piece, ActionSaid, value=f"{kind} removed", heard=f"took {piece.heard}")]
    return None


def _solid_pairs(pieces: Sequence[Piece]) -> Iterator[tuple[Piece, Piece]]:
    """Yield each two pieces that follow one another, but for little words."""
    return pairwise(one for one in pieces if not isinstance(one, Filler))


def the_other(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Ulcer on the outside claw, blocked the other": the sound claw."""
    piece, deed = pieces[at], just_before(pieces, at)
    named = any(isinstance(one, CLAWS) for one in pieces[:at])
    block = isinstance(deed, ActionSaid) and deed.value == "block"
    the = get(pieces, at - 1)
    if not is_word(piece, _OTHER) or not block or not named or the is None:
        return None
    article = the.heard.split()[-1] == "the"
    if not article or isinstance(get(pieces, at + 1), (Filler, *FEET, *CLAWS)):
        return None
    return [turned(piece, OtherClaw, value="sound")]


def another_one(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Used a plastic one": a block of that material."""
    piece, material = pieces[at], get(pieces, at - 1)
    if piece.heard not in ONES or not isinstance(material, Material) or material.of != "block":
        return None
    return [turned(piece, ActionSaid, value=material.of)]
