"""Rows that name one animal twice."""

from collections.abc import Sequence

from dictate.exchange.roster.cells import Row
from dictate.exchange.roster.kinds import FIELDS
from dictate.exchange.roster.refused import Refused
from dictate.store.roster_lines import RosterLine, tag_key
from dictate.store.states import AnimalStatus


def doubled(lines: Sequence[RosterLine], rows: Sequence[Row]) -> tuple[list[int], list[Refused]]:
    """Rows to keep; of rows that name one animal twice, none is kept unless they say the same."""
    why: dict[int, list[str]] = {}
    same: dict[int, int] = {}
    for field in ("number", "eid", "ear_tag"):
        places: dict[str, list[int]] = {}
        for at, line in enumerate(lines):
            if (value := getattr(line, field)) and (
                field != "number" or line.status in (None, AnimalStatus.PRESENT)
            ):
                key = tag_key(value) if field == "ear_tag" else value.casefold()
                places.setdefault(key, []).append(at)
        for value, found in places.items():
            if len(found) == 1:
                continue
            first = found[0]
            if all(lines[at] == lines[first] for at in found[1:]):
                same.update((at, first) for at in found[1:])
                continue
            there = ", ".join(str(rows[at].line) for at in found[:10])
            said = getattr(lines[first], field) or value
            for at in found:
                why.setdefault(at, []).append(
                    f"{FIELDS[field].partition(',')[0]} {said} stands on several lines: {there}"
                )
    refused = [Refused(row=rows[at], why=tuple(said)) for at, said in why.items()]
    refused += [
        Refused(row=rows[at], why=(f"says the same as line {rows[first].line}",), animal=False)
        for at, first in same.items()
        if at not in why
    ]
    gone = set(why) | set(same)
    return [at for at in range(len(lines)) if at not in gone], refused
