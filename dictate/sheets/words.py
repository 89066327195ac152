"""What stands on sheets and lists, in words; said things stay as they were said."""

from collections.abc import Iterable
from datetime import date

from dictate.record.rows import ActionRow, FindingRow, FollowUpRow, LocomotionRow, MeasureRow

__all__ = [
    "CAUTION",
    "action_words",
    "day",
    "feet_words",
    "finding_words",
    "follow_up_words",
    "locomotion_words",
    "measure_words",
    "place_words",
]

CAUTION = (
    "This sheet records what was said at the chute. It is no veterinary advice. Treatment, medicines "
    "and withdrawal times: the herd's vet, the product label and local law decide."
)

_ALL_FEET = ("LF", "RF", "LH", "RH")
_GROUPS = {_ALL_FEET: "all four feet", ("LF", "RF"): "both fronts", ("LH", "RH"): "both hinds"}


def day(on: date) -> str:
    """Return a date nobody can misread, whichever way round they write it: 2 Mar 2026."""
    # Not strftime's %b: that follows the computer's language.
    months = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split()
    return f"{on.day} {months[on.month - 1]} {on.year}"


def place_words(foot: str | None, claw: str | None, zone: int | None = None) -> str:
    parts = (foot, claw, None if zone is None else f"zone {zone}")
    return " ".join(part for part in parts if part)


def feet_words(feet: Iterable[str | None]) -> str:
    """Return feet in their order, taken together where there is a word: `both hinds`, `LF, RH`."""
    said = set(feet)
    ordered = tuple(foot for foot in _ALL_FEET if foot in said)
    return _GROUPS.get(ordered, ", ".join(ordered))


def finding_words(finding: FindingRow) -> str:
    """Return e.g. `LH outer zone 4: sole ulcer, severe, healing; corium exposed`."""
    stage = f" {finding.stage}" if finding.stage else ""
    thing = f" ({finding.object})" if finding.object else ""
    more = "".join(f", {part}" for part in (finding.severity, finding.course) if part)
    tissue = f"; {', '.join(finding.tissue)}" if finding.tissue else ""
    place = place_words(finding.foot, finding.claw, finding.zone)
    if finding.region and finding.zone is None:
        place = f"{place} {finding.region}".strip()
    return f"{place}{': ' if place else ''}{finding.lesion}{stage}{thing}{more}{tissue}"


def action_words(actions: Iterable[ActionRow]) -> tuple[str, ...]:
    """Return one line for each kind, claw and material, its feet taken together."""
    feet: dict[tuple[str, str | None, str | None], list[str]] = {}
    for action in actions:
        own = feet.setdefault((action.kind, action.claw, action.material), [])
        if action.foot and action.foot not in own:
            own.append(action.foot)
    lines = []
    for (kind, claw, material), where in feet.items():
        place = " ".join(part for part in (feet_words(where), claw) if part)
        lines.append(f"{kind}{f' {place}' if place else ''}{f' ({material})' if material else ''}")
    return tuple(lines)


def follow_up_words(follow_up: FollowUpRow) -> str:
    """Return e.g. `look again 16 Mar 2026`, or the words said when they gave no date."""
    due = follow_up.snoozed_to or follow_up.due_on
    if due:
        return f"{follow_up.kind} {day(due)}"
    return f"{follow_up.kind}: {follow_up.when or 'no date said'}"


def locomotion_words(row: LocomotionRow) -> str:
    return f"locomotion {row.score} ({f'scale {row.scale}' if row.scale else 'scale not said'})"


def measure_words(row: MeasureRow) -> str:
    return f"{row.what} {row.number} {row.unit}".strip()
