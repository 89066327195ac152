"""A reading as plain data: the object of `dictate explain --json`."""

from typing import Any

from grammar.records import Action, Entry, Finding, FollowUp, Mark, Reading, Slot


def as_json(reading: Reading) -> dict[str, Any]:
    """Return the object that `dictate explain --json` prints; keys are added, never removed."""
    words = [word.text for word in reading.words]
    return {
        "words": words,
        "entries": [_entry(entry) for entry in reading.entries],
        "commands": [command.kind for command in reading.commands],
        "command_details": [
            {"kind": command.kind, "first": command.first, "last": command.last}
            for command in reading.commands
        ],
        "leftover": [words[i] for i in reading.leftover],
        "leftover_at": list(reading.leftover),
        "marks": list(dict.fromkeys(mark.check for mark in reading.marks)),
        "mark_details": [_mark(mark) for mark in reading.marks],
    }


def _value(slot: Slot[Any] | None) -> Any:
    return None if slot is None else slot.value


def _entry(entry: Entry) -> dict[str, Any]:
    score = entry.locomotion
    return {
        "animal": _value(entry.animal),
        "animal_candidates": list(entry.animal_candidates),
        "findings": [_finding(finding) for finding in entry.findings],
        "actions": [_action(action) for action in entry.actions],
        "follow_ups": [_follow_up(follow_up) for follow_up in entry.follow_ups],
        "locomotion": None if score is None else {"score": score.score.value, "scale": score.scale},
        "measures": [
            {"what": m.what, "number": str(m.number), "unit": m.unit} for m in entry.measures
        ],
        "status": [status.value for status in entry.status],
        "denied": [denied.value for denied in entry.denied],
        "remark": entry.remark,
        "corrections": [{"slot": c.slot, "was": c.was, "now": c.now} for c in entry.corrections],
        "marks": list(dict.fromkeys(mark.check for mark in entry.marks)),
        "mark_details": [_mark(mark) for mark in entry.marks],
    }


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "foot": _value(finding.foot),
        "claw": _value(finding.claw),
        "zone": _value(finding.zone),
        "lesion": finding.lesion.value,
        "stage": _value(finding.stage),
        "severity": _value(finding.severity),
        "heard": finding.lesion.heard,
        "object": _value(finding.object),
        "course": _value(finding.course),
        "tissue": [tissue.value for tissue in finding.tissue],
        "region": _value(finding.region),
    }


def _action(action: Action) -> dict[str, Any]:
    return {
        "kind": action.kind.value,
        "foot": _value(action.foot),
        "claw": _value(action.claw),
        "material": _value(action.material),
    }


def _follow_up(follow_up: FollowUp) -> dict[str, Any]:
    return {
        "kind": follow_up.kind.value,
        "feet": [foot.value for foot in follow_up.feet],
        "claw": _value(follow_up.claw),
        "in_days": follow_up.in_days,
        "date": follow_up.on.isoformat() if follow_up.on else None,
        "when": follow_up.when,
    }


def _mark(mark: Mark) -> dict[str, Any]:
    return {
        "id": mark.check,
        "what": mark.what,
        "why": mark.why,
        "clear": mark.clear,
        "first": mark.first,
        "last": mark.last,
        "candidates": list(mark.candidates),
    }
