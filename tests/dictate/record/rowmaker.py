"""Short ways to write rows of the herd record in tests."""

import datetime as dt
from itertools import count

from dictate.record.columns import columns_of_rows
from dictate.record.prevalence import Prevalence, prevalence
from dictate.record.rows import ActionRow, FindingRow, VisitRow

_ids = count(1)
DAY = dt.date(2026, 3, 2)


def finding(
    animal: int, lesion: str, foot=None, claw=None, zone=None, *, visit=1, on=DAY, **more
) -> FindingRow:
    return FindingRow(
        id=next(_ids), farm_id=1, visit_id=visit, animal_id=animal, animal=str(animal), on=on,
        lesion=lesion, foot=foot, claw=claw, zone=zone, **more,
    )  # fmt: skip


def action(animal: int, kind: str, foot=None, claw=None, *, visit=1, on=DAY, **more) -> ActionRow:
    return ActionRow(
        id=next(_ids), farm_id=1, visit_id=visit, animal_id=animal, animal=str(animal), on=on,
        kind=kind, foot=foot, claw=claw, **more,
    )  # fmt: skip


def visit(number: int, on: dt.date = DAY, *, whole_herd=None, farm=1) -> VisitRow:
    return VisitRow(id=number, farm_id=farm, on=on, whole_herd=whole_herd)


def counted(
    findings: list[FindingRow], actions: list[ActionRow] | tuple[()] = (), *, by: str = "herd"
) -> tuple[Prevalence, ...]:
    """The figures of these rows and their visits."""
    days = {row.visit_id: row.on for row in (*findings, *actions)}
    visits = [visit(number, on) for number, on in days.items()]
    return prevalence(columns_of_rows(findings, actions), visits, by=by)
