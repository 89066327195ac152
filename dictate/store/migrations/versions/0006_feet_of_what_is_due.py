"""Keep the feet and the claw that were said of what is due."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("follow_up", sa.Column("feet", sa.String(), nullable=False, server_default=""))
    op.add_column("follow_up", sa.Column("claw", sa.String(), nullable=True))
