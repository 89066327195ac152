"""What an .xlsx workbook says beside its cells: comments pinned to them, and rows that are hidden (ECMA-376, 18)."""

import posixpath
import re
import zipfile
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from dictate.exchange.roster.cells import Sheet

_AUTHOR = re.compile(r"^[^:\n]{1,40}:\s*\n")
"""Spreadsheets put the name of who wrote it before it, on a line of its own."""
_HIDDEN = re.compile(rb"""<row (?=[^>]*\shidden=["'](?:1|true)["'])[^>]*?\br=["'](\d{1,7})["']""")
_BOOK = "xl/workbook.xml"


def with_asides(sheets: list[Sheet], packed: zipfile.ZipFile) -> list[Sheet]:
    """The sheets, each row with the comments on its cells, and which of their rows are hidden."""
    places = dict(_places(packed))
    return [_with_asides(sheet, packed, places.get(sheet.name, "")) for sheet in sheets]


def _with_asides(sheet: Sheet, packed: zipfile.ZipFile, place: str) -> Sheet:
    names = set(packed.namelist())
    if place not in names:
        return sheet
    filled = {row.line for row in sheet.rows}
    hidden = {int(line) for line in _HIDDEN.findall(packed.read(place))} & filled
    pinned: dict[int, list[str]] = {}
    for part in _related(packed, place).values():
        if "comments" in part.lower() and part in names:
            _collect(_tree(packed, part), pinned)
    rows = sheet.rows
    if pinned:
        rows = [replace(row, comments=tuple(pinned.get(row.line, ()))) for row in rows]
    return replace(sheet, rows=rows, hidden_lines=tuple(sorted(hidden)))


def _places(packed: zipfile.ZipFile) -> Iterator[tuple[str, str]]:
    """The name of each sheet, and where in the workbook it is."""
    parts = _related(packed, _BOOK)
    for sheet in _tree(packed, _BOOK).iter():
        if sheet.tag.endswith("}sheet"):
            key = next((value for name, value in sheet.attrib.items() if name.endswith("}id")), "")
            yield sheet.attrib.get("name", ""), parts.get(key, "")


def _collect(tree: Any, lines: dict[int, list[str]]) -> None:
    for one in tree.iter():
        place = re.fullmatch(r"[A-Z]{1,3}(\d{1,7})", one.attrib.get("ref", ""))
        if place and one.tag.rpartition("}")[2] in ("comment", "threadedComment"):
            text = "".join(
                part.text or "" for part in one.iter() if part.tag.endswith(("}t", "}text"))
            )
            said = _AUTHOR.sub("", text).strip()
            if said and said not in lines.setdefault(int(place[1]), []):
                lines[int(place[1])].append(said)


def _related(packed: zipfile.ZipFile, part: str) -> dict[str, str]:
    """The parts that one names, by their key."""
    folder, name = posixpath.split(part)
    relations = f"{folder}/_rels/{name}.rels"
    if relations not in packed.namelist():
        return {}
    return {
        one.attrib.get("Id", ""): posixpath.normpath(
            posixpath.join("/", folder, one.attrib.get("Target", ""))
        )[1:]
        for one in _tree(packed, relations)
    }


def _tree(packed: zipfile.ZipFile, name: str) -> Any:
    from openpyxl.xml.functions import fromstring  # noqa: PLC0415 (slow to load)

    return fromstring(packed.read(name))
