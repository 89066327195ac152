"""What a follow-up is about: the feet and lesions of the note that asked for it."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from dictate.record.rows import NO_LESION, ActionRow, FindingRow, FollowUpRow

__all__ = ["subjects_of"]

_OF_ACTION = {"block off": ("block",), "wrap off": ("wrap", "topical"), "trim": ()}
"""Kind of a follow-up to the actions whose feet it is about; any other is about the lesions."""


def subjects_of(
    follow_ups: Iterable[FollowUpRow],
    findings: Iterable[FindingRow],
    actions: Iterable[ActionRow],
) -> dict[int, str]:
    """Id of each follow-up to e.g. `LH outer sole ulcer, RH digital dermatitis`; empty when unsaid."""
    found: Mapping[int | None, list[FindingRow]] = defaultdict(list)
    done: Mapping[int | None, list[ActionRow]] = defaultdict(list)
    for finding in findings:
        found[finding.entry_id].append(finding)
    for action in actions:
        done[action.entry_id].append(action)
    return {
        row.id: _subject(row.kind, found[row.entry_id], done[row.entry_id]) for row in follow_ups
    }


def _subject(kind: str, findings: Sequence[FindingRow], actions: Sequence[ActionRow]) -> str:
    wanted = _OF_ACTION.get(kind)
    places = [
        _words(action.foot, action.claw)
        for action in actions
        if wanted and action.kind in wanted and action.foot
    ]
    lesions = [
        _words(finding.foot, finding.claw, finding.lesion)
        for finding in findings
        if finding.lesion != NO_LESION
        and (not places or any(action.foot == finding.foot for action in actions if wanted and action.kind in wanted))
    ]  # fmt: skip
    # A block stands on the other claw: its own place first, then what it is there for.
    return ", ".join(dict.fromkeys(lesions if not places else _merged(places, lesions)))


def _merged(places: Sequence[str], lesions: Sequence[str]) -> list[str]:
    return [*places, *(f"for {lesion}" for lesion in lesions)]


def _words(*parts: str | None) -> str:
    return " ".join(part for part in parts if part)
