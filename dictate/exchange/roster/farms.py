"""Lists of several farms: whose row is whose."""

from collections import Counter
from collections.abc import Mapping, Sequence

from dictate.errors import RosterError
from dictate.exchange.roster.cells import Row
from dictate.exchange.roster.columns import Columns
from dictate.exchange.roster.refused import may_be_animal
from dictate.exchange.roster.words import folded


def of_other_farms(columns: Columns, rows: Sequence[Row], farm: str | None) -> Mapping[int, str]:
    """The lines that are not of the farm that a list is taken in for, and why.

    One name in the whole list is that of the farm, however it is spelt.

    Raises:
        RosterError: the list names several farms, and none of them so.
    """
    if (at := columns.column("farm")) is None:
        return {}
    named = [(row, row.texts[at].strip()) for row in rows if at < len(row.cells)]
    counts = Counter(name for row, name in named if name and may_be_animal(row, columns))
    if len({folded(name) for name in counts}) < 2:
        return {}
    mine = folded(farm or "")
    if mine not in map(folded, counts):
        some = ", ".join(f"{name!r} ({count})" for name, count in counts.most_common(5))
        raise RosterError(
            f"the list holds several farms: {some}",
            remedy="Take it in for one of them by that name, or leave the column out (--column farm=-)",
        )
    return {
        row.line: f"is of another farm, {name!r}" if name else "names no farm, as others do"
        for row, name in named
        if folded(name) != mine
    }
