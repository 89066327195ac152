"""Which lesion a stage, a severity or a zone goes with."""

from collections.abc import Sequence
from itertools import pairwise

from grammar.join.assign import in_turn
from grammar.join.cursor import find_back, get, past, seek
from grammar.join.work import Work
from grammar.pieces import (
    CLAWS,
    FEET,
    MODIFIERS,
    Course,
    Denied,
    Lesion,
    Piece,
    Stage,
    Tissue,
    Zone,
    is_clean,
)

__all__ = ["assign_modifiers", "zones_of_both"]


def zones_of_both(
    work: Work, heads: Sequence[int], zone_of: dict[int, list[int]]
) -> dict[int, list[int]]:
    """ "ulcer …, bruise …, both zone four": the zone is of the last two."""
    for before, head in pairwise(heads):
        zone_of[before] += [
            at
            for at in zone_of[head]
            if "both" in work.said_before(at)
            or ("both" in work.said_behind(at) and not _is_site(work, at + 1))
        ]
    return zone_of


def _is_site(work: Work, at: int) -> bool:
    """ "White line zone three, ulcer zone four, both left hind outer": both lesions, not zones."""
    return isinstance(get(work.pieces, at), (*FEET, *CLAWS))


def assign_modifiers(
    work: Work, heads: Sequence[int], sites: Sequence[int], behind: set[int]
) -> dict[int, list[int]]:
    """A modifier directly before a lesion is that lesion's; else it goes with the one before it.

    behind: modifiers that surely go with the one before.
    """
    if turns := in_turn(heads, sites):
        return {head: [site] for head, site in turns.items()}
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
        if site not in behind and _is_of_another_foot(work, before, site, after):
            work.loose.add(site)
            continue
        if before is None or after is None:
            only = before if after is None else after
            if only is not None:
                found[only].append(site)
            continue
        if _is_of_clean_foot(work, before, site, after):
            work.loose.add(site)
            continue
        ahead = site not in behind and _goes_ahead(work, before, site, after, found[before])
        found[after if ahead else before].append(site)
    return found


def _is_of_another_foot(work: Work, before: int | None, site: int, after: int | None) -> bool:
    """ "Left hind healed, right hind ulcer", "fronts clean, left hind sore": said of a foot without a lesion."""
    foot = get(work.pieces, site - 1) if site else None
    if not isinstance(foot, FEET) or isinstance(work.pieces[site], Stage):
        return False
    if before is None:
        told = isinstance(work.pieces[site], Course)
        return told and seek(work.pieces, site + 1, FEET, after) is not None
    site_before = find_back(work.pieces, before - 1, FEET, ())
    own = site_before is not None and not isinstance(get(work.pieces, site_before - 1), Denied)
    return after is None and (own or seek(work.pieces, before + 1, FEET, site - 1) is not None)


def _is_of_clean_foot(work: Work, before: int, site: int, after: int) -> bool:
    """ "Left hind white line, right hind sore, found nothing": the left hind is not said to be sore."""
    if not is_clean(work.pieces[after]) or isinstance(work.pieces[site], Course):
        return False
    foot = seek(work.pieces, before + 1, FEET, site)
    own = find_back(
        work.pieces, before - 1, FEET, ()
    )  # "heel erosion on the hinds mild, fronts clean"
    return (
        foot is not None
        and own is not None
        and past(work.pieces, foot + 1, (*CLAWS, *MODIFIERS)) > site
    )


def _goes_ahead(work: Work, before: int, site: int, after: int, had: Sequence[int]) -> bool:
    """Whether a modifier between two lesions is the later one's.

    Adjectives ("severe", "new") stand before it; a stage goes with dermatitis; all else follows
    ("sole ulcer bleeding").
    """
    said = work.pieces[site]
    if isinstance(said, Stage) and (_has_stage(work.pieces[after]) or not work.is_staged(after)):
        return not work.is_staged(before)  # a stage goes with dermatitis
    if is_clean(work.pieces[after]) and not isinstance(said, Course):
        return False
    if _is_of_next_claw(work, before, site, after):
        return True
    if _closes(work, site, after):
        return False
    if seek(work.pieces, before + 1, FEET, site) is not None:
        # "dermatitis left hind healed, right hind M2": the next lesion has a foot of its own
        return seek(work.pieces, site + 1, FEET, after) is None
    if past(work.pieces, site + 1, MODIFIERS) < after:
        return False
    if isinstance(said, Stage):
        staged = [work.is_staged(i) for i in (before, after)]
        return staged == [False, True] or (all(staged) and bool(had))
    behind = past(work.pieces, before + 1, (*MODIFIERS, Zone)) >= site
    return bool(had) or not behind or getattr(said, "stands_before", False)


def _is_of_next_claw(work: Work, before: int, site: int, after: int) -> bool:
    """ "Outside's bruised but the inside is worse, it's got an ulcer": of the claw it is told of."""
    claws = (get(work.pieces, before - 1), get(work.pieces, site - 1))
    told = all(isinstance(one, CLAWS) for one in claws) and site - 1 > before
    return told and seek(work.pieces, site + 1, (*FEET, *CLAWS), after) is None


def _closes(work: Work, site: int, after: int) -> bool:
    """ "Both hinds moderate and a small crack", "mild, bad ulcer right hind": what follows begins anew."""
    said = work.pieces[site]
    if isinstance(said, Stage):
        return False
    if any(
        not {"a", "an"}.isdisjoint(work.said_before(at)) or type(work.pieces[at]) is type(said)
        for at in range(site + 1, after + 1)
    ):
        return True
    joined = not {"and", "plus"}.isdisjoint(work.said_before(after))
    return joined and site + 1 == after and not isinstance(said, Tissue)  # "hot and swollen"


def _has_stage(lesion: Piece) -> bool:
    """Whether a lesion was made of its stage: "digi left hind M2, right hind M4"."""
    return isinstance(lesion, Lesion) and lesion.stage is not None
