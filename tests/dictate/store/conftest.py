"""A PostgreSQL server of its own for these tests, where the programs are installed."""

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
import sqlalchemy as sa

_FOLDERS = sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)


def _program(name: str) -> str | None:
    return shutil.which(name, path=os.pathsep.join([*map(str, _FOLDERS), os.environ["PATH"]]))


def _as_user(folder: Path) -> dict[str, object]:
    """PostgreSQL refuses to run as root; its own system user is there wherever it is installed."""
    if os.getuid() != 0:
        return {}
    user = pwd.getpwnam("postgres")
    os.chown(folder, user.pw_uid, user.pw_gid)
    return {"user": user.pw_uid, "group": user.pw_gid, "extra_groups": []}


@pytest.fixture(scope="session")
def postgresql_server() -> Iterator[str]:
    """Start a server on a socket in a folder of its own; gives its URL without a database."""
    initdb, pg_ctl = _program("initdb"), _program("pg_ctl")
    if initdb is None or pg_ctl is None:
        pytest.skip("PostgreSQL is not installed (Debian package postgresql)")
    pytest.importorskip("psycopg", reason="the postgres extra is not installed")
    # A socket's path must be short, so pytest's own folder will not do.
    with tempfile.TemporaryDirectory(prefix="dictate-pg-") as name:
        folder = Path(name)
        as_user = _as_user(folder)
        data = folder / "data"
        quiet = {"cwd": folder, "check": True, "stdout": subprocess.DEVNULL, **as_user}
        subprocess.run([initdb, "-D", data, "-U", "tester", "-A", "trust", "--no-sync"], **quiet)
        options = f"-k {folder} -c listen_addresses='' -c fsync=off"
        subprocess.run(
            [pg_ctl, "-D", data, "-o", options, "-w", "-l", folder / "log", "start"], **quiet
        )
        try:
            yield f"postgresql://tester@/{{}}?host={folder}"
        finally:
            subprocess.run([pg_ctl, "-D", data, "-m", "immediate", "stop"], **quiet)


@pytest.fixture
def postgresql_url(postgresql_server: str, request: pytest.FixtureRequest) -> str:
    """An empty PostgreSQL database for one test."""
    name = f"t{abs(hash(request.node.nodeid))}"
    admin = sa.create_engine(
        postgresql_server.format("postgres").replace("postgresql:", "postgresql+psycopg:"),
        isolation_level="AUTOCOMMIT",
    )
    with admin.connect() as connection:
        connection.execute(sa.text(f"CREATE DATABASE {name}"))
    admin.dispose()
    return postgresql_server.format(name)
