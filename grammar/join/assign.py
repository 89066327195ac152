"""Which foot, claw and zone each finding belongs to.

Order is free: a finding belongs to the nearest site said before it, or after it when none was
before.  A speaker who starts with the lesion ("sole ulcer left hind, wart right hind") goes on so.
"""

from collections.abc import Mapping, Sequence


def _gaps(heads: Sequence[int], sites: Sequence[int]) -> list[list[int]]:
    """Return the sites before each head and, last, those after the last head."""
    gaps: list[list[int]] = []
    position = 0
    for head in (*heads, float("inf")):
        start = position
        while position < len(sites) and sites[position] < head:
            position += 1
        gaps.append(list(sites[start:position]))
    return gaps


def assign_carried(
    heads: Sequence[int], sites: Sequence[int], linked: Mapping[int, int] | None = None
) -> dict[int, int]:
    """Give each head its site; a site carries over until the next one (feet, claws).

    heads, sites: ascending positions in the note.  linked: head -> the site joined to it by "on"
    ("ulcer on the outer"), which is its own whatever was said before.  Returns head -> site; a head
    without any is left out.
    """
    linked = linked or {}
    if not heads:
        return {}
    gaps = _gaps(heads, sites)
    found = _site_first(heads, gaps) if gaps[0] else _lesion_first(heads, gaps)
    return found | {head: linked[head] for head in heads if head in linked}


def _site_first(heads: Sequence[int], gaps: Sequence[list[int]]) -> dict[int, int]:
    found: dict[int, int] = {}
    current = -1
    for head, gap in zip(heads, gaps, strict=False):
        current = gap[-1] if gap else current
        found[head] = current
    return found


def _lesion_first(heads: Sequence[int], gaps: Sequence[list[int]]) -> dict[int, int]:
    """The first head takes the first site after it; later ones go on so while sites follow them."""
    current = next((gap[0] for gap in gaps if gap), None)
    if current is None:
        return {}
    found: dict[int, int] = {}
    used: set[int] = set()
    last = len(heads) - 1
    for k, head in enumerate(heads):
        own = [site for site in gaps[k] if site not in used]
        after = gaps[k + 1]
        goes_on = bool(after) and (k in (0, last) or bool(gaps[k + 2]))
        if own:
            current = own[-1]
        elif goes_on:
            current = after[0]
        found[head] = current
        used.add(current)
    return found


def in_turn(heads: Sequence[int], sites: Sequence[int]) -> dict[int, int]:
    """Return head -> site where each of several heads has one, all before or all behind them.

    "Sole ulcer left hind severe, white line right hind mild": a speaker tells each lesion in one order.
    Empty where one of them has none or more.
    """
    if len(heads) < 2 or len(heads) != len(sites):
        return {}
    told = [at for pair in zip(heads, sites, strict=True) for at in sorted(pair)]
    first = {site < head for head, site in zip(heads, sites, strict=True)}
    alike = len(first) == 1 and told == sorted(told)
    return dict(zip(heads, sites, strict=True)) if alike else {}


def assign_own(heads: Sequence[int], sites: Sequence[int]) -> dict[int, list[int]]:
    """Give each site to one head; nothing carries over (zones, regions).

    A speaker who says the zone first goes on so; else a site belongs to the head before it.
    """
    if not heads:
        return {}
    if turns := in_turn(heads, sites):
        return {head: [site] for head, site in turns.items()}
    gaps = _gaps(heads, sites)
    found: dict[int, list[int]] = {head: [] for head in heads}
    found[heads[0]] += gaps[0]
    zone_first = bool(gaps[0])
    for k, gap in enumerate(gaps[1:], start=1):
        for site in gap:
            to_next = (
                k < len(heads) and zone_first and bool(found[heads[k - 1]]) and not found[heads[k]]
            )
            found[heads[k if to_next else k - 1]].append(site)
    return found
