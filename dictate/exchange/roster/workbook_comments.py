"""What people pinned to the cells of an .xlsx workbook: by sheet and line (ECMA-376, 18.7)."""

import posixpath
import re
import zipfile
from dataclasses import replace
from typing import Any

from dictate.exchange.roster.cells import Sheet

_AUTHOR = re.compile(r"^[^:\n]{1,40}:\s*\n")
"""Spreadsheets put the name of who wrote it before it, on a line of its own."""


def with_comments(sheets: list[Sheet], packed: zipfile.ZipFile) -> list[Sheet]:
    """The sheets, each row with the comments on its cells."""
    names = packed.namelist()
    if not any("comments" in name.lower() for name in names):
        return sheets
    found = _comments(packed, set(names))
    return [
        replace(
            sheet,
            rows=[
                replace(row, comments=tuple(there[row.line])) if row.line in there else row
                for row in sheet.rows
            ],
        )
        if (there := found.get(sheet.name))
        else sheet
        for sheet in sheets
    ]


def _comments(packed: zipfile.ZipFile, names: set[str]) -> dict[str, dict[int, list[str]]]:
    """Name of the sheet to line to comments."""
    found: dict[str, dict[int, list[str]]] = {}
    parts = _related(packed, names, "xl/workbook.xml")
    for sheet in _tree(packed, "xl/workbook.xml").iter():
        if not sheet.tag.endswith("}sheet"):
            continue
        key = next((value for name, value in sheet.attrib.items() if name.endswith("}id")), "")
        for part in _related(packed, names, parts.get(key, "")).values():
            if "comments" in part.lower() and part in names:
                _collect(_tree(packed, part), found.setdefault(sheet.attrib["name"], {}))
    return found


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


def _related(packed: zipfile.ZipFile, names: set[str], part: str) -> dict[str, str]:
    """The parts that one names, by their key."""
    folder, name = posixpath.split(part)
    relations = f"{folder}/_rels/{name}.rels"
    if relations not in names:
        return {}
    return {
        one.attrib["Id"]: posixpath.normpath(posixpath.join(folder, one.attrib["Target"]))
        if not one.attrib["Target"].startswith("/")
        else one.attrib["Target"][1:]
        for one in _tree(packed, relations)
    }


def _tree(packed: zipfile.ZipFile, name: str) -> Any:
    from openpyxl.xml.functions import fromstring  # noqa: PLC0415 (slow to load)

    return fromstring(packed.read(name))
