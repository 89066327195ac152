"""A file as a table: its cells row by row, before anybody knows what they mean."""

import re
from pathlib import Path

from dictate.errors import RosterError
from dictate.exchange.roster.arrangement import in_one_order, one_below_the_other
from dictate.exchange.roster.cells import Table
from dictate.exchange.roster.heading_rows import known_headings
from dictate.exchange.roster.letters import decode
from dictate.exchange.roster.text_table import read_text_table
from dictate.large_work import without_collecting

BYTES_MAX = 100_000_000
_OLD_WORKBOOK = b"\xd0\xcf\x11\xe0"
_LOOK = 60
"""Rows that are looked at to find headings."""
_NOT_LISTS = (
    (b"%PDF", "a PDF"),
    (b"{\\rtf", "a text document"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"SQLite format 3", "a database"),
)


def read_table_file(path: Path, **asked: str | None) -> Table:
    """Read a file; `asked` as for `read_table`.

    Raises:
        RosterError: it cannot be read, or is no table.
    """
    try:
        if not path.is_file():
            raise RosterError(
                "cannot be read: " + ("not a file" if path.exists() else "no such file"),
                where=str(path),
                remedy="Check the path",
            )
        if path.stat().st_size > BYTES_MAX:
            raise RosterError("is too large for a list of animals", where=str(path))
        data = path.read_bytes()
    except (OSError, ValueError) as error:
        said = getattr(error, "strerror", None) or str(error)
        raise RosterError(
            f"cannot be read: {said}", where=str(path), remedy="Check the path"
        ) from error
    try:
        return read_table(data, **asked)
    except RosterError as error:
        raise RosterError(error.what, where=str(path), remedy=error.remedy) from error


@without_collecting()
def read_table(
    data: bytes,
    *,
    sheet: str | None = None,
    encoding: str | None = None,
) -> Table:
    """Read CSV, a workbook, a web page's table or ADE, also packed: told apart by what is in it.

    Raises:
        RosterError: it is something else.
    """
    return in_one_order(one_below_the_other(_read(data, sheet, encoding)))


def _read(data: bytes, sheet: str | None, encoding: str | None) -> Table:
    data = _unpacked(data)
    if data.startswith((b"PK", _OLD_WORKBOOK)):
        from dictate.exchange.roster.workbook import read_workbook  # noqa: PLC0415 (slow to load)

        return read_workbook(data, sheet)
    from dictate.exchange.roster.ade_list import looks_like_ade, read_ade_list  # noqa: PLC0415

    if looks_like_ade(data):
        return read_ade_list(data)
    for start, what in _NOT_LISTS:
        if data.startswith(start):
            raise RosterError(f"is {what}", remedy="Save the list as CSV or as .xlsx")
    if sheet is not None:
        raise RosterError("is no workbook and has no sheets", remedy="Name no sheet (--sheet)")
    text, letters = decode(data, encoding=encoding, known=_known)
    if re.match(r"\s*<(!doctype html|html|table|head|body|meta)", text[:200], re.IGNORECASE):
        from dictate.exchange.roster.web_page import read_web_page  # noqa: PLC0415 (seldom)

        return read_web_page(text)
    if re.match(r"\s*<(!doctype|\?xml)", text[:200], re.IGNORECASE):
        raise RosterError(
            "is XML, whatever its name says",
            remedy="Open it in a spreadsheet and save it as .xlsx or CSV",
        )
    return read_text_table(text.replace("\r\n", "\n").replace("\r", "\n"), letters)


def _unpacked(data: bytes) -> bytes:
    """The list itself, where it was packed; a workbook is a zip too and stays one."""
    if data.startswith(b"\x1f\x8b"):
        from dictate.exchange.roster.packed import unpacked  # noqa: PLC0415 (seldom)

        data = unpacked(data)
    if data.startswith(b"PK"):
        from dictate.exchange.roster import packed  # noqa: PLC0415 (seldom)

        data = packed.list_in(data)
    return data


def _known(text: str) -> int:
    """Known headings of the best line among the first."""
    lines = text.replace("\r", "\n").split("\n")[:_LOOK]
    return max(
        (known_headings(re.split(r"[,;\t|]", line.replace('"', ""))) for line in lines), default=0
    )
