"""A private PostgreSQL of this test run: made in a temporary folder, reached by its socket alone."""

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

__all__ = ["count_far_on", "missing", "new_database", "running_cluster"]

_DEBIAN = Path("/usr/lib/postgresql")
_PORT = "54991"
"""Only names the socket file in the private folder; nothing listens on the network."""


def _programs() -> Path | None:
    """The folder of PostgreSQL's programs; Debian keeps them off the path."""
    found = sorted(_DEBIAN.glob("*/bin/initdb"), key=lambda path: int(path.parts[-3]))
    if found:
        return found[-1].parent
    on_path = shutil.which("initdb")
    return Path(on_path).resolve().parent if on_path else None


def missing() -> str:
    """Why no PostgreSQL can be started here; empty when one can."""
    if os.name != "posix":
        return "the test cluster needs Unix sockets"
    if _programs() is None:
        return "PostgreSQL is not installed"
    if os.geteuid() == 0 and (_user() is None or not shutil.which("runuser")):
        return "PostgreSQL refuses to run as root, and there is no `postgres` user to run it as"
    return ""


@contextmanager
def running_cluster() -> Iterator[str]:
    """Make and start a cluster; yield a URL without a database name; stop and remove it."""
    folder = Path(tempfile.mkdtemp(prefix="dictate-pg-"))  # short: socket paths hold 100 letters
    try:
        if os.geteuid() == 0:
            shutil.chown(folder, *(_user() or ()))
        data = folder / "data"
        _run(
            "initdb",
            "-D",
            data,
            "-U",
            "postgres",
            "-A",
            "trust",
            "-E",
            "UTF8",
            "--no-sync",
            "--locale=C.UTF-8",
        )
        options = f"-k {folder} -p {_PORT} -c listen_addresses= -c fsync=off"
        _run("pg_ctl", "-D", data, "-w", "-l", folder / "log", "-o", options, "start")
        try:
            yield f"postgresql://postgres@/{{name}}?host={folder}&port={_PORT}"
        finally:
            _run("pg_ctl", "-D", data, "-w", "-m", "immediate", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def new_database(cluster: str, name: str) -> str:
    """Make an empty database and return its URL."""
    import psycopg

    with psycopg.connect(cluster.format(name="postgres"), autocommit=True) as connection:
        connection.execute(f'CREATE DATABASE "{name}"')
    return cluster.format(name=name)


def count_far_on(url: str) -> int:
    """Make the tables, and let each 64-bit key go on past what 32 bits hold; the first key."""
    import psycopg
    from sqlalchemy import BigInteger
    from sqlmodel import SQLModel

    from dictate.store.database import open_database

    open_database(url).close()
    first = 3_000_000_000
    with psycopg.connect(url) as connection:
        for table in SQLModel.metadata.tables.values():
            if "id" in table.c and isinstance(table.c.id.type, BigInteger):
                told = f"SELECT setval(pg_get_serial_sequence('\"{table.name}\"', 'id'), {first}, false)"
                connection.execute(told.encode())
    return first


def _user() -> tuple[int, int] | None:
    try:
        found = pwd.getpwnam("postgres")
    except KeyError:
        return None
    return found.pw_uid, found.pw_gid


def _run(program: str, *words: str | Path) -> None:
    as_other = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
    command = [*as_other, str(_programs() / program), *map(str, words)]
    done = subprocess.run(
        command, cwd="/", check=False, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True
    )  # fmt: skip
    if done.returncode:
        raise RuntimeError(f"{' '.join(command)}: {done.stderr}")
