"""Lesions with their foot, claw, zone, stage, severity, course and tissue."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from grammar.join.assign import assign_carried, assign_own
from grammar.join.cursor import find_back, seek
from grammar.join.each_site import EachSite
from grammar.join.finding_slots import (
    Feet,
    claw_slots,
    expand,
    foot_slots,
    without_site,
    zone_slots,
)
from grammar.join.lesion_claws import assign_claws
from grammar.join.lesion_details import assign_modifiers, zones_of_both
from grammar.join.lesion_feet import feet_of_lesions, own_feet, picked_behind, told_together
from grammar.join.lesion_links import find_linked
from grammar.join.merging import merge
from grammar.join.narrowing import find_narrowing
from grammar.join.own_foot import ask_which_foot, find_own_feet
from grammar.join.replacing import OTHER_CLAW
from grammar.join.work import Work
from grammar.pieces import (
    FEET,
    MODIFIERS,
    Claw,
    Lesion,
    OtherClaw,
    Region,
    Zone,
    slot_of,
)
from grammar.records import Finding, How, Slot

__all__ = ["Found", "find_findings"]

_PAIR = 2
_OTHER = frozenset({"opposite", "other"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """The findings, and where each lesion has its foot and claw."""

    findings: tuple[Finding, ...] = ()
    foot_of: Mapping[int, int] = field(default_factory=dict)
    """Position of a lesion -> position of its foot."""
    claw_of: Mapping[int, int] = field(default_factory=dict)

    @property
    def taken_claws(self) -> set[int]:
        """Claws that lesions said before them have taken."""
        return {claw for head, claw in self.claw_of.items() if claw > head}


def find_findings(work: Work, feet: Feet, each: EachSite) -> Found:
    """Make one finding for each lesion, foot, claw and zone said."""
    heads = work.at(Lesion)
    regions = [i for i in work.at(Region) if i not in work.owned]
    if not heads:
        work.loose |= set(work.at(Zone, *MODIFIERS)) | set(regions)
        return Found()
    narrowing = find_narrowing(work, feet)
    linked_feet = find_linked(work, heads, FEET) | picked_behind(work, heads, feet)
    linked_feet = find_own_feet(work) | linked_feet
    ask_which_foot(work)
    told = narrowing.sites | each.sites
    sites = feet_of_lesions(work, {at: feet[at] for at in feet if at not in told}, heads[-1])
    last = told_together(work, heads, sites)
    of_last = assign_carried(sorted(set(last.values())), sites, linked_feet)
    carried = {head: of_last[one] for head, one in last.items() if one in of_last}
    carried |= {head: linked_feet[head] for head in heads if head in linked_feet}
    foot_of = own_feet(work, heads, carried, sites)
    claw_of = assign_claws(work, heads, foot_of)
    zones = [i for i in work.at(Zone) if i not in work.owned]
    zone_of = zones_of_both(work, heads, assign_own(heads, zones))
    region_of = assign_own(heads, regions)
    modifiers = [
        assign_modifiers(work, heads, work.at(kind), set(narrowing.of)) for kind in MODIFIERS
    ]
    found: list[Finding] = []
    said_claws: dict[str | None, str] = {}
    for head in heads:
        said = [at for assigned in modifiers for at in assigned[head]]
        for foot in _feet(work, head, foot_of.get(head), claw_of.get(head), feet):
            own = narrowing.of_foot(said, foot)
            found += expand(
                without_site(work, head, region_of[head], own),
                feet=[foot],
                claws=_claws(work, _claw_at(head, foot, claw_of, each), foot, said_claws),
                zones=zone_slots(
                    work,
                    head,
                    each.zone(head, foot.value if foot is not None else None) or zone_of[head],
                    region_of[head],
                ),
            )
    found = _of_lesions_alone(found)
    return Found(findings=tuple(merge(found)), foot_of=foot_of, claw_of=claw_of)


def _of_lesions_alone(found: list[Finding]) -> list[Finding]:
    """ "Fronts clean, hinds heel erosion, both moderate": what is clean has no severity of a lesion."""
    graded = {
        one.severity.first
        for one in found
        if one.severity is not None and one.lesion.value != "no lesion"
    }
    return [
        replace(one, severity=None)
        if one.lesion.value == "no lesion" and one.severity and one.severity.first in graded
        else one
        for one in found
    ]


def _feet(
    work: Work, head: int, site: int | None, claw: int | None, feet: Feet
) -> list[Slot[str] | None]:
    """Return the feet of a lesion; "ulcers on both outers" is of the last two, said one by one."""
    both = work.pieces[claw] if claw is not None and claw > head else None
    before = [at for at in sorted(feet) if at < head and feet[at]]
    of_both = (isinstance(both, Claw) and both.of_both_feet) or "both" in work.said_behind(head)
    if not of_both or site is None or len(feet[site]) != 1:
        return foot_slots(work, site, feet)
    if site > head or len(before) < _PAIR or seek(work.pieces, before[-_PAIR], (Lesion,), head):
        return foot_slots(work, site, feet)
    return [slot for at in before[-_PAIR:] for slot in foot_slots(work, at, feet)]


def _claw_at(
    head: int, foot: Slot[str] | None, claw_of: Mapping[int, int], each: EachSite
) -> int | None:
    told = each.claw(head, foot.value if foot is not None else None)
    return told if told is not None else claw_of.get(head)


def _claw_named(work: Work, other: int) -> str | None:
    """ "Block off the inner, ulcer opposite is closed": the claw of the deed before, on the same foot."""
    if _OTHER.isdisjoint(work.pieces[other].heard.split()):
        return None
    at = find_back(work.pieces, other - 1, (*FEET, Claw), ())
    claw = work.pieces[at] if at is not None else None
    return claw.value if isinstance(claw, Claw) and claw.value in OTHER_CLAW else None


def _claws(
    work: Work, claw: int | None, foot: Slot[str] | None, said: dict[str | None, str]
) -> list[Slot[str] | None]:
    """Return the claws of a lesion; "the other claw" is the one not said of this foot before.

    said: foot -> the claw said last of it; brought up to date.
    """
    where = foot.value if foot is not None else None
    piece = work.pieces[claw] if claw is not None else None
    if isinstance(piece, OtherClaw) and claw is not None:
        one = said.get(where) or _claw_named(work, claw)
        if one is not None:
            value = OTHER_CLAW[one] if piece.value == "sound" else one
            return [slot_of(piece, value, How.INFERRED)]
    claws = claw_slots(work, claw)
    if len(claws) == 1 and claws[0] is not None:
        said[where] = claws[0].value
    return claws
