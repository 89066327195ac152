"""Keep how well each stretch of a note was understood, and whether it was cut from a recording."""

import sqlalchemy as sa
from alembic import op

from dictate.store.columns import JSON_COLUMN

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    # Not in a batch: that makes the table anew and drops the old one, which readings point at.
    op.add_column("note", sa.Column("fits", JSON_COLUMN, nullable=False, server_default="[]"))
    op.add_column(
        "note", sa.Column("cut_out", sa.Boolean(), nullable=False, server_default=sa.false())
    )
