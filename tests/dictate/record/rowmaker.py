"""Short ways to write rows of the herd record in tests."""

import datetime as dt
from itertools import count

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
