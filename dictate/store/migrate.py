"""Bringing the tables up to date with Alembic; each migration and its record commit together."""

import sqlalchemy as sa
from alembic import command
from alembic.config import Config


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
