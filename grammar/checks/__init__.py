"""Checks: each looks at one entry and says what wants a person's look, where, why, how to clear it.

A check never changes a value.  docs/reference/checks.md is written from this table.
"""

from grammar.checks import actions, animals, denials, findings, hearing, sites, values
from grammar.checks.table import CHECKS, Check, Facts, place_of
from grammar.records import Entry, Mark

__all__ = ["CHECKS", "Check", "Facts", "place_of", "run_checks"]

_ORDER = (animals, findings, values, sites, actions, denials, hearing)
"""Importing these files fills the table, in this order."""


def run_checks(entry: Entry, facts: Facts) -> tuple[Mark, ...]:
    """Run every check on one entry, in the table's order; the same mark is given once."""
    marks = (mark for check in CHECKS.values() for mark in check.find(entry, facts))
    return tuple(dict.fromkeys(marks))
