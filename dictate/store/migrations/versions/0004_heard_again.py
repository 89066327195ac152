"""Keep what a second listener heard of a note."""

import sqlalchemy as sa
from alembic import op

from dictate.store.columns import JSON_COLUMN

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("note", sa.Column("again", JSON_COLUMN, nullable=True))
