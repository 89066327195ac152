"""Deeds said before, and then not done or taken off: "block still on", "fronts not done", "wrap removed"."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from grammar.join.cursor import back, get, past
from grammar.join.mood_pieces import Moods, behind
from grammar.join.near import COMES_OFF, is_word, words_before
from grammar.join.undone import is_told, undo
from grammar.pieces import (
    CLAWS,
    FEET,
    LINKS,
    ActionSaid,
    Filler,
    FollowUpSaid,
    Foot,
    Leftover,
    LeftUndone,
    Material,
    No,
    Not,
    On,
    Piece,
    TimeSaid,
    turned,
    value_of,
)

__all__ = ["left_undone", "says_off", "taken_off"]

_TO_DO = ("to do", "to follow", "to be done", "doing")
"""How a cue ends that tells of feet what is due."""
_HER = frozenset({"cow", "she", "he", "heifer", "bull", "animal", "they"})
_LATER = ("wait", "for next time", "left undone")


def left_undone(moods: Moods, at: int) -> None:
    """ "block still on", "fronts not done"."""
    if _stays_until(moods.pieces, at):
        return
    its = past(moods.pieces, at + 1, LINKS)
    if isinstance(get(moods.pieces, at + 1), Filler) and _is_worn(get(moods.pieces, its)):
        undo(moods, its, later=True)  # "the left's holding its block fine"
        if isinstance(get(moods.pieces, its + 1), LeftUndone):
            moods.silence(its + 1)
        return
    deed = behind(moods.pieces, at, (ActionSaid,))
    foot = back(moods.pieces, at - 1, LINKS)
    if _of_feet(moods, at, foot, deed):
        return
    heard = moods.pieces[at].heard
    bath = (heard.startswith("will ") or heard.endswith("doing")) and foot == at - 1
    if deed is None or (isinstance(get(moods.pieces, foot), Material) and bath):
        if isinstance(got := get(moods.pieces, foot), Material) and not isinstance(
            get(moods.said, foot - 1), (No, Not)
        ):  # "foot bath will do them"
            moods.set_aside(foot, "action-not-done", f"{got.heard!r} was said as not yet done")
        return
    piece = moods.pieces[deed]
    stays = moods.pieces[at].heard.startswith("stay")
    if stays and any(is_word(one, _HER) for one in moods.pieces[deed + 1 : at]):
        return  # "block inner, cow stays on the straw"
    if _is_denied(moods.pieces, deed) or _another_used(moods, deed, at):
        return
    if _stays_on(moods.pieces, at) and isinstance(piece, ActionSaid) and piece.value in COMES_OFF:
        moods.pieces[deed] = turned(piece, FollowUpSaid, value=f"{piece.value} off")
    else:
        undo(moods, deed, later=True)


def _of_feet(moods: Moods, at: int, foot: int, deed: int | None) -> bool:
    """ "Fronts still to do", "hinds not done", "fronts can wait till march": said of those feet."""
    heard = moods.pieces[at].heard
    if not isinstance(get(moods.pieces, foot), FEET):
        return False
    if heard.endswith(_TO_DO) and _is_still_due(moods.pieces, foot, deed):
        _trim_then(moods, foot)
        return True
    if heard.endswith("done"):
        return _feet_not_done(moods, at)
    if heard.endswith(_LATER) or deed is None:
        if not _is_of_undone(moods, foot):
            _put_off(moods, foot, at)
        return True
    return False


def _is_of_undone(moods: Moods, foot: int) -> bool:
    """ "Needs a block on the right hind inner, will do it thursday": the block, and no trim."""
    deed = back(moods.said, foot - 1, LINKS)
    said = get(moods.said, deed)
    return isinstance(said, ActionSaid) and not isinstance(get(moods.pieces, deed), ActionSaid)


def _is_still_due(pieces: Sequence[Piece], foot: int, deed: int | None) -> bool:
    """Whether feet are what is still to do: "hinds trimmed, fronts still to do"."""
    done = deed is None or is_told(pieces[deed])
    return done or any(isinstance(one, FEET) for one in pieces[:foot])


def _put_off(moods: Moods, foot: int, at: int) -> None:
    """ "Fronts can wait till march" are to be trimmed then."""
    timed = isinstance(get(moods.pieces, past(moods.pieces, at + 1, LINKS)), TimeSaid)
    if timed or moods.pieces[at].heard.endswith("next time"):
        _trim_then(moods, foot)
    else:
        moods.silence(foot)


def _trim_then(moods: Moods, foot: int) -> None:
    """Make of the feet said that they are to be trimmed."""
    piece = moods.pieces[foot]
    feet = piece.value if isinstance(piece, Foot) else ()
    moods.pieces[foot] = turned(piece, FollowUpSaid, value="trim", feet=feet)


def _another_used(moods: Moods, deed: int, at: int) -> bool:
    """ "Wooden block on the outer didn't hold, used a plastic one": one block, of plastic."""
    old = moods.pieces[deed]
    new = past(moods.pieces, at + 1, (*LINKS, Leftover))
    material, other = get(moods.pieces, new), get(moods.pieces, new + 1)
    if not isinstance(old, ActionSaid) or not isinstance(material, Material):
        return False
    sited = isinstance(get(moods.pieces, past(moods.pieces, new + 2, LINKS)), CLAWS)
    if not isinstance(other, ActionSaid) or value_of(other) != value_of(old) or sited:
        return False
    moods.ask(deed, "action-not-done", f"{old.heard!r} did not hold, {material.heard!r} was taken")
    moods.pieces[deed] = replace(old, material=material.value)
    for position in (*range(back(moods.pieces, deed - 1, (Material,)) + 1, deed), new, new + 1):
        moods.silence(position)
    return True


def _feet_not_done(moods: Moods, at: int) -> bool:
    """ "Trimmed the fronts, hinds not done", "hinds were done in march": nothing of those feet."""
    foot, time = back(moods.pieces, at - 1, LINKS), past(moods.pieces, at + 1, LINKS)
    if not isinstance(get(moods.pieces, foot), FEET):
        return False
    moods.leave_out(foot)
    if isinstance(get(moods.pieces, time), TimeSaid):
        moods.silence(time)
    return True


def says_off(pieces: Sequence[Piece], at: int) -> bool:
    """ "block inner off"; with a time it is due then; "block on the inner to get her off it" is on."""
    if "to" in words_before(pieces, at, 3):
        return False
    deed = get(pieces, back(pieces, at - 1, (*LINKS, *CLAWS, *FEET)))
    told = isinstance(deed, ActionSaid) and is_told(deed)
    timed = isinstance(get(pieces, past(pieces, at + 1, LINKS)), TimeSaid)
    return isinstance(deed, ActionSaid) and not told and not timed


def taken_off(moods: Moods, at: int) -> None:
    """ "wrap from last visit removed" is a wrap taken off."""
    deed = behind(moods.pieces, at, (ActionSaid,))
    piece = moods.pieces[deed] if deed is not None else None
    if deed is not None and isinstance(piece, ActionSaid) and piece.value in COMES_OFF:
        moods.pieces[deed] = turned(
            piece, ActionSaid, value=f"{piece.value} removed", if_dated=f"{piece.value} off"
        )


def _is_denied(pieces: Sequence[Piece], deed: int) -> bool:
    """ "no block needed" is a denial."""
    return isinstance(get(pieces, back(pieces, deed - 1, (*LINKS, Material))), (No, Not))


def _stays_until(pieces: Sequence[Piece], at: int) -> bool:
    """ "block stays on four weeks" was put on today."""
    stays = pieces[at].heard.startswith(("stay", "to stay", "can stay", "left"))
    return stays and isinstance(get(pieces, past(pieces, at + 1, LINKS)), TimeSaid)


def _is_worn(piece: Piece | None) -> bool:
    """Whether a block or wrap is named and not told as put on."""
    return isinstance(piece, ActionSaid) and piece.value in COMES_OFF and not is_told(piece)


def _is_left_for(two: tuple[Piece, Piece]) -> bool:
    """ "It was to come off today, so leave it on another ten days"."""
    return (
        isinstance(two[1], TimeSaid)
        and two[1].heard.startswith("another")
        and isinstance(two[0], On)
    )


def _stays_on(pieces: Sequence[Piece], at: int) -> bool:
    """ "block still on, leave it another week" is due off then; also "still on the left rear"."""
    between = (*LINKS, *FEET, *CLAWS, Leftover)
    timed = isinstance(get(pieces, past(pieces, at + 1, between)), TimeSaid)
    timed = timed or any(map(_is_left_for, pairwise(pieces[at + 1 :])))
    told = pieces[at].heard.split()
    return timed and "none" not in told and not {"still", "left"}.isdisjoint(told)
