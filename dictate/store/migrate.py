"""Bringing the tables up to date with Alembic; each migration and its record commit together."""

import sqlalchemy as sa
from alembic import command
from alembic.config import Config

from dictate.store.seals import seal_history


def configuration(connection: sa.Connection | None = None) -> Config:
    """Alembic's settings for the migrations in this package."""
    config = Config()
    config.set_main_option("script_location", "dictate.store:migrations")
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    return config


def upgrade(engine: sa.Engine) -> None:
    """Run what is missing, in one transaction; a second program waits and then finds nothing to do."""
    with engine.begin() as connection:
        if connection.dialect.name == "postgresql":
            connection.execute(
                sa.text("SELECT pg_advisory_xact_lock(hashtext('dictate migrations'))")
            )
        command.upgrade(configuration(connection), "head")
        if connection.dialect.name == "sqlite" and not _has_seals(connection):
            seal_history(
                connection
            )  # what was written before there were seals is no change outside


def _has_seals(connection: sa.Connection) -> bool:
    return connection.exec_driver_sql("SELECT 1 FROM seal LIMIT 1").first() is not None
