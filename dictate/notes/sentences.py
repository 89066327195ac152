"""Entries as plain words for a person: one short phrase for each thing that was found or done."""

from collections.abc import Iterator

from dictate.entry.values import (
    ActionValues,
    EntryValues,
    FindingValues,
    FollowUpValues,
    MeasureValues,
)

__all__ = ["say_action", "say_entry", "say_finding", "say_follow_up", "say_measure"]

FEET = {"LF": "left front", "RF": "right front", "LH": "left hind", "RH": "right hind"}


def say_entry(values: EntryValues) -> str:
    """The whole entry, e.g. `412: left hind outer sole ulcer, zone 4; block (rubber) left hind inner`."""
    return f"{values.animal or 'no animal'}: {'; '.join(_parts(values)) or 'nothing recorded'}"


def say_finding(finding: FindingValues) -> str:
    """A finding, e.g. `left hind outer sole ulcer, zone 4, severe`."""
    start = _joined(_site(finding.foot, finding.claw), finding.lesion)
    zone = f"zone {finding.zone}" if finding.zone is not None else None
    details = (
        finding.stage,
        zone,
        finding.severity,
        finding.object,
        finding.course,
        *finding.tissue,
    )
    return ", ".join((start, *(detail for detail in details if detail)))


def say_action(action: ActionValues) -> str:
    """An action, e.g. `block (rubber) left hind inner`."""
    material = f"({action.material})" if action.material else None
    return _joined(action.kind, material, _site(action.foot, action.claw))


def say_follow_up(follow_up: FollowUpValues) -> str:
    """A follow-up, e.g. `look again 2026-03-16`."""
    if follow_up.date is not None:
        return f"{follow_up.kind} {follow_up.date.isoformat()}"
    if follow_up.in_days is not None:
        return f"{follow_up.kind} in {follow_up.in_days} days"
    return _joined(follow_up.kind, follow_up.when or "no date said")


def say_measure(measure: MeasureValues) -> str:
    """A measure, e.g. `dorsal wall 80 mm`."""
    return f"{measure.what} {measure.number} {measure.unit}"


def _parts(values: EntryValues) -> Iterator[str]:
    yield from map(say_finding, values.findings)
    yield from map(say_action, values.actions)
    if values.locomotion is not None:
        scale = values.locomotion.scale
        yield f"locomotion {values.locomotion.score} ({scale or 'scale not said'})"
    yield from map(say_measure, values.measures)
    yield from map(say_follow_up, values.follow_ups)
    yield from values.status
    if values.remark:
        yield f"remark “{values.remark}”"


def _site(foot: str | None, claw: str | None) -> str | None:
    return _joined(FEET.get(foot or ""), claw) or None


def _joined(*parts: str | None) -> str:
    return " ".join(part for part in parts if part)
