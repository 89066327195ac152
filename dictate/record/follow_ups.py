"""Follow-ups: which a later note settles, because it says that the thing was done; and as a calendar.

| asked for  | settled by a later visit's                                    |
|------------|---------------------------------------------------------------|
| wrap off   | `wrap removed`, or `healed` for that foot                      |
| block off  | `block removed`                                                |
| look again | any finding at that foot, `no lesion` for the animal included  |
| trim       | a functional or therapeutic trim                               |
| vet        | nothing: only a person ticks it off                            |

A foot only decides when it was said on both sides.
"""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from hashlib import sha256

from dictate.record.rows import TRIM_KINDS, ActionRow, FindingRow, FollowUpRow
from dictate.texts import translated

_REMOVED = {"wrap off": "wrap removed", "block off": "block removed"}
_PUT_ON = {"wrap off": "wrap", "block off": "block"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """A follow-up and the entry that settled it."""

    follow_up_id: int
    entry_id: int
    on: date


def settled_by(
    follow_ups: Iterable[FollowUpRow], findings: Sequence[FindingRow], actions: Sequence[ActionRow]
) -> tuple[Settled, ...]:
    """Return the first later entry that settles each open follow-up of one animal.

    All rows are of that animal; the order of confirming does not matter, only the days do.
    """
    settled = []
    for asked in follow_ups:
        if asked.done_on is not None:
            continue
        feet = feet_about(asked, findings, actions)
        rows: tuple[FindingRow | ActionRow, ...] = (*findings, *actions)
        later = [
            (row.on, row.entry_id)
            for row in rows
            if row.entry_id is not None and row.on > asked.on and _settles(asked, row, feet)
        ]
        if later:
            on, entry_id = min(later)
            settled.append(Settled(follow_up_id=asked.id, entry_id=entry_id, on=on))
    return tuple(settled)


def feet_about(
    asked: FollowUpRow, findings: Sequence[FindingRow], actions: Sequence[ActionRow]
) -> frozenset[str]:
    """Feet the follow-up is about: those said of it, else as far as its own entry says."""
    if asked.feet:
        return frozenset(asked.feet)
    put_on = _PUT_ON.get(asked.kind)
    rows = [row for row in actions if row.kind == put_on] if put_on else findings
    return frozenset(row.foot for row in rows if row.entry_id == asked.entry_id and row.foot)


def _settles(asked: FollowUpRow, row: FindingRow | ActionRow, feet: frozenset[str]) -> bool:
    if feet and row.foot and row.foot not in feet:
        return False
    if isinstance(row, FindingRow):
        healed = asked.kind == "wrap off" and row.course == "healed"
        return asked.kind == "look again" or healed
    if asked.kind == "trim":
        return row.kind in TRIM_KINDS
    return row.kind == _REMOVED.get(asked.kind)


def calendar_of(
    follow_ups: Iterable[FollowUpRow],
    farms: Mapping[int, str],
    *,
    stamp: dt.datetime,
    about: Mapping[int, str] | None = None,
) -> bytes:
    """Return an .ics file of the open, dated follow-ups; `about` says feet and lesions by id.

    Events keep their UID from export to export, so that a calendar replaces and does not double
    them. `stamp` is the moment of writing, with its time zone.
    """
    from icalendar import Calendar, Event  # noqa: PLC0415 (few commands write one)

    calendar = Calendar()
    calendar.add("prodid", "-//dictate//follow-ups//EN")
    calendar.add("version", "2.0")
    groups: dict[tuple[dt.date, int, str], list[FollowUpRow]] = defaultdict(list)
    for row in follow_ups:
        due = row.snoozed_to or row.due_on
        if row.done_on is None and due is not None:
            groups[due, row.farm_id, row.kind].append(row)
    for (due, farm_id, kind), rows in sorted(groups.items(), key=lambda group: group[0]):
        farm = farms.get(farm_id, "")
        numbers = list(dict.fromkeys(row.animal for row in rows))
        lines = [f"{row.animal}: {said}" for row in rows if (said := (about or {}).get(row.id))]
        event = Event()
        event.add("uid", f"{sha256(f'{farm_id}|{due}|{kind}'.encode()).hexdigest()[:32]}@dictate")
        event.add("dtstamp", stamp)
        event.add("dtstart", due)
        event.add("dtend", due + dt.timedelta(days=1))
        event.add("summary", f"{farm}: {translated(kind)} {', '.join(numbers)}")
        event.add(
            "description",
            "".join(f"{line}\n" for line in dict.fromkeys(lines))
            + "As said at the chute. No veterinary advice: the herd's vet, product labels and local law decide.",
        )
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    return bytes(calendar.to_ical())
