"""Which foot, claw and zone each finding and action belongs to.

Order is free: a finding belongs to the nearest site said before it, or after it when none was
before.  A speaker who starts with the lesion ("sole ulcer left hind, wart right hind") goes on so.
"""

from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["assign_carried", "assign_own"]


def _between(sites: Sequence[int], low: int, high: int) -> list[int]:
    return [site for site in sites if low < site < high]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Gap:
    """Sites said between one head and the next."""

    sites: tuple[int, ...]


def _gaps(heads: Sequence[int], sites: Sequence[int]) -> list[_Gap]:
    """gaps[k] lies before heads[k]; the last one lies after the last head.  Linear in both."""
    gaps: list[_Gap] = []
    position = 0
    for head in (*heads, float("inf")):
        start = position
        while position < len(sites) and sites[position] < head:
            position += 1
        gaps.append(_Gap(sites=tuple(sites[start:position])))
    return gaps


def assign_carried(heads: Sequence[int], sites: Sequence[int]) -> dict[int, int]:
    """Give each head its site; a site carries over until the next one (feet, claws).

    heads, sites: ascending positions in the note.  Returns head -> site; a head without any is left
    out.
    """
    gaps = _gaps(heads, sites)
    if not heads:
        return {}
    return _site_first(heads, gaps) if gaps[0].sites else _lesion_first(heads, gaps)


def _site_first(heads: Sequence[int], gaps: Sequence[_Gap]) -> dict[int, int]:
    found: dict[int, int] = {}
    current = -1
    for head, gap in zip(heads, gaps, strict=False):
        if gap.sites:
            current = gap.sites[-1]
        found[head] = current
    return found


def _lesion_first(heads: Sequence[int], gaps: Sequence[_Gap]) -> dict[int, int]:
    """The first head takes the first site after it; later ones go on so while sites follow them."""
    found: dict[int, int] = {}
    first_site = next((gap.sites[0] for gap in gaps if gap.sites), None)
    if first_site is None:
        return {}
    used: set[int] = set()
    current = first_site
    count = len(heads)
    for k, head in enumerate(heads):
        own = [site for site in gaps[k].sites if site not in used]
        after = gaps[k + 1].sites
        goes_on = bool(after) and (k == count - 1 or k == 0 or bool(gaps[k + 2].sites))
        if own:
            current = own[-1]
        elif goes_on:
            current = after[0]
        found[head] = current
        used.add(current)
    return found


def assign_own(heads: Sequence[int], sites: Sequence[int]) -> dict[int, list[int]]:
    """Give each site to one head; nothing carries over (zones, regions).

    A speaker who says the zone first goes on so; else a site belongs to the head before it.
    """
    if not heads:
        return {}
    gaps = _gaps(heads, sites)
    found: dict[int, list[int]] = {head: [] for head in heads}
    zone_first = bool(gaps[0].sites)
    last = len(heads)
    for k, gap in enumerate(gaps):
        for site in gap.sites:
            if k == 0:
                found[heads[0]].append(site)
            elif k == last or not (zone_first and not found[heads[k]] and found[heads[k - 1]]):
                found[heads[k - 1]].append(site)
            else:
                found[heads[k]].append(site)
    return found
