"""A farm's list of animals, as farms really have it: the one reader of rosters.

In the order of the work: `table` (a file's `cells`, from `letters` and a `text_table`, or a
`workbook`; several tables as one by `arrangement`), `heading_rows` (what headings mean), `finding`
(which of the `columns` is what), `dates` and `values` (what a cell means), `rows` (each row an animal,
or `refused` with the reason, and as a file to correct).
"""

from dictate.exchange.roster.cells import Row, Table
from dictate.exchange.roster.columns import FIELDS, LEFT_OUT, Columns
from dictate.exchange.roster.finding import find_columns
from dictate.exchange.roster.refused import Refused, write_refused
from dictate.exchange.roster.rows import (
    NAMING,
    RosterRead,
    read_roster,
    read_rows,
    roster_from,
)
from dictate.exchange.roster.table import read_table, read_table_file

__all__ = [
    "FIELDS",
    "LEFT_OUT",
    "NAMING",
    "Columns",
    "Refused",
    "RosterRead",
    "Row",
    "Table",
    "find_columns",
    "read_roster",
    "read_rows",
    "read_table",
    "read_table_file",
    "roster_from",
    "write_refused",
]
