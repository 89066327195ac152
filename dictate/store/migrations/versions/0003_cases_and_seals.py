"""Keep each animal's cases for lists, seal the history, and let the tables that grow have large keys."""

import sqlalchemy as sa
from alembic import op

from dictate.record.cases import cases_of
from dictate.record.rows import FindingRow
from dictate.store.columns import BIG_KEY

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

_LARGE = {
    "clip": ("id",),
    "note": ("id", "clip_id"),
    "reading": ("id", "note_id"),
    "entry": ("id", "note_id"),
    "finding": ("entry_id",),
    "action": ("entry_id",),
    "follow_up": ("entry_id", "done_entry_id"),
    "locomotion": ("entry_id",),
    "measure": ("entry_id",),
    "remark": ("entry_id",),
    "status": ("entry_id",),
    "event": ("subject_id",),
}
"""Columns that numbered up to 2.1 thousand million rows on PostgreSQL; SQLite's always had 64 bits."""


def upgrade() -> None:
    made = op.create_table(
        "herd_case",
        sa.Column("id", BIG_KEY, primary_key=True),
        sa.Column("animal_id", sa.Integer(), sa.ForeignKey("animal.id"), nullable=False),
        sa.Column("farm_id", sa.Integer(), sa.ForeignKey("farm.id"), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("foot", sa.String()),
        sa.Column("claw", sa.String()),
        sa.Column("first_on", sa.Date(), nullable=False),
        sa.Column("last_on", sa.Date(), nullable=False),
        sa.Column("visits", sa.Integer(), nullable=False),
        sa.Column("course", sa.String(), nullable=False),
        sa.Column("closed_on", sa.Date()),
        sa.Column("after_closed", sa.Boolean(), nullable=False),
    )
    op.create_index("ix_herd_case_animal_id", "herd_case", ["animal_id"])
    op.create_index("herd_case_farm_closed", "herd_case", ["farm_id", "closed_on"])
    op.create_index("herd_case_farm_first", "herd_case", ["farm_id", "first_on"])
    op.create_table(
        "seal",
        sa.Column("id", BIG_KEY, primary_key=True),
        sa.Column("through_id", BIG_KEY, nullable=False, unique=True),
        sa.Column("sha256", sa.String(length=64), nullable=False),
    )
    _fill(made)
    if op.get_context().dialect.name == "postgresql":
        for table, columns in _LARGE.items():
            for column in columns:
                op.alter_column(table, column, type_=sa.BigInteger())


def _fill(made: sa.Table) -> None:
    """Work the cases out of the findings that are there, farm by farm."""
    connection = op.get_bind()
    found = sa.text(
        "SELECT f.id, f.farm_id, f.visit_id, coalesce(a.merged_into_id, a.id) AS animal_id, f.date AS on_day,"
        " f.lesion, f.foot, f.claw, f.course FROM finding f JOIN animal a ON a.id = f.animal_id"
        " WHERE f.farm_id = :farm ORDER BY f.date, f.visit_id, f.entry_id, f.position"
    ).columns(on_day=sa.Date())
    for (farm,) in connection.execute(sa.text("SELECT id FROM farm")).all():
        rows = [
            FindingRow(
                id=row.id, farm_id=row.farm_id, visit_id=row.visit_id, animal_id=row.animal_id,
                on=row.on_day, lesion=row.lesion, foot=row.foot, claw=row.claw, course=row.course,
            )
            for row in connection.execute(found, {"farm": farm})
        ]  # fmt: skip
        values = [
            {
                "animal_id": case.animal_id, "farm_id": farm, "name": case.name, "foot": case.foot,
                "claw": case.claw, "first_on": case.first_on, "last_on": case.last_on,
                "visits": case.visits, "course": case.course, "closed_on": case.closed_on,
                "after_closed": case.after_closed,
            }
            for case in cases_of(rows)
        ]  # fmt: skip
        if values:
            connection.execute(made.insert(), values)
