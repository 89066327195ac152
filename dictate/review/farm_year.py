"""A farm's year as one folder to hand over: sheets, herd picture, what is due, tables."""

import csv
import datetime as dt
import io
from collections.abc import Iterable
from dataclasses import fields
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sqlmodel import Session

from dictate.errors import NotFoundError, StoreError
from dictate.exchange.values import guarded
from dictate.record.follow_ups import calendar_of
from dictate.record.rows import (
    ActionRow,
    AnimalRow,
    FindingRow,
    FollowUpRow,
    RemarkRow,
    VisitRow,
)
from dictate.settings import Settings
from dictate.sheets.herd_sheet import write_herd_sheet
from dictate.sheets.visit_sheet import write_sheet
from dictate.store.due_lines import what_about
from dictate.store.herd import herd_picture
from dictate.store.record_queries import (
    Scope,
    action_rows,
    animal_rows,
    finding_rows,
    follow_up_rows,
    remark_rows,
    visit_rows,
)
from dictate.store.visits import visit_by_id
from dictate.written import write_whole

if TYPE_CHECKING:
    from dictate.store.tables import Farm

_IDS = frozenset({"id", "farm_id", "visit_id", "animal_id", "entry_id", "done_by_entry"})
"""Numbers that mean nothing outside this record."""
_READ_ME = """{farm}, {year}

herd.pdf         how common each lesion was over the year, out of how many that were looked at
visit-DATE.pdf   the sheet of each visit
due.ics          what is due, for a calendar
*.csv            the same as tables: UTF-8, commas, one heading line

Findings and actions as said at the chute and confirmed by a person. No veterinary advice: the herd's
vet, product labels and local law decide.
"""


def write_farm_year(
    session: Session, settings: Settings, farm: "Farm", folder: Path, *, year: int | None = None
) -> dict[str, int]:
    """Write it to an empty folder; return what is in it by name, in rows or sheets.

    Raises:
        NotFoundError: there was no visit in that year.
        StoreError: the folder holds something, or cannot be written.
    """
    visits = visit_rows(session, farm_id=farm.id)
    year = year or (visits[-1].on.year if visits else dt.date.today().year)  # noqa: DTZ011
    visits = [visit for visit in visits if visit.on.year == year]
    if not visits:
        raise NotFoundError(f"{farm.name} had no visit in {year}", remedy="Name another --year")
    _check_empty(folder)
    scope = Scope(farm_id=farm.id, since=dt.date(year, 1, 1), until=dt.date(year, 12, 31))
    picture = herd_picture(session, farm, since=scope.since, until=scope.until)
    write_herd_sheet(picture, folder / "herd.pdf", paper=settings.paper)
    for visit in visits:
        name = (
            f"visit-{visit.on}.pdf"
            if _alone(visit.on, visits)
            else f"visit-{visit.on}-{visit.id}.pdf"
        )
        write_sheet(session, settings, visit_by_id(session, visit.id), out=folder / name)
    follow_ups = follow_up_rows(session, scope)
    about = what_about(session, follow_ups)
    made = calendar_of(follow_ups, {farm.id: farm.name}, stamp=dt.datetime.now(dt.UTC), about=about)
    write_whole(folder / "due.ics", made)
    animals = [row for row in animal_rows(session, farm_id=farm.id) if row.merged_into is None]
    tables: dict[str, tuple[type, Iterable[Any]]] = {
        "animals": (AnimalRow, animals),
        "findings": (FindingRow, finding_rows(session, scope)),
        "actions": (ActionRow, action_rows(session, scope)),
        "follow_ups": (FollowUpRow, follow_ups),
        "remarks": (RemarkRow, remark_rows(session, scope)),
    }
    counts = {"visits": len(visits)}
    for name, (kind, rows) in tables.items():
        counts[name] = _table(folder / f"{name}.csv", kind, rows)
    write_whole(folder / "README.txt", _READ_ME.format(farm=farm.name, year=year))
    return counts


def _alone(day: dt.date, visits: Iterable[VisitRow]) -> bool:
    return sum(visit.on == day for visit in visits) == 1


def _check_empty(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if any(folder.iterdir()):
            raise StoreError("is not empty", where=str(folder), remedy="Name an empty folder")
    except OSError as error:
        raise StoreError(
            f"cannot be written: {error.strerror}", where=str(folder), remedy="Name another folder"
        ) from error


def _table(path: Path, kind: type, rows: Iterable[Any]) -> int:
    names = [field.name for field in fields(kind) if field.name not in _IDS]
    ordered = sorted(names, key=lambda name: ("on", "animal", "number").index(name) if name in ("on", "animal", "number") else 9)  # fmt: skip
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(["date" if name == "on" else name for name in ordered])
    count = 0
    for count, row in enumerate(rows, start=1):  # noqa: B007
        writer.writerow([_cell(getattr(row, name)) for name in ordered])
    write_whole(path, out.getvalue())
    return count


def _cell(value: Any) -> str:
    if value is None:
        return ""
    return guarded("; ".join(value) if isinstance(value, tuple) else str(value))
