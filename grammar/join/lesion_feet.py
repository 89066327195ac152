"""Which feet lesions are on, where the nearest foot before is not it."""

from collections.abc import Sequence
from itertools import pairwise

from grammar.join.beside import begins_finding
from grammar.join.cursor import back, get, past, seek
from grammar.join.feet import ALL_FEET
from grammar.join.finding_slots import (
    Feet,
)
from grammar.join.own_foot import feet_behind
from grammar.join.work import Work
from grammar.pieces import (
    CLAWS,
    FEET,
    MODIFIERS,
    ActionSaid,
    Claw,
    Denied,
    Lesion,
    Region,
    Zone,
    is_clean,
)

__all__ = ["feet_of_lesions", "own_feet", "picked_behind", "told_together"]

_TELLS = frozenset({"that's", "it's", "is", "which", "which's"})
_ONLY = frozenset({"just", "only"})
"""Words by which something is told of the foot before them: "no wart on the left, that's clean"."""


def own_feet(
    work: Work, heads: Sequence[int], foot_of: dict[int, int], sites: Sequence[int]
) -> dict[int, int]:
    """ "fronts fine, sole ulcer left hind": a foot just said clean has no lesion, where one follows.

    Nor is a foot with a lesion clean: "left hind ulcer, clean right hind".
    """
    found = dict(foot_of)
    for before, head in pairwise(heads):
        if found.get(before) != found.get(head) or head not in found or found[head] > before:
            continue
        told_apart = is_clean(work.pieces[before]) != is_clean(work.pieces[head])
        if not told_apart and not _ends_with_foot(work, head, heads[-1]):
            continue
        later = [one for one in heads if one >= head]
        ends = [*later[1:], len(work.pieces)]
        behind = [_between(sites, one, end) for one, end in zip(later, ends, strict=True)]
        own = {one: site for one, site in zip(later, behind, strict=True) if site is not None}
        if len(own) == len(later):  # each of the rest has a foot behind it
            return found | own
    return found


def told_together(work: Work, heads: Sequence[int], sites: Sequence[int]) -> dict[int, int]:
    """Return lesion -> the last of the lesions that one foot behind them is told of.

    "Ulcer right hind, dermatitis and thin sole left hind": only where the first lesion stands before a foot.
    """
    last = {head: head for head in heads}
    if sites and sites[0] < heads[0]:
        return last
    for head, following in reversed(list(pairwise(heads))):
        between = _between(sites, head, following) is not None
        if not between and _is_told_with(work, head, following):
            last[head] = last[following]
    return last


def _is_told_with(work: Work, head: int, following: int) -> bool:
    """Whether two lesions are joined by "and", or told of two claws: "ulcer outer, bruise inner left hind"."""
    if "and" in work.said_before(following):
        return True
    one, other = get(work.pieces, head + 1), get(work.pieces, following + 1)
    return (
        isinstance(one, Claw)
        and isinstance(other, Claw)
        and {one.value, other.value} == {"outer", "inner"}
    )


def _ends_with_foot(work: Work, head: int, last: int) -> bool:
    """ "left hind wart, heel erosion both hinds": a foot that ends the note is the last lesion's."""
    foot = past(work.pieces, head + 1, (*MODIFIERS, Zone, Region))
    ends = past(work.pieces, foot + 1, (*CLAWS, Zone, Region, *MODIFIERS)) >= len(work.pieces)
    return head == last and isinstance(get(work.pieces, foot), FEET) and ends


def _between(sites: Sequence[int], after: int, before: int) -> int | None:
    """Return the first site between two positions."""
    return next((site for site in sites if after < site < before), None)


def feet_of_lesions(work: Work, feet: Feet, last_head: int) -> list[int]:
    """Return the foot pieces in order, without a last one said only to deny a lesion there.

    The only foot of a note stays: "bruising right hind, no ulcer".
    """
    found: list[int] = []
    behind = feet_behind(work).values()  # "ulcer outer right hind, no block"
    heads = work.at(Lesion)
    clean = all(is_clean(work.pieces[head]) for head in heads)
    lesion_first = _is_lesion_first(work, heads, sorted(feet))
    for site in sorted(feet):
        at = past(work.pieces, site + 1, CLAWS)
        no, other = get(work.pieces, at), get(work.pieces, at + 1)
        # "ulcer left hind, no wart right hind": who says the lesion first denies it first, too
        own = lesion_first and not _leads_alone(work, at + 1)
        elsewhere = isinstance(other, FEET) and (work.link[at + 1] or own)
        denies = isinstance(no, Denied) and not (no.value == "deed" and site in behind)
        denies = denies and not elsewhere
        if clean and _is_trimmed(work, site, feet[site]) and site > last_head:
            continue  # "she's grand, trimmed all four"
        before = get(work.pieces, site - 1)
        told = work.link[site] or (lesion_first and not _leads_alone(work, site))
        told_of = set(work.said_before(site + 1)) if site + 1 < len(work.pieces) else set()
        kept = _TELLS if is_clean(get(work.pieces, site + 1)) else _ONLY
        of_it = isinstance(get(work.pieces, site + 1), Lesion) and not kept.isdisjoint(told_of)
        if isinstance(before, Denied) and not before.value and told and not of_it:
            continue  # "ulcer left hind, no wart on the right"
        if site < last_head or work.link[site] or not denies:
            found.append(site)
    return found or [
        site for site in sorted(feet) if not (clean and _is_trimmed(work, site, feet[site]))
    ]


def _is_lesion_first(work: Work, heads: Sequence[int], sites: Sequence[int]) -> bool:
    """Whether lesions, found or denied, stand before their feet: "no wart right hind, ulcer left hind"."""
    if not sites or not heads:
        return False
    denied = [at for at in work.at(Denied) if begins_finding(work.pieces[at])]
    behind = sites[-1] > heads[-1]
    return heads[0] < sites[0] or bool(behind and denied and denied[0] < sites[0])


def _leads_alone(work: Work, foot: int) -> bool:
    """ "… left front no wart, right hind ulcer": a lesion follows this foot, and has none behind it."""
    lesion = past(work.pieces, foot + 1, (*CLAWS, *MODIFIERS, Zone, Region))
    if not isinstance(get(work.pieces, lesion), Lesion):
        return False
    behind = past(work.pieces, lesion + 1, (*CLAWS, *MODIFIERS, Zone, Region))
    while isinstance(get(work.pieces, behind), Lesion) and _is_told_with(work, lesion, behind):
        lesion = behind
        behind = past(work.pieces, lesion + 1, (*CLAWS, *MODIFIERS, Zone, Region))
    return not isinstance(get(work.pieces, behind), FEET)


def _is_trimmed(work: Work, site: int, feet: tuple[str, ...]) -> bool:
    """Whether all four feet are said only of a trim: "trimmed all four"."""
    deed = get(work.pieces, site - 1)
    trimmed = isinstance(deed, ActionSaid) and deed.value == "functional trim"
    return trimmed and not work.link[site] and set(feet) == set(ALL_FEET)


def _is_behind_deeds_foot(work: Work, head: int, behind: int, feet: Feet) -> bool:
    """ "Brought the toes back in front, nothing wrong behind": the first foot is the deed's alone."""
    before = back(work.pieces, head - 1, MODIFIERS)
    deed, ends = get(work.pieces, before - 1), past(work.pieces, behind + 1, CLAWS)
    trimmed = isinstance(deed, ActionSaid) and deed.value == "functional trim"
    if not trimmed or ends < len(work.pieces) or before not in feet or behind not in feet:
        return False
    return set(feet[before]).isdisjoint(feet[behind]) or set(feet[behind]) < set(feet[before])


def _has_had_its_say(work: Work, before: int, head: int, behind: int, feet: Feet) -> bool:
    """ "Both backs trimmed, bruise left front inner": the backs were trimmed, and the note ends with the bruise."""
    trimmed = all(
        isinstance(one, ActionSaid) and one.value == "functional trim"
        for one in work.pieces[before + 1 : head]
        if not isinstance(one, MODIFIERS)
    )
    deed = seek(work.pieces, behind + 1, (ActionSaid,))
    own = deed is None or isinstance(get(work.pieces, behind + 1), CLAWS)
    return trimmed and own and set(feet[before]).isdisjoint(feet[behind])


def picked_behind(work: Work, heads: Sequence[int], feet: Feet) -> dict[int, int]:
    """ "All four trimmed, slight bruising left front": the four have had their say before."""
    found: dict[int, int] = {}
    for head in heads:
        before = back(work.pieces, head - 1, (*MODIFIERS, ActionSaid))
        behind = past(work.pieces, head + 1, (*MODIFIERS, Zone, Region))
        done = any(isinstance(one, ActionSaid) for one in work.pieces[before + 1 : head])
        told = done and before in feet and behind in feet
        if (
            (told and set(feet[behind]) < set(feet[before]))
            or (told and _has_had_its_say(work, before, head, behind, feet))
            or _is_behind_deeds_foot(work, head, behind, feet)
        ):
            found[head] = behind
    return found
