"""Comparing what was heard with what was said: pure counting, nothing is forgiven."""

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Any

from dictate.entry.values import EntryValues

_FINDING = ("foot", "claw", "zone", "lesion", "stage", "severity", "object", "course")
_ACTION = ("kind", "foot", "claw", "material")
_FOLLOW_UP = ("kind", "in_days", "date")


def same_entry(one: EntryValues, other: EntryValues) -> bool:
    """Whether two entries record the same, whatever the order; marks and heard words aside."""
    return _record(one) == _record(other)


def count_exact(read: Iterable[EntryValues], said: Iterable[EntryValues]) -> int:
    """How many of the said entries were read exactly; each reading counts once."""
    left = Counter(map(_record, read))
    exact = 0
    for record in map(_record, said):
        if left[record]:
            left[record] -= 1
            exact += 1
    return exact


def same_sites(read: Sequence[EntryValues], said: Sequence[EntryValues]) -> bool:
    """Whether a clip gave the right animals, feet and lesions: all that were said and no others."""
    return Counter(_sites(read)) == Counter(_sites(said))


def _sites(entries: Iterable[EntryValues]) -> Iterable[tuple[Any, ...]]:
    for entry in entries:
        if entry.animal or entry.findings:
            yield (entry.animal,)
        yield from ((entry.animal, finding.foot, finding.lesion) for finding in entry.findings)


def _record(values: EntryValues) -> tuple[Any, ...]:
    return (
        values.animal,
        frozenset(
            Counter(
                (*_of(finding, _FINDING), frozenset(finding.tissue)) for finding in values.findings
            ).items()
        ),
        frozenset(Counter(_of(action, _ACTION) for action in values.actions).items()),
        frozenset(Counter(_of(one, _FOLLOW_UP) for one in values.follow_ups).items()),
        values.locomotion,
        frozenset((one.what, one.number, one.unit) for one in values.measures),
        frozenset(values.status),
        values.remark,
    )


def _of(item: Any, names: Sequence[str]) -> tuple[Any, ...]:
    return tuple(getattr(item, name) for name in names)
