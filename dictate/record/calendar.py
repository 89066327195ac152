"""Follow-ups as a calendar file (iCalendar, RFC 5545), one all-day event for each day and kind."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping
from hashlib import sha256

from icalendar import Calendar, Event

from dictate.record.rows import FollowUpRow

__all__ = ["calendar_of"]


def calendar_of(
    follow_ups: Iterable[FollowUpRow], farms: Mapping[int, str], *, stamp: dt.datetime
) -> bytes:
    """Return an .ics file of the open, dated follow-ups.

    Events keep their UID from export to export, so that a calendar replaces and does not double
    them. `stamp` is the moment of writing, with its time zone.
    """
    calendar = Calendar()
    calendar.add("prodid", "-//dictate//follow-ups//EN")
    calendar.add("version", "2.0")
    groups: dict[tuple[dt.date, int, str], list[str]] = defaultdict(list)
    for row in follow_ups:
        due = row.snoozed_to or row.due_on
        if row.done_on is None and due is not None:
            groups[due, row.farm_id, row.kind].append(row.animal)
    for (due, farm_id, kind), animals in sorted(groups.items()):
        farm = farms.get(farm_id, "")
        numbers = list(dict.fromkeys(animals))
        event = Event()
        event.add("uid", f"{sha256(f'{farm_id}|{due}|{kind}'.encode()).hexdigest()[:32]}@dictate")
        event.add("dtstamp", stamp)
        event.add("dtstart", due)
        event.add("dtend", due + dt.timedelta(days=1))
        event.add("summary", f"{farm}: {kind} {', '.join(numbers)}")
        event.add(
            "description",
            "As said at the chute. No veterinary advice: the herd's vet, product labels and local law decide.",
        )
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    return calendar.to_ical()
