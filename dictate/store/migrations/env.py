"""Alembic's entry point: runs on the connection that `dictate.store.migrate` hands over."""

from alembic import context
from sqlmodel import SQLModel

from dictate.store import record_tables, tables  # noqa: F401 (registers the tables)

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=SQLModel.metadata,
    render_as_batch=True,
    transaction_per_migration=False,
)
context.run_migrations()
