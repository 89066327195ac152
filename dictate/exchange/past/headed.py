"""Columns that are headed by one lesion or action each: ticks in them, feet, stages and grades."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from dictate.errors import RosterError
from dictate.exchange.past import words as known
from dictate.exchange.past.places import NOTHING, place_parts, places
from dictate.exchange.past.words import EACH, STAGE_NAME, ZONE_NAME, Meant
from dictate.exchange.roster.cells import Row
from dictate.exchange.roster.columns import Columns
from dictate.exchange.roster.dates import Unfit
from dictate.exchange.roster.words import folded, is_no_animal
from dictate.record.rows import STAGED


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """One lesion or action with its place."""

    meant: Meant
    heard: str
    severity: str | None = None
    placed: bool = False
    """Whether the place is this action's own, and not that of the row's lesion."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Headed:
    """What a column is of."""

    heading: str
    meant: Meant
    numbered: bool
    """Numbers above 1 stand in it, so that its 1 is no tick: they may be grades, or counts."""


def headed_columns(
    columns: Columns, rows: Sequence[Row], words: Mapping[str, str]
) -> dict[int, Headed]:
    """The columns of a lesion or action of their own.

    Raises:
        RosterError: a heading is none that is known.
    """
    found = {}
    for at in columns.columns(EACH):
        heading = columns.heading(at)
        if words.get(folded(heading)) == NOTHING:
            continue
        meant = known.of_heading(heading, words)
        if meant is None:
            raise RosterError(
                f"the heading {heading!r} is no lesion or action that is known",
                remedy=f"Say which it is (--word '{heading}=sole ulcer')",
            )
        found[at] = Headed(heading=heading, meant=meant, numbered=_numbered(rows, at))
    return found


def _numbered(rows: Sequence[Row], at: int) -> bool:
    """Whether the animals' rows hold numbers above 1; the sums below them say nothing."""
    above = (
        row for row in rows
        if at < len(row.cells) and re.fullmatch(r"\d+", row.texts[at].strip(), re.ASCII)
        and row.texts[at].strip().lstrip("0") not in ("", "1")
    )  # fmt: skip
    return any(not any(is_no_animal(text) for text in row.texts if text) for row in above)


def read_headed(
    headed: Mapping[int, Headed], cells: Mapping[int, str], words: Mapping[str, str]
) -> Iterator[Said]:
    """What the columns say of one row.

    Raises:
        Unfit: a cell is neither a tick nor a place, stage or grade.
    """
    for at, column in headed.items():
        if text := cells.get(at, ""):
            yield from _of_cell(column, text, words)


def _of_cell(column: Headed, text: str, words: Mapping[str, str]) -> Iterator[Said]:
    explained = words.get(folded(text), text)
    if explained == NOTHING:
        return
    tick = known.is_tick(explained)
    if tick and explained == text and column.numbered and text.strip().isdigit():
        tick = None
    whole = Said(meant=column.meant, heard=f"{column.heading}: {text}")
    if tick is not None:
        yield from (replace(whole, heard=column.heading),) if tick else ()
        return
    for part in place_parts(explained):
        where = _placed(column, part, words)
        if where is None:
            raise Unfit(
                f"{part!r} under {column.heading!r} is no tick, foot, claw, zone or grade:"
                f" say what it means, x, a foot, a grade, or {NOTHING} for nothing (--word '{part}=x')"
            )
        yield from (
            replace(whole, meant=meant, severity=severity, placed=True) for meant, severity in where
        )


def _placed(
    column: Headed, part: str, words: Mapping[str, str]
) -> list[tuple[Meant, str | None]] | None:
    """The column's lesion at each foot that a part names; None where it says something else."""
    text, meant, severity = words.get(folded(part), part), column.meant, None
    if zone := ZONE_NAME.search(text):
        if int(zone[1]) > known.ZONE_MAX:
            return None
        meant, text = replace(meant, zone=int(zone[1])), ZONE_NAME.sub(" ", text, count=1)
    if meant.lesion == STAGED and (stage := STAGE_NAME.search(text)):
        meant = replace(meant, stage=f"M{stage[1].replace(',', '.')}")
        text = STAGE_NAME.sub(" ", text, count=1)
    spare = text.strip(" ().")
    for word in (spare, spare.partition(" ")[0], spare.rpartition(" ")[2]):
        if meant.lesion and (grade := known.grade(word)):
            severity, spare = grade, spare.replace(word, "", 1).strip()
            break
    if not spare:
        return [(meant, severity)]
    found = []
    for foot, claw in places(spare):
        if (foot and meant.foot not in (None, foot)) or (claw and meant.claw not in (None, claw)):
            return None
        found.append((replace(meant, foot=foot or meant.foot, claw=claw or meant.claw), severity))
    return found or None
