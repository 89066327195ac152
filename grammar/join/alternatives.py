"""Either/or: "left or right hind", "an ulcer or a bruise", "wooden or plastic block".

The first holds, the second does not count, and both stand in a mark: which it was, only the speaker
knows.  A denial of both ("no ulcer or wart") has been taken out before.
"""

from dataclasses import replace

from grammar.join.cursor import back, get, past
from grammar.join.work import Work
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    MODIFIERS,
    ActionSaid,
    Either,
    FollowUpSaid,
    Foot,
    HalfFoot,
    Kinds,
    Lesion,
    Material,
    MeasureSaid,
    Piece,
    Region,
    Score,
    Severity,
    Stage,
    TimeSaid,
    Zone,
    is_clean,
    value_of,
)
from grammar.records import Question

__all__ = ["take_alternatives"]

_NOTHING = ("no", "nothing", "none", "neither")
_HEDGES = frozenset({"could", "might", "may", "maybe", "perhaps", "possibly", "either"})
_GROUPS: tuple[tuple[Kinds, Kinds], ...] = (
    (FINDINGS, (*MODIFIERS, Zone, Region, *CLAWS)),
    (FEET, CLAWS),
    (CLAWS, FEET),
    ((ActionSaid,), (Material, *CLAWS)),
    ((Material,), ()),
    ((Stage,), ()),
    ((Severity,), ()),
    ((Zone,), ()),
    ((Score,), ()),
    ((MeasureSaid,), ()),
    ((FollowUpSaid,), ()),
    ((TimeSaid,), ()),
)
"""Kinds that "or" parts from their like -> what may stand between them and the "or"."""


def take_alternatives(work: Work) -> None:
    """Keep the first of two, and ask which it was."""
    gone: set[int] = set()
    for at in range(1, len(work.pieces)):
        if at not in gone and ("or" in work.said_before(at) or _hedged_twice(work, at)):
            gone |= _part(work, at)
    for at, piece in enumerate(work.pieces):
        gone |= _within(work, at, piece)
    work.drop(gone)


def _hedged_twice(work: Work, at: int) -> bool:
    """ "Could be foul, could be dermatitis"."""
    first = back(work.pieces, at - 1, (*MODIFIERS, Zone, Region, *CLAWS))
    if not isinstance(work.pieces[at], FINDINGS) or not isinstance(
        get(work.pieces, first), FINDINGS
    ):
        return False
    said = [_led(work, one) for one in (first, at)]
    asked = all("is it" in " ".join(words) for words in said)  # "is it foul, is it an abscess"
    return asked or not any(_HEDGES.isdisjoint(words) for words in said)


def _led(work: Work, at: int) -> list[str]:
    """Return the little words before a finding and its details: "might be the start of an ulcer"."""
    start = back(work.pieces, at - 1, MODIFIERS) + 1
    return [word for one in range(start, at + 1) for word in work.said_before(one)]


def _part(work: Work, at: int) -> set[int]:
    """Return the positions of the second of two that the "or" before `at` parts."""
    for kinds, between in _GROUPS:
        first = back(work.pieces, at - 1, between)
        second = past(work.pieces, at, tuple(k for k in between if k not in CLAWS))
        one, other = get(work.pieces, first), get(work.pieces, second)
        if kinds is FINDINGS and isinstance(one, FEET):  # "foul right hind, or is it a joint"
            one = get(work.pieces, back(work.pieces, first - 1, between))
        if not isinstance(one, kinds) or not isinstance(other, kinds):
            continue
        apart = isinstance(other, CLAWS) and isinstance(work.pieces[at - 1], FEET)
        if apart and isinstance(get(work.pieces, second + 1), FEET):
            continue  # "outer left hind or inner right hind"
        none = get(work.pieces, first - 1)
        if isinstance(one, FEET) and is_clean(none) and none and none.heard.startswith(_NOTHING):
            return set()  # "nothing on the fronts or the near hind"
        if isinstance(one, Lesion) and value_of(one) == value_of(other):
            return set(range(at, second + 1))  # "foul or what they call foot rot"
        if isinstance(one, Foot) and value_of(one) == value_of(other):
            return _claws_of_foot(work, first, second)
        _ask(work, one, other, (_said(one), _said(other)))
        return set(range(at, second + 1))
    return set()


def _claws_of_foot(work: Work, first: int, second: int) -> set[int]:
    """ "Left hind inner or left hind outer": of one foot only the claw is open."""
    one, other = get(work.pieces, first + 1), get(work.pieces, second + 1)
    if not isinstance(one, CLAWS) or not isinstance(other, CLAWS):
        return {second}
    _ask(work, one, other, (_said(one), _said(other)))
    return {second, second + 1}


_TWO_NUMBERS = "interval between two numbers"
"""The rule that reads "in two three days"."""
_AROUND_TIME = frozenset({"in", "about", "after", "time"})


def _within(work: Work, at: int, piece: Piece) -> set[int]:
    """Ask of what one piece leaves open: "left or right hind", "two or three weeks"."""
    after = get(work.pieces, at + 1)
    if isinstance(piece, Either) and piece.value.isdecimal():
        _ask(work, piece, piece, (piece.heard, piece.value))
        return {at}
    if isinstance(piece, Either):
        if isinstance(after, Foot) and len(after.value) > 1:
            work.pieces[at + 1] = replace(after, value=after.value[:1])
            _ask(work, piece, after, after.value)
        return {at}
    if isinstance(piece, TimeSaid) and piece.rule == _TWO_NUMBERS:
        numbers = [word for word in piece.heard.split() if word not in _AROUND_TIME]
        _ask(work, piece, piece, tuple(f"{number} {piece.unit}" for number in numbers[:2]))
    if " or " not in piece.heard:
        return set()
    if isinstance(piece, TimeSaid) and piece.unit:
        first, _, second = piece.heard.partition(" or ")
        if piece.unit in first.split():  # "in a week or two"
            second = f"{second} {piece.unit}"
        else:
            first = f"{first} {piece.unit}"
        _ask(work, piece, piece, (first, second))
    elif isinstance(piece, Foot) and piece.rejected:
        _ask(work, piece, piece, (*piece.value, *piece.rejected))
    elif isinstance(piece, HalfFoot) and piece.rejected:
        _ask(work, piece, piece, (piece.value, *piece.rejected))
    return set()


def _ask(work: Work, one: Piece, other: Piece, candidates: tuple[str, ...]) -> None:
    what = " or ".join(candidates) + "?"
    work.questions.append(
        Question(
            check="either-or", what=what, first=one.first, last=other.last, candidates=candidates
        )
    )


def _said(piece: Piece) -> str:
    """Return the value of a piece as a candidate."""
    if isinstance(piece, (TimeSaid, MeasureSaid)):
        return piece.heard
    value = value_of(piece)
    return "+".join(map(str, value)) if isinstance(value, tuple) else str(value)
