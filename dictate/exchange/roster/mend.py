"""The refused rows as a file to mend: correct it in a spreadsheet and take it in like any other."""

import csv
import io
from collections.abc import Sequence

from dictate.exchange.roster.columns import Columns
from dictate.exchange.roster.refused import Refused

_RUNS = ("=", "+", "-", "@", "\t")
"""A spreadsheet would work out a cell that begins so; the reader takes the quote away again."""


def write_refused(refused: Sequence[Refused], columns: Columns) -> str:
    """Return CSV text with the file's own headings, and what is wrong in front of each row."""
    width = max([columns.width, len(columns.headings), *(len(one.row.cells) for one in refused)])
    names = [columns.heading(at) for at in range(width)]
    out = io.StringIO()
    writer = csv.writer(out, delimiter=";", lineterminator="\r\n")
    writer.writerow(["line in the file", "what is wrong", *names])
    for one in refused:
        cells = [f"'{cell}" if cell.startswith(_RUNS) else cell for cell in one.row.texts]
        cells += [""] * (width - len(cells))
        writer.writerow([one.row.line, "; ".join(one.why), *cells])
    return "\ufeff" + out.getvalue()
