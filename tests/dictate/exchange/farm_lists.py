"""The lists of `farm_lists.toml` as files: 22 rosters and 10 lists of past treatments.

They were written in one go on 27 November 2026, from what the how-tos do not say, before their author
had looked at the reader; `docs/reliability.md` says how it did at first sight.
"""

import io
import tomllib
from pathlib import Path
from typing import Any

import openpyxl

from tests.dictate.exchange.several_messes import List

_DATA = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))


def _bytes(said: dict[str, Any]) -> bytes:
    if "text" in said:
        text: str = said["text"].replace("\n", said.get("line_end", "\n"))
        return text.encode(said.get("letters", "utf-8"))
    book = openpyxl.Workbook()
    book.remove(book.active)
    for title, rows in ((said["sheet"], said["rows"]), *said.get("more", {}).items()):
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append([None if cell == "" else cell for cell in row])
    for cells in said.get("merged", ()):
        book.worksheets[0].merge_cells(cells)
    for cell, shown in said.get("formats", ()):
        book.worksheets[0][cell].number_format = shown
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _list(said: dict[str, Any], hoped: Any) -> List:
    return List(
        name=said["name"],
        file=said["name"],
        data=_bytes(said),
        hoped=hoped,
        refused=tuple(said["refused"]),
        aside=tuple(said.get("aside", ())),
        answers=said.get("answers", {}),
        asks=said.get("asks", False),
    )


ROSTERS = [_list(one, {row["number"]: row for row in one["hoped"]}) for one in _DATA["rosters"]]
PAST_LISTS = [
    _list(one, {tuple(cell or None for cell in row) for row in one["hoped"]})
    for one in _DATA["past"]
]
