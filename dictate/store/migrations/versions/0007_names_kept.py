"""Keep what names each farm and animal in the history, as it stands on the day of this change."""

import datetime as dt
from uuid import uuid4

import sqlalchemy as sa
from alembic import op

from dictate.store.columns import JSON_COLUMN, UtcTime

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

_EVENT = sa.table(
    "event",
    sa.column("at", UtcTime),
    *(sa.column(name, sa.String) for name in ("who", "kind", "subject", "act")),
    sa.column("subject_id", sa.BigInteger),
    sa.column("after", JSON_COLUMN),
)
_AT_ONCE = 2_000


def upgrade() -> None:
    connection = op.get_bind()
    act = uuid4().hex
    of_farm = sa.text(
        "SELECT id, number, eid, ear_tag, merged_into_id FROM animal WHERE farm_id = :farm ORDER BY id"
    )
    for farm, name in connection.execute(sa.text("SELECT id, name FROM farm ORDER BY id")).all():
        animals = [list(row) for row in connection.execute(of_farm, {"farm": farm})]
        told = [
            {
                "at": dt.datetime.now(dt.UTC), "who": "", "kind": "named", "subject": "farm",
                "subject_id": farm, "act": act, "after": {"name": name, "animals": animals[start : start + _AT_ONCE]},
            }
            for start in range(0, len(animals) or 1, _AT_ONCE)
        ]  # fmt: skip
        connection.execute(_EVENT.insert(), told)
