"""A workbook is a zip file that a stranger may send: its size is looked at before it is read."""

import io
import zipfile

import pytest

from dictate.errors import RosterError
from dictate.exchange.roster.workbook import read_workbook


def test_a_zip_bomb_is_refused() -> None:
    """A few kilobytes that would become gigabytes are never unpacked."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for part in range(4):
            archive.writestr(f"xl/worksheets/sheet{part}.xml", b"\0" * 100_000_000)
    assert len(packed.getvalue()) < 1_000_000

    with pytest.raises(RosterError, match="too large"):
        read_workbook(packed.getvalue(), None)
