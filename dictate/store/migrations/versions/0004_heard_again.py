"""Keep what a second listener heard of a note."""

import sqlalchemy as sa
from alembic import op

from dictate.store.columns import JSON_COLUMN

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("note") as batch_op:
        batch_op.add_column(sa.Column("again", JSON_COLUMN, nullable=True))
