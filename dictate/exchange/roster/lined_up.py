"""A printout whose columns are lined up with blanks, as old programs save it."""

import re
from collections.abc import Callable

from dictate.exchange.roster.table import Row

_LOOK = 60
_WORD = re.compile(r"\S+(?: \S+)*")
"""One heading: two blanks or more end it."""


def lined_up(text: str, known: Callable[[list[str]], int]) -> list[Row] | None:
    """Cut each line below the place of its headings; None where no line holds known headings.

    A line with a word across two columns is a fault of that row: nobody can say which column it is.
    """
    lines = text.split("\n")
    for at, line in enumerate(lines[:_LOOK]):
        heads = list(_WORD.finditer(line))
        if len(heads) > 1 and known([head[0] for head in heads]) > 1:
            starts = [head.start() for head in heads]
            return [
                _cut(line, number, starts) if number > at else Row(number, (line.strip(),))
                for number, line in enumerate(lines, start=1)
            ]
    return None


def _cut(line: str, number: int, starts: list[int]) -> Row:
    ends = [*starts[1:], max(len(line), starts[-1])]
    cells = tuple(
        line[start:end].strip() for start, end in zip([0, *starts[1:]], ends, strict=True)
    )
    across = any(
        start <= len(line) and line[start - 1 : start].strip() and line[start : start + 1].strip()
        for start in starts[1:]
    )
    return Row(number, cells, "a word stands across two columns" if across else "")
