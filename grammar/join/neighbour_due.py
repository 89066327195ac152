"""Feet and times told by the words next to them as what is due: "left the fronts till friday", "recheck in five"."""

from collections.abc import Sequence

from grammar.join.cursor import back, find_back, get, past, seek
from grammar.join.near import is_word, just_before, next_to, silent, words_before
from grammar.join.replacing import number_for
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    LINKS,
    ActionSaid,
    AnimalSaid,
    Dangling,
    Filler,
    FollowUpSaid,
    Foot,
    LeftUndone,
    Lesion,
    Material,
    MeasureSaid,
    Not,
    Number,
    On,
    OtherFeet,
    Piece,
    Score,
    Severity,
    Stage,
    TimeSaid,
    Undone,
    Zone,
    turned,
    value_of,
)

__all__ = [
    "TO_DO",
    "back_to",
    "comes_for_it",
    "feet_later",
    "feet_spared",
    "feet_to_do",
    "left_feet",
    "other_value",
    "treated_again",
]

_THE = frozenset({"the", "her"})
_TREATS = frozenset({"topical", "wrap"})
_ALONE = frozenset({"alone", "be", "as", "for", "till", "until", "undone"})
_TRIM = "functional trim"
_HEADS = (ActionSaid, *FINDINGS)
_DONE = frozenset({"done", "did", "were", "was"})
TO_DO = frozenset({"to do", "doing", "do"})
_NEEDS = frozenset({"need", "want", "needing", "wanting"})
_OR = frozenset({"or"})
_IN = frozenset({"in"})
_COME = frozenset({"come"})
_CHECK = ("recheck", "re check", "check", "look again", "follow up")
_LEFT = frozenset({"left", "leave", "leaving"})
_IT = frozenset({"it", "doing", "them", "that", "much", "at", "yet", "today"})


def treated_again(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Sprayed, do again Thursday": what was treated is seen again; a trim is done again as a trim."""
    last = find_back(pieces, at - 1, (ActionSaid, Material))
    deed = pieces[last] if last is not None else None
    treats = isinstance(deed, Material) or (isinstance(deed, ActionSaid) and deed.value in _TREATS)
    again = pieces[at].heard == "do again" and treats
    return [turned(pieces[at], FollowUpSaid, value="look again")] if again else None


def back_to(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "I'll come back to the right front on tuesday", "must come in seven weeks": to be seen then."""
    cue, comes = pieces[at], get(pieces, at + 1)
    if isinstance(cue, Undone) and cue.later and is_word(comes, _COME):
        dated = isinstance(get(pieces, at + 2), TimeSaid)  # not "should come off in six weeks"
        return [turned(cue, FollowUpSaid, value="look again", only_dated=True)] if dated else None
    foot = past(pieces, at + 1, LINKS)
    dated = isinstance(next_to(pieces, foot), TimeSaid)
    if (
        not pieces[at].heard.endswith("back to")
        or not isinstance(get(pieces, foot), FEET)
        or not dated
    ):
        return None
    return [turned(pieces[at], FollowUpSaid, value="look again", only_dated=True)]


def comes_for_it(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "She's a recheck", "recheck on forty oh eight, left hind …": what she is here for, and not due."""
    dated = isinstance(next_to(pieces, at), TimeSaid) or isinstance(
        just_before(pieces, at), TimeSaid
    )
    bath = next_to(pieces, at)
    if isinstance(bath, Material) and "list" in pieces[at].heard.split():
        return [silent(pieces[at])]  # "put her on the list for the footbath"
    if not pieces[at].heard.endswith(_CHECK) or dated:
        return None
    here = words_before(pieces, at, 2)[-1:] == ["a"]
    opens = all(isinstance(one, (Filler, AnimalSaid, Number)) for one in pieces[:at])
    told = any(isinstance(one, (ActionSaid, *FINDINGS)) for one in pieces[at + 1 :])
    of_her = opens and told and isinstance(get(pieces, at + 1), On)
    return [silent(pieces[at])] if of_her or (here and opens and told) else None


def feet_later(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Trimmed the hinds, fronts another day": those feet are to be trimmed then."""
    time, foot = pieces[at], back(pieces, at - 1, LINKS)
    if not isinstance(time, TimeSaid) or not isinstance(get(pieces, foot), FEET):
        return None
    if time.value.in_days is not None and time.value.in_days <= 0:
        return None
    between = pieces[foot + 1 : at]
    if isinstance(next_to(pieces, at), _HEADS) or any(is_word(one, _DONE) for one in between):
        return None
    later = "for next time"
    put_off: list[Piece] = [
        turned(time, LeftUndone, value=later, heard=later, last=time.first),
        time,
    ]
    led = back(pieces, foot - 1, (Filler,)) + 1
    if any(is_word(one, _LEFT) for one in (*pieces[led:foot], *between)):
        return put_off  # "left the fronts till friday", "both fronts left till next time"
    last = back(pieces, foot - 1, LINKS)
    before = get(pieces, last)
    done = isinstance(before, ActionSaid) and isinstance(just_before(pieces, last), FEET)
    trimmed = any(isinstance(one, ActionSaid) and one.value == _TRIM for one in pieces[:foot])
    if isinstance(pieces[foot], OtherFeet) and value_of(pieces[foot]) == "rest":
        return put_off  # "cut it back, the rest in six weeks"
    if not trimmed or not (done or isinstance(before, (*FEET, Lesion))):
        return None
    return put_off


def feet_to_do(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Hinds trimmed, fronts to do", "needs the fronts doing": those feet are still to be trimmed."""
    foot = isinstance(just_before(pieces, at), FEET) and pieces[at].heard in TO_DO
    if pieces[at].heard == "doing":
        foot = foot and isinstance(get(pieces, back(pieces, at - 1, (*LINKS, *FEET))), Undone)
    if pieces[at].heard == "do":  # "the fronts I'll do next time"
        will = isinstance(get(pieces, at - 1), Undone) and isinstance(get(pieces, at + 1), TimeSaid)
        foot = will and isinstance(just_before(pieces, at - 1), FEET)
    return [turned(pieces[at], LeftUndone, value="still to do", heard="to do")] if foot else None


def feet_spared(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Trimmed the hinds, fronts didn't need it": of those feet nothing was done."""
    piece = pieces[at]
    if isinstance(piece, Undone):
        no = get(pieces, at - 1)
        return [silent(piece)] if isinstance(no, Not) and feet_spared(pieces, at - 1, _) else None
    wants = get(pieces, at + 1)
    split = isinstance(wants, Undone) and wants.heard in _NEEDS
    verb = wants.heard if split and wants is not None else piece.heard.split()[-1]
    what = get(pieces, at + 1 + split)
    if verb not in _NEEDS or not isinstance(just_before(pieces, at), FEET):
        return None
    if what is not None and not is_word(what, _IT):
        return None
    return [turned(piece, LeftUndone, value="not done", heard="not done")]


def left_feet(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Trimmed the fronts, left the backs", "fronts trimmed and the backs left": not done."""
    piece, before = pieces[at], get(pieces, at - 1)
    deed = seek(pieces, 0, (ActionSaid,), at) is not None
    if piece.heard not in ("left", "left alone") or not deed:
        return None
    foot, behind = get(pieces, past(pieces, at + 1, (Filler,))), get(pieces, at + 1)
    if is_word(behind, _THE) and isinstance(foot, Foot) and len(foot.value) > 1:
        return [turned(piece, Undone, value="undone", heard="leave", passes_over=True)]
    pair = isinstance(before, Foot) and len(before.value) > 1
    if pair and (behind is None or is_word(behind, _ALONE)):
        return [turned(piece, LeftUndone, value="left undone", heard="left undone")]
    return None


def other_value(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Zone three or four", "m one or two", "five or six millimetres": a value of the same kind."""
    number = pieces[at]
    if not isinstance(number, Number):
        return None
    before, after = get(pieces, at - 1), get(pieces, at + 1)
    if is_word(before, _IN) and not isinstance(after, (Number, Dangling)):
        return _same_unit(pieces, at, number)
    like = get(pieces, at - 2) if is_word(before, _OR) else None
    if like is None and is_word(after, _OR):
        like = get(pieces, at + 2)
        like = like if isinstance(like, MeasureSaid) else None
    like = like or _on_other_claw(pieces, at)
    if not isinstance(like, (Zone, Stage, Score, Severity, MeasureSaid)):
        return None
    value = number_for(like, number)
    return [value] if value is not None else None


def _on_other_claw(pieces: Sequence[Piece], at: int) -> Piece | None:
    """Return the zone of "zone two on the outer and three on the inner"."""
    claw, other = back(pieces, at - 1, LINKS), past(pieces, at + 1, LINKS)
    zone = get(pieces, back(pieces, claw - 1, LINKS))
    both = isinstance(get(pieces, claw), CLAWS) and isinstance(get(pieces, other), CLAWS)
    return zone if both and other > at + 1 and isinstance(zone, Zone) else None


def _same_unit(pieces: Sequence[Piece], at: int, number: Number) -> list[Piece] | None:
    """ "Wrap off left hind in three days, right hind wrap off in five"."""
    last = find_back(pieces, at - 1, (TimeSaid,))
    due = [one for one in pieces[:at] if isinstance(one, (ActionSaid, FollowUpSaid))]
    dated = any(isinstance(one, FollowUpSaid) or one.if_dated for one in due)
    value = number_for(pieces[last], number) if last is not None and dated else None
    return [value] if value is not None else None
