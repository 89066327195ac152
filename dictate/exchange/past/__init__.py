"""Treatments of the past, from any tool's table: `words` (headings, feet, claws) and `rows`.

The table, its letters, its columns and its dates are read as a roster's are.
"""

from dictate.exchange.past.rows import PastRead, read_past
from dictate.exchange.past.words import PAST

__all__ = ["PAST", "PastRead", "read_past"]
