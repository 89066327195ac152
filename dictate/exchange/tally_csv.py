"""The tally of a visit as a table for other programs."""

import csv
import io

from dictate.exchange.values import guarded
from dictate.record.tally import Tally

HEADINGS = ("what", "animals", "feet", "times", "price", "for each", "amount", "currency")


def tally_lines(counted: Tally) -> list[tuple[str, ...]]:
    """A row for each kind of action; empty cells where there is no price."""
    return [
        (
            guarded(line.kind), str(line.animals), str(line.feet), str(line.times),
            str(line.price.amount) if line.price else "", line.price.per if line.price else "",
            str(line.amount) if line.price else "", guarded(counted.currency),
        )
        for line in counted.lines
    ]  # fmt: skip


def tally_csv(counted: Tally) -> str:
    """The same as CSV, with headings."""
    text = io.StringIO(newline="")
    csv.writer(text).writerows([HEADINGS, *tally_lines(counted)])
    return text.getvalue()
