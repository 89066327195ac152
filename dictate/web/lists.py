"""A list that a person uploads, kept until its columns are matched and it is taken in."""

import datetime as dt
import secrets
from collections.abc import Mapping, Sequence
from typing import Any

from fastapi.responses import Response
from starlette.datastructures import FormData

from dictate.entry.wording import day
from dictate.errors import NotFoundError, RosterError
from dictate.exchange.roster import Columns, Refused, Table, read_table, write_refused
from dictate.exchange.roster.cells import Cell
from dictate.exchange.roster.dates import DateOrder, Unfit, read_date
from dictate.texts import gettext, ngettext
from dictate.web.gate import Person

_SHOWN = 6
_DAYS = frozenset({"date", "calved_on", "dried_off_on", "left_on"})
"""Fields that are days."""
_DRAFTS = 3
"""Uploads kept for a person between the steps; older ones are dropped."""


def hold(person: Person, data: bytes, sheet: str | None = None) -> str:
    """Keep an upload for a moment; returns the key that its form carries."""
    for old in list(person.drafts)[: max(0, len(person.drafts) - _DRAFTS + 1)]:
        del person.drafts[old]
    key = secrets.token_urlsafe(12)
    person.drafts[key] = (data, sheet)
    return key


def not_taken_in(refused: Sequence[Refused]) -> str:
    """How many lines were left out, behind what was done; empty when none was."""
    count = len(refused)
    if not count:
        return ""
    return " " + ngettext("Not taken in: %(num)s line.", "Not taken in: %(num)s lines.", count)


def held(person: Person, key: str) -> Table:
    """The table of an upload.

    Raises:
        RosterError: it is no longer kept.
    """
    if key not in person.drafts:
        raise RosterError(
            gettext("the file is no longer held here"), remedy=gettext("Choose it once more")
        )
    data, sheet = person.drafts[key]
    return read_table(data, sheet=sheet)


def chosen_columns(form: FormData, fields: Mapping[str, str]) -> dict[int, str]:
    """Column, from 0, to field, as chosen in the form."""
    return {
        int(at): str(value)
        for name, value in form.items()
        if (at := name.removeprefix("column.")) != name and at.isdecimal() and value in fields
    }


def chosen_dates(form: FormData) -> DateOrder | None:
    """The order of day and month, where the person chose one."""
    said = form.get("dates")
    return DateOrder(str(said)) if said in list(DateOrder) else None


def to_match(
    table: Table,
    columns: Columns,
    fields: Mapping[str, str],
    *,
    order: DateOrder | None,
    today: dt.date,
) -> dict[str, Any]:
    """What the page shows of a table whose columns are to be matched; `order` is that of its dates."""
    body = table.rows[columns.start :]

    def read(at: int, cell: Cell) -> tuple[str, str]:
        """A cell as the page says it, and as the file does where that is something else."""
        if not isinstance(cell, str):
            return day(cell), ""
        if columns.fields.get(at) not in _DAYS or not cell.strip():
            return cell, ""
        try:
            date = read_date(cell, order, today, table.day_zero)
        except Unfit:
            return cell, ""
        return day(date), "" if cell.strip() == date.isoformat() else cell

    return {
        "headings": [
            columns.heading(at) for at in range(max(columns.width, len(columns.headings)))
        ],
        "count": len(body),
        "fields": fields,
        "orders": list(DateOrder),
        "sample": [[read(at, cell) for at, cell in enumerate(row.cells)] for row in body[:_SHOWN]],
    }


def refused_file(refused: Sequence[Refused], columns: Columns | None) -> Response:
    """The lines that would not be taken in, as a file to correct.

    Raises:
        NotFoundError: there are none.
    """
    if columns is None or not refused:
        raise NotFoundError(gettext("no line was refused"))
    return Response(
        write_refused(refused, columns),
        media_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": 'attachment; filename="to mend.csv"'},
    )
