"""Lesions with their foot, claw, zone, stage, severity, course and tissue."""

from bisect import bisect_left
from collections.abc import Sequence

from grammar.hear.sites import assign_carried, assign_own
from grammar.join.finding_slots import (
    Feet,
    claw_slots,
    expand,
    foot_slots,
    without_site,
    zone_slots,
)
from grammar.join.narrowing import find_narrowing
from grammar.join.pieces import CLAW_KINDS, FOOT_KINDS, MODIFIERS, Piece
from grammar.join.prepare import leads_to_lesion
from grammar.join.work import Work
from grammar.records import Finding

__all__ = ["find_findings"]

_DETAILS = ("lesion", "foot", "claw", "zone", "stage", "severity", "course", "object", "region")


def find_findings(work: Work, feet: Feet) -> tuple[list[Finding], set[int]]:
    """Make one finding for each lesion, foot, claw and zone said.

    Returns the findings and the claw pieces that lesions said before them have taken.
    """
    heads = work.at("lesion")
    regions = [i for i in work.at("region") if i not in work.owned]
    if not heads:
        work.loose |= set(work.at("zone", *MODIFIERS)) | set(regions)
        return [], set()
    narrowing = find_narrowing(work, feet)
    linked_feet = _linked(work, heads, FOOT_KINDS)
    sites = [i for i in _feet_of_lesions(work, feet, heads[-1]) if i not in narrowing.sites]
    foot_of = assign_carried(heads, sites, linked_feet)
    claw_of = _assign_claws(work, heads, foot_of)
    zone_of = assign_own(heads, work.at("zone"))
    region_of = assign_own(heads, regions)
    modifiers = {
        kind: _assign_modifiers(work, heads, work.at(kind), set(narrowing.of)) for kind in MODIFIERS
    }
    found: list[Finding] = []
    for head in heads:
        said = {kind: assigned[head] for kind, assigned in modifiers.items()}
        for foot in foot_slots(work, foot_of.get(head), feet):
            own = {kind: narrowing.of_foot(which, foot) for kind, which in said.items()}
            found += expand(
                without_site(work, head, region_of[head], own),
                feet=[foot],
                claws=claw_slots(work, claw_of.get(head)),
                zones=zone_slots(work, head, zone_of[head], region_of[head]),
            )
    return _merge(found), {claw for head, claw in claw_of.items() if claw > head}


def _merge(findings: list[Finding]) -> list[Finding]:
    """ "dermatitis both hinds, left M2, right M4": a bare finding gives way to its detailed one.

    So does one that says again, in no more detail, what another says: "sole ulcer and white line,
    drained the white line".  Two foreign bodies are two.
    """
    return [
        one
        for at, one in enumerate(findings)
        if one.foot is None
        or one.object is not None
        or not any(
            _says_no_more(one, other) and (not _says_no_more(other, one) or before < at)
            for before, other in enumerate(findings)
            if before != at
        )
    ]


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
    for site in sorted(feet):
        at = site + 1
        while at < len(work.pieces) and work.pieces[at].kind in CLAW_KINDS:
            at += 1
        denies = at < len(work.pieces) and work.pieces[at].kind == "denied"
        if site < last_head or work.link[site] or not denies:
            found.append(site)
    return found or sorted(feet)


def _linked(work: Work, heads: Sequence[int], kinds: frozenset[str]) -> dict[int, int]:
    """Return head -> site where "on" joins the site to the lesion: "ulcer on the outer"."""
    found: dict[int, int] = {}
    for head in heads:
        i = head + 1
        while i < len(work.pieces) and work.pieces[i].kind in (
            *MODIFIERS, *FOOT_KINDS, *CLAW_KINDS, "zone", "region",
        ):  # fmt: skip
            joined = _is_joined(work, i)
            if work.pieces[i].kind in FOOT_KINDS and not joined:
                break
            site = work.pieces[i].kind in kinds and i not in work.owned
            if site and head not in found and joined:
                found[head] = i
            i += 1
    return found


def _is_joined(work: Work, at: int) -> bool:
    """Whether "on" reaches a site: "on the left hind", "on the outer of the left hind"."""
    if work.link[at]:
        return True
    before = work.pieces[at - 1].kind in CLAW_KINDS and work.link[at - 1]
    return (
        before and work.pieces[at].kind in FOOT_KINDS and not leads_to_lesion(work.pieces, at + 1)
    )


# --- claws and modifiers ----------------------------------------------------------------------


def _assign_claws(work: Work, heads: Sequence[int], foot_of: dict[int, int]) -> dict[int, int]:
    """Claws are assigned within each foot's part of the note."""
    claws = [i for i in work.at(*CLAW_KINDS) if i not in work.owned]
    claws += [i for i in work.at("foot") if isinstance(work.pieces[i].more, dict)]
    claws.sort()
    linked = _linked(work, heads, CLAW_KINDS)
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
        clean = {head for head in group if work.pieces[head].value == "no lesion"}
        assigned = _without_later(assign_carried(group, mine, linked), clean, linked)
        found.update(assigned)
        done = max(assigned.values(), default=done - 1) + 1
        index = end
    return found


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
    while site > 0 and work.pieces[site - 1].kind in CLAW_KINDS and site - 1 not in work.owned:
        site -= 1
    return site


def _part_end(work: Work, group: Sequence[int], site: int | None, following: int | None) -> int:
    """Return where a foot's part ends: at the next foot, or behind its own foot and claw."""
    limit = len(work.pieces) if following is None else following
    if site is not None and site > group[-1]:
        end = site + 1
        while end < limit and work.pieces[end].kind in CLAW_KINDS | {"zone", "region"}:
            end += 1
        return end
    feet = (i for i in range(group[-1] + 1, limit) if work.pieces[i].kind in FOOT_KINDS)
    return next(feet, limit)


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
        if before is None or after is None:
            found[before if after is None else after].append(site)  # type: ignore[index]
            continue
        ahead = site not in behind and _goes_ahead(work, before, site, after, found[before])
        found[after if ahead else before].append(site)
    return found


def _goes_ahead(work: Work, before: int, site: int, after: int, had: Sequence[int]) -> bool:
    """Whether a modifier between two lesions is the later one's.

    Adjectives ("severe", "new") stand before it; a stage goes with dermatitis; all else follows
    ("sole ulcer bleeding").
    """
    if work.pieces[site].kind == "stage" and _has_stage(work.pieces[after]):
        return False
    if any(piece.kind in FOOT_KINDS for piece in work.pieces[before + 1 : site]):
        return True
    if not _only_modifiers(work, site + 1, after):
        return False
    if work.pieces[site].kind == "stage":
        staged = [work.lexicon.lesions[work.pieces[i].value].staged for i in (before, after)]
        return staged == [False, True] or (all(staged) and bool(had))
    behind = all(piece.kind in (*MODIFIERS, "zone") for piece in work.pieces[before + 1 : site])
    adjective = getattr(work.pieces[site].more, "stands_before", False)
    return bool(had) or not behind or adjective


def _has_stage(lesion: Piece) -> bool:
    """Whether a lesion was made of its stage: "digi left hind M2, right hind M4"."""
    return isinstance(lesion.more, dict) and "stage" in lesion.more


def _only_modifiers(work: Work, first: int, last: int) -> bool:
    return all(piece.kind in MODIFIERS for piece in work.pieces[first:last])
