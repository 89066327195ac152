"""Let PostgreSQL count on where 32 bits end: columns that were widened kept their narrow counters."""

from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

_WIDENED = ("clip", "note", "reading", "entry")


def upgrade() -> None:
    if op.get_context().dialect.name == "postgresql":
        for table in _WIDENED:
            op.execute(f"ALTER SEQUENCE {table}_id_seq AS bigint")
