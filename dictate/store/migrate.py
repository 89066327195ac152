"""Bringing the tables up to date with Alembic; each migration and its record commit together."""

from typing import TYPE_CHECKING

import sqlalchemy as sa

from dictate.errors import StoreError
from dictate.store.integrity import seal_history

if TYPE_CHECKING:
    from alembic.config import Config

HEAD = "0007"
"""The newest migration; a test compares it with the migrations folder."""


def bring_up_to_date(engine: sa.Engine) -> None:
    """Run the migrations that a database lacks.

    Raises:
        StoreError: a newer version of the program made it.
    """
    with engine.connect() as connection:
        found = _revision(connection)
    if found == HEAD:
        return
    if found is not None and found > HEAD:
        raise made_by_newer(found, engine.url.render_as_string())
    upgrade(engine)


def made_by_newer(revision: str, where: str) -> StoreError:
    """The error about tables that this program does not know yet."""
    return StoreError(
        f"was made by a newer version of dictate (tables {revision}, this program knows {HEAD})",
        where=where,
        remedy="Install the newer version",
    )


def configuration(connection: sa.Connection | None = None) -> "Config":
    """Alembic's settings for the migrations in this package."""
    from alembic.config import Config  # noqa: PLC0415 (slow to load and seldom needed)

    config = Config()
    config.set_main_option("script_location", "dictate.store:migrations")
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    return config


def upgrade(engine: sa.Engine) -> None:
    """Run what is missing, in one transaction; a second program waits and then finds nothing to do."""
    from alembic import command  # noqa: PLC0415 (slow to load and seldom needed)

    with engine.begin() as connection:
        if connection.dialect.name == "postgresql":
            connection.execute(
                sa.text("SELECT pg_advisory_xact_lock(hashtext('dictate migrations'))")
            )
        command.upgrade(configuration(connection), "head")
        if connection.dialect.name == "sqlite":
            # What migrations wrote, and what was written before there were seals, is no change outside.
            seal_history(connection)


def _revision(connection: sa.Connection) -> str | None:
    if not sa.inspect(connection).has_table("alembic_version"):
        return None
    return connection.scalar(sa.text("SELECT version_num FROM alembic_version"))
