"""Follow-ups as a calendar file (iCalendar, RFC 5545), one all-day event for each day and kind."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping
from hashlib import sha256

from icalendar import Calendar, Event

from dictate.record.rows import FollowUpRow
from dictate.texts import translated


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
