"""Lesions with their foot, claw, zone, stage, severity, course and tissue."""

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from grammar.join.assign import assign_carried, assign_own
from grammar.join.beside import leads_to_lesion
from grammar.join.cursor import back, get, past, seek
from grammar.join.each_site import EachSite
from grammar.join.feet import ALL_FEET
from grammar.join.finding_slots import (
    OTHER_CLAW,
    Feet,
    claw_slots,
    expand,
    foot_slots,
    without_site,
    zone_slots,
)
from grammar.join.narrowing import find_narrowing
from grammar.join.work import Work
from grammar.pieces import (
    CLAWS,
    FEET,
    MODIFIERS,
    ActionSaid,
    Claw,
    Course,
    Denied,
    Foot,
    Kinds,
    Lesion,
    OtherClaw,
    Piece,
    Region,
    Stage,
    Zone,
    slot_of,
)
from grammar.records import Finding, How, Slot

__all__ = ["Found", "find_findings"]

_BEHIND = (*MODIFIERS, *FEET, *CLAWS, Zone, Region)
"""What may stand between a lesion and the site that "on" joins to it."""
_DETAILS = ("lesion", "foot", "claw", "zone", "stage", "severity", "course", "object", "region")


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
    linked_feet = _linked(work, heads, FEET) | _picked_behind(work, heads, feet)
    sites = [
        i for i in _feet_of_lesions(work, feet, heads[-1]) if i not in narrowing.sites | each.sites
    ]
    foot_of = _own_feet(work, heads, assign_carried(heads, sites, linked_feet), sites)
    claw_of = _assign_claws(work, heads, foot_of)
    zones = [i for i in work.at(Zone) if i not in work.owned]
    zone_of = _of_both(work, heads, assign_own(heads, zones))
    region_of = assign_own(heads, regions)
    modifiers = [
        _assign_modifiers(work, heads, work.at(kind), set(narrowing.of)) for kind in MODIFIERS
    ]
    found: list[Finding] = []
    said_claws: dict[str | None, str] = {}
    for head in heads:
        said = [at for assigned in modifiers for at in assigned[head]]
        for foot in foot_slots(work, foot_of.get(head), feet):
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
    return Found(findings=tuple(_merge(found)), foot_of=foot_of, claw_of=claw_of)


def _claw_at(
    head: int, foot: Slot[str] | None, claw_of: Mapping[int, int], each: EachSite
) -> int | None:
    told = each.claw(head, foot.value if foot is not None else None)
    return told if told is not None else claw_of.get(head)


def _of_both(
    work: Work, heads: Sequence[int], zone_of: dict[int, list[int]]
) -> dict[int, list[int]]:
    """ "ulcer …, bruise …, both zone four": the zone is of the last two."""
    for before, head in pairwise(heads):
        zone_of[before] += [
            at for at in zone_of[head] if "both" in (*work.said_before(at), *work.said_behind(at))
        ]
    return zone_of


def _claws(
    work: Work, claw: int | None, foot: Slot[str] | None, said: dict[str | None, str]
) -> list[Slot[str] | None]:
    """Return the claws of a lesion; "the other claw" is the one not said of this foot before.

    said: foot -> the claw said last of it; brought up to date.
    """
    where = foot.value if foot is not None else None
    piece = work.pieces[claw] if claw is not None else None
    if isinstance(piece, OtherClaw) and where in said:
        value = OTHER_CLAW[said[where]] if piece.value == "sound" else said[where]
        return [slot_of(piece, value, How.INFERRED)]
    claws = claw_slots(work, claw)
    if len(claws) == 1 and claws[0] is not None:
        said[where] = claws[0].value
    return claws


def _own_feet(
    work: Work, heads: Sequence[int], foot_of: dict[int, int], sites: Sequence[int]
) -> dict[int, int]:
    """ "fronts fine, sole ulcer left hind": a foot just said clean has no lesion, where one follows.

    Nor is a foot with a lesion clean: "left hind ulcer, clean right hind".
    """
    found = dict(foot_of)
    for before, head in pairwise(heads):
        if found.get(before) != found.get(head) or head not in found or found[head] > before:
            continue
        told_apart = _is_clean(work.pieces[before]) != _is_clean(work.pieces[head])
        if not told_apart and not _ends_with_foot(work, head, heads[-1]):
            continue
        later = [one for one in heads if one >= head]
        ends = [*later[1:], len(work.pieces)]
        behind = [_between(sites, one, end) for one, end in zip(later, ends, strict=True)]
        own = {one: site for one, site in zip(later, behind, strict=True) if site is not None}
        if len(own) == len(later):  # each of the rest has a foot behind it
            return found | own
    return found


def _ends_with_foot(work: Work, head: int, last: int) -> bool:
    """ "left hind wart, heel erosion both hinds": a foot that ends the note is the last lesion's."""
    foot = past(work.pieces, head + 1, (*MODIFIERS, Zone, Region))
    ends = past(work.pieces, foot + 1, (*CLAWS, Zone, Region, *MODIFIERS)) >= len(work.pieces)
    return head == last and isinstance(get(work.pieces, foot), FEET) and ends


def _between(sites: Sequence[int], after: int, before: int) -> int | None:
    """Return the first site between two positions."""
    return next((site for site in sites if after < site < before), None)


def _merge(findings: list[Finding]) -> list[Finding]:
    """ "dermatitis both hinds, left M2, right M4": a bare finding gives way to its detailed one.

    So does one that says again, in no more detail, what another says: "sole ulcer and white line,
    drained the white line".  Two foreign bodies are two.
    """
    findings = _last_stages(findings)
    return [
        one
        for at, one in enumerate(findings)
        if (one.foot is None and one.lesion.value != "no lesion")
        or one.object is not None
        or not any(
            _says_no_more(one, other) and (not _says_no_more(other, one) or before < at)
            for before, other in enumerate(findings)
            if before != at and (one.foot is None) == (other.foot is None)
        )
    ]


def _last_stages(findings: list[Finding]) -> list[Finding]:
    """ "M2 both hinds, no, the left is an M4": the stage told of the foot itself holds."""
    found: list[Finding] = []
    for one in findings:
        of_it = [
            at
            for at, other in enumerate(found)
            if one.stage and other.stage and one.foot and other.foot
            if (one.lesion.value, one.foot.value) == (other.lesion.value, other.foot.value)
            if one.stage.value != other.stage.value and one.foot.heard != other.foot.heard
        ]  # fmt: skip
        if not of_it or one.stage is None:
            found.append(one)
            continue
        was = found[of_it[-1]].stage
        rejected = (*one.stage.rejected, was.value) if was is not None else one.stage.rejected
        found[of_it[-1]] = replace(one, stage=replace(one.stage, rejected=rejected))
    return found


def _says_no_more(one: Finding, other: Finding) -> bool:
    """Whether every detail of a finding is also the other's."""
    return set(one.tissue) <= set(other.tissue) and all(
        mine is None or (theirs is not None and mine.value == theirs.value)
        for name in _DETAILS
        for mine, theirs in ((getattr(one, name), getattr(other, name)),)
    )


def _feet_of_lesions(work: Work, feet: Feet, last_head: int) -> list[int]:
    """Return the foot pieces in order, without a last one said only to deny a lesion there.

    The only foot of a note stays: "bruising right hind, no ulcer".
    """
    found: list[int] = []
    clean = all(_is_clean(work.pieces[head]) for head in work.at(Lesion))
    for site in sorted(feet):
        denies = isinstance(get(work.pieces, past(work.pieces, site + 1, CLAWS)), Denied)
        if clean and _is_trimmed(work, site, feet[site]) and site > last_head:
            continue  # "she's grand, trimmed all four"
        if site < last_head or work.link[site] or not denies:
            found.append(site)
    return found or [
        site for site in sorted(feet) if not (clean and _is_trimmed(work, site, feet[site]))
    ]


def _is_trimmed(work: Work, site: int, feet: tuple[str, ...]) -> bool:
    """Whether all four feet are said only of a trim: "trimmed all four"."""
    deed = get(work.pieces, site - 1)
    trimmed = isinstance(deed, ActionSaid) and deed.value == "functional trim"
    return trimmed and not work.link[site] and set(feet) == set(ALL_FEET)


def _linked(work: Work, heads: Sequence[int], kinds: Kinds) -> dict[int, int]:
    """Return head -> site where "on" joins the site to the lesion: "ulcer on the outer"."""
    found: dict[int, int] = {}
    for head in heads:
        end = past(work.pieces, head + 1, _BEHIND)
        for i in range(head + 1, end):
            joined = _is_joined(work, i) and not _begins_next(work, head, i)
            if isinstance(work.pieces[i], FEET) and not joined:
                break
            if "and" in work.before[i].split() and leads_to_lesion(work.pieces, i + 1):
                break  # "toe necrosis, and on the inner a white line"
            if joined and isinstance(work.pieces[i], kinds) and i not in work.owned:
                found.setdefault(head, i)
    return found


def _picked_behind(work: Work, heads: Sequence[int], feet: Feet) -> dict[int, int]:
    """ "All four trimmed, slight bruising left front": the four have had their say before."""
    found: dict[int, int] = {}
    for head in heads:
        before = back(work.pieces, head - 1, (*MODIFIERS, ActionSaid))
        behind = past(work.pieces, head + 1, (*MODIFIERS, Zone, Region))
        done = any(isinstance(one, ActionSaid) for one in work.pieces[before + 1 : head])
        if done and before in feet and behind in feet and set(feet[behind]) < set(feet[before]):
            found[head] = behind
    return found


def _begins_next(work: Work, head: int, at: int) -> bool:
    """ "outer toe necrosis and on the inner a white line": the lesion before has its own already."""
    kinds = FEET if isinstance(work.pieces[at], FEET) else CLAWS
    own = back(work.pieces, head - 1, (*MODIFIERS, Zone, Region, *(CLAWS if kinds is FEET else ())))
    return isinstance(get(work.pieces, own), kinds) and leads_to_lesion(work.pieces, at + 1)


def _is_joined(work: Work, at: int) -> bool:
    """Whether "on" reaches a site: "on the left hind", "on the outer of the left hind"."""
    if work.link[at]:
        return True
    before = isinstance(work.pieces[at - 1], CLAWS) and work.link[at - 1]
    return before and isinstance(work.pieces[at], FEET) and not leads_to_lesion(work.pieces, at + 1)


# --- claws and modifiers ----------------------------------------------------------------------


def _assign_claws(work: Work, heads: Sequence[int], foot_of: dict[int, int]) -> dict[int, int]:
    """Claws are assigned within each foot's part of the note."""
    claws = [i for i, piece in enumerate(work.pieces) if _has_claw(piece) and i not in work.owned]
    linked = _linked(work, heads, CLAWS)
    found: dict[int, int] = {}
    done = 0
    index = 0
    while index < len(heads):
        site = foot_of.get(heads[index])
        end = index
        while end < len(heads) and foot_of.get(heads[end]) == site:
            end += 1
        group = heads[index:end]
        stop = _part_end(work, group, site, heads[end] if end < len(heads) else None)
        start = max(_part_start(work, group, site), done)
        mine = claws[bisect_left(claws, start) : bisect_left(claws, stop)]
        clean = {head for head in group if _is_clean(work.pieces[head])}
        assigned = _without_later(assign_carried(group, mine, linked), clean, linked)
        found.update(assigned)
        both = [one for one in mine if _is_of_both(work, one)]
        found.update(
            (head, one)
            for one in both
            for head in heads[:end][-2:]
            if head < one and head not in found and _on_one_foot(work, head, foot_of)
        )
        done = max(assigned.values(), default=done - 1) + 1
        index = end
    return found


def _on_one_foot(work: Work, head: int, foot_of: Mapping[int, int]) -> bool:
    site = get(work.pieces, foot_of.get(head, -1))
    one = not isinstance(site, Foot) or len(site.value) == 1
    return one and not _is_clean(work.pieces[head])


def _is_of_both(work: Work, claw: int) -> bool:
    """ "White line …, bruise …, both outer": the claw of the last two."""
    piece = work.pieces[claw]
    both = isinstance(piece, Claw) and piece.of_both_feet
    return both or "both" in work.said_before(claw)


def _has_claw(piece: Piece) -> bool:
    return isinstance(piece, CLAWS) or (isinstance(piece, Foot) and piece.claw is not None)


def _is_clean(piece: Piece) -> bool:
    return isinstance(piece, Lesion) and piece.value == "no lesion"


def _without_later(
    found: dict[int, int], clean: set[int], linked: dict[int, int]
) -> dict[int, int]:
    """ "left hind clean, outer …": a claw after "clean" is not the clean one's, unless linked."""
    return {
        head: claw
        for head, claw in found.items()
        if head not in clean or claw < head or head in linked
    }


def _part_start(work: Work, group: Sequence[int], site: int | None) -> int:
    """Return where a foot's part starts: at its foot, or at the claw said right before it."""
    if site is None or site > group[0]:
        return 0
    start = back(work.pieces, site - 1, CLAWS) + 1
    owned = (i for i in range(site - 1, start - 1, -1) if i in work.owned)
    return next(owned, start - 1) + 1


def _part_end(work: Work, group: Sequence[int], site: int | None, following: int | None) -> int:
    """Return where a foot's part ends: at the next foot, or behind its own foot and claw."""
    limit = len(work.pieces) if following is None else following
    if site is not None and site > group[-1]:
        return min(past(work.pieces, site + 1, (*CLAWS, Zone, Region)), limit)
    foot = seek(work.pieces, group[-1] + 1, FEET, limit)
    return limit if foot is None else foot


def _assign_modifiers(
    work: Work, heads: Sequence[int], sites: Sequence[int], behind: set[int]
) -> dict[int, list[int]]:
    """A modifier directly before a lesion is that lesion's; else it goes with the one before it.

    behind: modifiers that surely go with the one before.
    """
    found: dict[int, list[int]] = {head: [] for head in heads}
    position = 0
    for site in sites:
        while position < len(heads) and heads[position] < site:
            position += 1
        before = heads[position - 1] if position else None
        after = heads[position] if position < len(heads) else None
        if position > 1 and "both" in work.said_before(site):
            found[heads[position - 2]].append(site)  # "… dermatitis … dermatitis, both M2"
            found[heads[position - 1]].append(site)
            continue
        if before is None or after is None:
            only = before if after is None else after
            if only is not None:
                found[only].append(site)
            continue
        ahead = site not in behind and _goes_ahead(work, before, site, after, found[before])
        found[after if ahead else before].append(site)
    return found


def _goes_ahead(work: Work, before: int, site: int, after: int, had: Sequence[int]) -> bool:
    """Whether a modifier between two lesions is the later one's.

    Adjectives ("severe", "new") stand before it; a stage goes with dermatitis; all else follows
    ("sole ulcer bleeding").
    """
    said = work.pieces[site]
    if isinstance(said, Stage) and (_has_stage(work.pieces[after]) or not _is_staged(work, after)):
        return not _is_staged(work, before)  # a stage goes with dermatitis
    if _is_clean(work.pieces[after]) and not isinstance(said, Course):
        return False
    if seek(work.pieces, before + 1, FEET, site) is not None:
        return True
    if past(work.pieces, site + 1, MODIFIERS) < after:
        return False
    if not {"a", "an"}.isdisjoint(work.said_before(after)) and not isinstance(said, Stage):
        return False  # "zone four, severe, and a double sole"
    if isinstance(said, Stage):
        staged = [_is_staged(work, i) for i in (before, after)]
        return staged == [False, True] or (all(staged) and bool(had))
    behind = past(work.pieces, before + 1, (*MODIFIERS, Zone)) >= site
    return bool(had) or not behind or getattr(said, "stands_before", False)


def _has_stage(lesion: Piece) -> bool:
    """Whether a lesion was made of its stage: "digi left hind M2, right hind M4"."""
    return isinstance(lesion, Lesion) and lesion.stage is not None


def _is_staged(work: Work, at: int) -> bool:
    piece = work.pieces[at]
    return isinstance(piece, Lesion) and work.lexicon.lesions[piece.value].staged
