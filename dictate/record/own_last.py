"""Each animal of the last visit against its own visit before: the comparison that chance disturbs least."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from dictate.record.prevalence import Look
from dictate.record.rows import FindingRow, VisitRow, natural


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnLast:
    """Animals of the last visit, by whether they had a lesion then and when last looked at before."""

    on: date
    """Day of the last visit."""
    began: tuple[str, ...]
    """A lesion now, none at their own visit before."""
    still: tuple[str, ...]
    """A lesion at both."""
    gone: tuple[str, ...]
    """None now, one at their own visit before."""
    clean: tuple[str, ...]
    """None at both."""
    first: tuple[str, ...]
    """Looked at for the first time in the period: nothing to compare with."""


def against_own_last(
    visits: Sequence[VisitRow], findings: Iterable[FindingRow], looks: Iterable[Look]
) -> OwnLast | None:
    """Compare every animal that the last visit looked at with its own visit before; None without visits.

    Visits of every kind count: an animal is compared with itself, however either visit chose it.
    """
    if not visits:
        return None
    last = max(visits, key=lambda visit: (visit.on, visit.id))
    seen: dict[int, set[tuple[date, int]]] = defaultdict(set)
    for look in looks:
        seen[look.animal_id].add((look.on, look.visit_id))
    names: dict[int, str] = {}
    ill: set[tuple[int, int]] = set()
    for finding in findings:
        names[finding.animal_id] = finding.animal
        if finding.is_lesion:
            ill.add((finding.animal_id, finding.visit_id))
    groups: dict[str, list[str]] = defaultdict(list)
    for animal_id, days in seen.items():
        earlier = [visit for visit in days if visit < (last.on, last.id)]
        if (last.on, last.id) not in days or animal_id not in names:
            continue
        now = (animal_id, last.id) in ill
        if not earlier:
            groups["first"].append(names[animal_id])
            continue
        before = (animal_id, max(earlier)[1]) in ill
        kind = {(True, False): "began", (True, True): "still", (False, True): "gone"}
        groups[kind.get((now, before), "clean")].append(names[animal_id])
    return OwnLast(
        on=last.on,
        **{
            kind: tuple(sorted(groups[kind], key=natural))
            for kind in ("began", "still", "gone", "clean", "first")
        },
    )
