"""One lesion told of two sites joined by "and": "sole ulcer outer left hind and outer right hind"."""

from collections.abc import Sequence
from dataclasses import replace

from grammar.join.cursor import back, find_back, get, past, seek
from grammar.pieces import (
    CLAWS,
    DEEDS,
    FEET,
    FINDINGS,
    LINKS,
    MODIFIERS,
    ActionSaid,
    Again,
    Claw,
    Course,
    Filler,
    Foot,
    Lesion,
    Material,
    No,
    Not,
    On,
    Piece,
    Severity,
    Stage,
    TimeSaid,
    Tissue,
    Zone,
    is_clean,
    is_side,
)
from grammar.records import How

__all__ = ["TAKES_UP", "spread_lists"]

TAKES_UP = (Lesion, Stage, No, Not, Again, *CLAWS)
"""What says something of its own of the foot before it."""

_VALUES = (Severity, Stage, Zone)
"""Of which a lesion has one, so that a second is of another foot."""
_TWO_CLAWS = {"outer", "inner"}
_OWN_HEADS = (*FINDINGS, *MODIFIERS, Zone, ActionSaid, Material, No, Not)
"""What stands before a site and may be of it."""


def spread_lists(pieces: Sequence[Piece]) -> list[Piece]:
    """ "sole ulcer outer left hind and outer right hind": one lesion, two sites joined by "and".

    Only where the lesion was said first and nothing else is said of the second site; or last, as in
    "outer left hind and outer right hind sole ulcers", and nothing before the sites.
    """
    result: list[Piece] = []
    lesion_first = False
    feet = 0
    of_claws, both = _of_each_claw(pieces)
    shared = _said_of_sites(pieces) | _of_each_value(pieces) | of_claws
    for at, piece in enumerate(pieces):
        result += shared.get(at, ())
        if at in both:
            continue  # each claw has a value of its own
        result.append(piece)
        if isinstance(piece, Lesion):
            lesion_first = not feet
        if not isinstance(piece, FEET):
            continue
        feet += 1
        if not (lesion_first and feet > 1):
            continue
        if _listed(pieces, at) and (copied := _last_lesion(result)):
            result += copied
    return result


def _said_of_sites(pieces: Sequence[Piece]) -> dict[int, list[Piece]]:
    """ "Left hind outer and right hind inner, sole ulcer zone four": behind each site but the last."""
    found: dict[int, list[Piece]] = {}
    for at, piece in enumerate(pieces):
        if not isinstance(piece, FEET) or not isinstance(get(pieces, at + 1), CLAWS):
            continue
        joint = pieces[at + 2 : past(pieces, at + 2, (Filler,))]
        if "and" not in [one.heard for one in joint]:
            continue
        other = at + 2 + len(joint)
        if not isinstance(get(pieces, other), FEET) or not isinstance(
            get(pieces, other + 1), CLAWS
        ):
            continue
        first = past(pieces, other + 2, (Filler,))
        lesion = past(pieces, first, (Severity,))
        before = get(pieces, back(pieces, at - 1, (*LINKS, TimeSaid)))
        behind = past(pieces, lesion + 1, LINKS)
        own = isinstance(get(pieces, behind), (*FEET, *CLAWS)) and any(
            isinstance(one, On) for one in pieces[lesion:behind]
        )
        said = not own and isinstance(get(pieces, lesion), (*FINDINGS, Stage))
        if not said or isinstance(before, _OWN_HEADS):
            continue
        last = past(pieces, lesion + 1, (*FINDINGS, Zone, Severity, Stage))
        found[at + 2] = [
            replace(one, how=How.INFERRED, corrections=()) for one in pieces[first:last]
        ]
    return found


def _of_each_value(pieces: Sequence[Piece]) -> dict[int, list[Piece]]:
    """ "Mild bruise left hind, severe right hind": beside the second value, which is of that foot."""
    lesion = seek(pieces, 0, FINDINGS)
    foot = None if lesion is None else past(pieces, lesion + 1, (*LINKS, *_VALUES))
    if lesion is None or foot is None or not isinstance(get(pieces, foot), Foot):
        return {}
    first = [one for one in pieces[:foot] if isinstance(one, _VALUES)]
    second = past(pieces, foot + 1, (*LINKS, *CLAWS))
    value, other = get(pieces, second), past(pieces, second + 1, LINKS)
    alike = len(first) == 1 and isinstance(value, type(first[0]))
    after = get(pieces, past(pieces, other + 1, (*LINKS, *CLAWS)))
    own = isinstance(after, (*FINDINGS, *MODIFIERS, Zone))
    if not alike or own or not isinstance(get(pieces, other), Foot) or is_clean(pieces[lesion]):
        return {}
    place = second + isinstance(value, Severity)
    return {place: [replace(pieces[lesion], how=How.INFERRED, corrections=())]}


def _of_each_claw(pieces: Sequence[Piece]) -> tuple[dict[int, list[Piece]], set[int]]:
    """ "Sole ulcer outer zone four and inner zone six", "zone two on the outer, three on the inner".

    Returns what stands before the second pair, and where "both claws" was said of it before.
    """
    found: dict[int, list[Piece]] = {}
    both: set[int] = set()
    for at, lesion in enumerate(pieces):
        if not isinstance(lesion, FINDINGS) or is_clean(lesion):
            continue
        start = past(pieces, at + 1, (*LINKS, Foot))
        end = past(pieces, start, (*LINKS, Claw, *_VALUES))
        if any(map(is_side, pieces[start:end])):
            continue  # "left zone two inner, right zone three"
        told = [i for i in range(start, end) if not isinstance(pieces[i], LINKS)]
        pairs = [[pieces[i] for i in told[start : start + 2]] for start in (0, 2)]
        claws = {one.value for pair in pairs for one in pair if isinstance(one, Claw)}
        orders = {tuple(type(one) for one in pair) for pair in pairs}
        if len(told) == 2 * len(pairs) and claws == _TWO_CLAWS and len(orders) == 1:
            found[told[2]] = [replace(lesion, how=How.INFERRED, corrections=())]
            claw = pieces[at - 1] if at else None
            both |= {at - 1} if isinstance(claw, Claw) and claw.value == "both" else set()
    return found, both


def _listed(pieces: Sequence[Piece], at: int) -> bool:
    """Whether a foot is the second of a list, with a claw of its own, and ends it."""
    if find_back(pieces, at - 1, (ActionSaid,), (Lesion,)) is not None:
        return False  # "sole ulcers both hinds, blocked left hind inner and right hind inner"
    joint = back(pieces, at - 1, CLAWS)
    word = get(pieces, joint)
    after = get(pieces, past(pieces, at + 2, (*LINKS, Zone, Severity, Course, Tissue)))
    ends = after is None or isinstance(after, DEEDS)
    behind = (
        isinstance(get(pieces, at + 1), CLAWS) and isinstance(get(pieces, at - 2), CLAWS) and ends
    )
    if behind and isinstance(get(pieces, at - 1), Filler):
        return pieces[at - 1].heard == "and"  # "on left front inner and right front inner"
    listed = joint < at - 1 and isinstance(word, Filler) and word.value == "and"
    return listed and not isinstance(get(pieces, past(pieces, at + 1, LINKS)), TAKES_UP)


def _last_lesion(said: Sequence[Piece]) -> list[Piece]:
    at = find_back(said, len(said) - 1, (Lesion,), ())
    if at is None:
        return []
    parts = (said[at], get(said, at + 1))  # a zone right behind it is of both
    return [
        replace(one, how=How.INFERRED, corrections=())
        for one in parts
        if isinstance(one, (Lesion, Zone))
    ]
