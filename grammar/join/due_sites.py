"""Which feet and which claw a follow-up is of: "block off left hind inner", "retrim the hinds".

A site right behind what is due, and before its time or the end, is its own; one right before it only
where no finding and no deed can want it.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from grammar.join.cursor import back, find_back, get, past
from grammar.join.feet import ALL_FEET
from grammar.join.finding_slots import Feet, claw_slots, foot_slots
from grammar.join.work import Work
from grammar.pieces import (
    CLAWS,
    DEEDS,
    FEET,
    ActionSaid,
    FollowUpSaid,
    HalfFoot,
    Kinds,
    Lesion,
    Material,
    OtherFeet,
    TimeSaid,
    is_clean,
    slot_of,
)
from grammar.records import Slot

__all__ = ["DueSite", "find_due_sites"]

_SITE = (*FEET, *CLAWS)
_LOOKED_AT = frozenset({"look again", "vet"})
"""With a claw before it ("left hind inner, look again") a finding may have been lost there."""
_CLAIMS = (Lesion, ActionSaid, Material)
"""What has a foot of its own."""
_ENDS = (FollowUpSaid, TimeSaid)
"""What a site may stand before that is of what is due."""
_TO_SITE = frozenset("a again and at both for from her in it of off on that the this to".split())
"""Words between what is due and its site; "needs a trim, did the hinds" is no trim of the hinds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DueSite:
    """Feet and claw of what is due."""

    feet: tuple[Slot[str], ...] = ()
    claw: Slot[str] | None = None
    taken: frozenset[int] = frozenset()
    """Pieces that are of nothing else."""


def find_due_sites(work: Work, due: Mapping[int, int | None], feet: Feet) -> dict[int, DueSite]:
    """Return what is due -> its site.

    due: position of what is due -> position of its time.  feet: as `resolve_feet` gives them.
    """
    found: dict[int, DueSite] = {}
    for head, time in due.items():
        if isinstance(work.pieces[head], FEET):
            own = range(head, head + 1)  # "recheck the fronts in three weeks and hinds in six"
        else:
            own = _behind(work, head) or _behind_time(work, head, time)
        taken = own if own and not _is_wanted(work, own, due) else range(0)
        own = own or _before(work, head, due)
        piece = work.pieces[head]
        told = piece.feet if isinstance(piece, FollowUpSaid) else ()
        slots = {foot: slot_of(piece, foot) for foot in told} or {
            foot: slot for at in own for foot, slot in _named(work, at, feet)
        }
        if not slots:
            continue  # a claw alone may be all that was heard of a finding
        claw = next((at for at in own if isinstance(work.pieces[at], CLAWS)), None)
        claws = claw_slots(work, claw)
        found[head] = DueSite(
            feet=tuple(slots.values()),
            claw=claws[0] if len(claws) == 1 else None,
            taken=frozenset(taken),
        )
    return found


def _named(work: Work, at: int, feet: Feet) -> Iterator[tuple[str, Slot[str]]]:
    """Yield the feet of a site; half a foot counts only as "the left", "that hind"."""
    piece = work.pieces[at]
    half = isinstance(piece, HalfFoot) and not {"the", "that"} & {*work.said_before(at)}
    if at not in feet or half or (isinstance(piece, OtherFeet) and feet[at] == ALL_FEET):
        return
    for slot in foot_slots(work, at, feet):
        if slot is not None:
            yield slot.value, slot


def _behind(work: Work, head: int, ends: Kinds = _ENDS) -> range:
    """ "Look at the left hind again in two weeks", "vet for the right hind outer" at the end."""
    end = past(work.pieces, head + 1, _SITE)
    after = get(work.pieces, end)
    own = after is None or isinstance(after, ends)
    near = all(_is_near(work, at) for at in range(head + 1, end))
    return range(head + 1, end) if own and near else range(0)


def _is_near(work: Work, at: int) -> bool:
    """Whether nothing but little words stands before a site; what was not taken is no filler."""
    said = work.said_before(at)
    return _TO_SITE.issuperset(said) and (
        work.pieces[at].first - work.pieces[at - 1].last <= len(said)
    )


def _behind_time(work: Work, head: int, time: int | None) -> range:
    """ "Block off in three weeks, left hind inner"."""
    return _behind(work, time, (FollowUpSaid,)) if time == head + 1 else range(0)


def _before(work: Work, head: int, due: Mapping[int, int | None]) -> range:
    """ "Left hind inner, block off in four weeks", "both hinds to look at again"."""
    piece, start = work.pieces[head], back(work.pieces, head - 1, _SITE) + 1
    looked = isinstance(piece, FollowUpSaid) and piece.value in _LOOKED_AT
    if looked and any(isinstance(one, CLAWS) for one in work.pieces[start:head]):
        return range(0)
    claim = find_back(work.pieces, start - 1, _CLAIMS, ())
    if start == head or (claim is not None and not _has_own(work, claim)):
        return range(0)
    asks = find_back(work.pieces, start - 1, DEEDS, ())
    return range(0) if asks in due and start == (asks or 0) + 1 else range(start, head)


def _has_own(work: Work, claim: int) -> bool:
    """Whether a lesion has its foot before it, so that the next foot is not its own."""
    lesion = isinstance(work.pieces[claim], Lesion)
    return lesion and find_back(work.pieces, claim - 1, FEET, ()) is not None


def _is_wanted(work: Work, own: range, due: Mapping[int, int | None]) -> bool:
    """Whether a finding or a deed has no other foot than that of what is due."""
    if any(at not in own for at in work.at(*FEET)):
        return False
    return any(
        at not in due and not is_clean(work.pieces[at]) for at in work.at(Lesion, ActionSaid)
    )
