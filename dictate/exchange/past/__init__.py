"""Treatments of the past, from any tool's table.

In the order of the work: `places`, `words` and `kind` (what is known), `days` (a day in each row), `headed`
(columns of one lesion each), `treatments` (what a row says), `rows`.

The table, its letters, its columns and its dates are read as a roster's are.
"""

from dictate.exchange.past.days import one_visit_a_row
from dictate.exchange.past.kind import PAST
from dictate.exchange.past.rows import PastRead, read_past

__all__ = ["PAST", "PastRead", "one_visit_a_row", "read_past"]
