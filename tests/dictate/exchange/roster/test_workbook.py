"""A workbook is a zip file that a stranger may send: its size is looked at before it is read."""

import datetime as dt
import io
import random
import struct
import zipfile

import pytest
import xlwt

from dictate.errors import RosterError
from dictate.exchange.roster.workbook import _needs_closer_look, _sheets, read_workbook
from dictate.exchange.roster.workbook_closely import sheets_closely
from tests.dictate.exchange.roster.messy import all_messy, book
from tests.dictate.exchange.roster.strangers import all_strangers


def test_a_zip_bomb_is_refused() -> None:
    """A few kilobytes that would become gigabytes are never unpacked."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for part in range(4):
            archive.writestr(f"xl/worksheets/sheet{part}.xml", b"\0" * 100_000_000)
    assert len(packed.getvalue()) < 1_000_000

    with pytest.raises(RosterError, match="too large"):
        read_workbook(packed.getvalue(), None)


@pytest.mark.parametrize(("flags", "method"), [(0, 99), (1, 8), (0x20, 8)])
def test_a_workbook_packed_in_a_way_nobody_reads_is_refused(flags: int, method: int) -> None:
    """AE-x packing, a password or patched data, as APPNOTE.TXT 6.3 of the zip form numbers them."""
    data = bytearray(book({"Herd": [["Number"], [412]]}))
    for mark, at in ((b"PK\3\4", 6), (b"PK\1\2", 8)):
        found = data.find(mark)
        while found >= 0:
            data[found + at : found + at + 4] = struct.pack("<HH", flags, method)
            found = data.find(mark, found + 4)

    with pytest.raises(RosterError, match="no workbook that can be read"):
        read_workbook(bytes(data), None)


@pytest.mark.parametrize("place", ["A1048577", "XFE1", "D99999999999", "4", "&#65;1"])
def test_a_place_beyond_a_worksheet_is_refused(place: str) -> None:
    """XFD1048576 is the last cell there is; readers keep a place for each cell before the last."""
    out, made = io.BytesIO(), io.BytesIO(book({"Herd": [["Number"], [412]]}))
    with zipfile.ZipFile(made) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            new.writestr(name, old.read(name).replace(b'r="A2"', f'r="{place}"'.encode()))

    with pytest.raises(RosterError, match="no workbook that can be read"):
        read_workbook(out.getvalue(), None)


def test_a_sheet_that_is_wide_and_long_is_read_row_by_row() -> None:
    """A cell in the last corner makes the fast reader keep a place for each cell between."""
    data = book({"Herd": [["Number"], [412]]})
    packed = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(packed, "w") as new:
        for name in old.namelist():
            text = old.read(name)
            if name == "xl/worksheets/sheet1.xml":
                corner = b'<row r="1048576"><c r="FZ1048576"><v>1</v></c></row></sheetData>'
                text = text.replace(b"</sheetData>", corner)
            new.writestr(name, text)

    table = read_workbook(packed.getvalue(), None)

    assert [1, 2, 1_048_576] == [row.line for row in table.rows]


def _random_book(seed: int) -> bytes:
    rng = random.Random(seed)
    makers = [
        lambda: None,
        lambda: rng.randrange(10**6),
        lambda: rng.randrange(10**14, 10**15),
        lambda: rng.randrange(10**15, 10**18),
        lambda: round(rng.uniform(-5, 5), 3),
        lambda: rng.choice(["Bella", " 412 ", "0412", "Käthe", "a\nb", "<&>", "'7"]),
        lambda: rng.random() < 0.5,
        lambda: dt.date(2025, 1, 1) + dt.timedelta(days=rng.randrange(400)),
        lambda: dt.datetime(2025, 1, 1, 5, 6) + dt.timedelta(hours=rng.randrange(9000)),
        lambda: dt.time(rng.randrange(24), rng.randrange(60)),
    ]
    rows = [[rng.choice(makers)() for _ in range(rng.randrange(9))] for _ in range(60)]
    return book({"Herd": rows, "Other": [["Number"], [1]]})


@pytest.mark.parametrize(
    "data",
    [one.data for one in (*all_messy(), *all_strangers()) if one.name.endswith(".xlsx")]
    + [_random_book(seed) for seed in range(10)],
)
def test_the_fast_reader_sees_what_the_close_one_sees(data: bytes) -> None:
    """python-calamine against openpyxl, cell by cell, wherever the fast one is used."""
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        if _needs_closer_look(packed):
            return

    fast, close = _sheets(data), sheets_closely(data)

    assert [(one.name, one.hidden) for one in close] == [(one.name, one.hidden) for one in fast]
    for one, other in zip(close, fast, strict=True):
        assert list(one.rows) == list(other.rows)


def test_zeros_that_an_old_workbook_shows_are_there() -> None:
    """A number format of an .xls file is part of what a person sees."""
    made = xlwt.Workbook()
    sheet = made.add_sheet("Herd")
    sheet.write(0, 0, "Number")
    sheet.write(1, 0, 412, xlwt.easyxf(num_format_str="0000"))
    sheet.write(2, 0, 413)
    out = io.BytesIO()
    made.save(out)

    assert ["Number", "0412", "413"] == [
        row.cells[0] for row in read_workbook(out.getvalue(), None).rows
    ]
