"""What must hold of a home folder after a power cut, whenever it came."""

import sqlite3
from contextlib import closing
from pathlib import Path

from sqlmodel import select

from dictate.settings import Settings
from dictate.store.backup import backups_in, check_backup
from dictate.store.clips import kept_path
from dictate.store.database import open_database
from dictate.store.integrity import changed_outside
from dictate.store.states import EntryState
from dictate.store.tables import Clip, Entry
from dictate.written import hash_file

__all__ = ["faults_after"]


def faults_after(home: Path, told: set[int]) -> list[str]:
    """Name what is wrong; `told` are the entries that a person was told are confirmed."""
    database_file = home / "record.db"
    if not database_file.exists():
        return [f"told of {sorted(told)}, but the record is gone"] if told else []
    settings = Settings(home=home, trimmer="Robin Field", farm="Alder Farm")
    faults = []
    with open_database(settings.database_url) as database, database.reading() as session:
        confirmed = set(
            session.exec(select(Entry.id).where(Entry.state == EntryState.CONFIRMED)).all()
        )
        if told - confirmed:
            faults.append(f"confirmed and gone: {sorted(told - confirmed)}")
        faults += changed_outside(session)
        for clip in session.exec(select(Clip)).all():
            path = kept_path(settings, clip)
            if not path.exists():
                faults.append(f"sound of {clip.file_name} is gone")
            elif hash_file(path) != clip.sha256:
                faults.append(f"sound of {clip.file_name} is damaged")
    with closing(sqlite3.connect(database_file)) as plain:
        said = [row[0] for row in plain.execute("PRAGMA integrity_check")]
    faults += [] if said == ["ok"] else [f"integrity: {said[:3]}"]
    faults += [f"backup {one.name} is damaged" for one in backups_in(home / "backups") if not check_backup(one)]  # fmt: skip
    package = home / "out" / "datapackage.json"
    if package.exists():
        faults += _export_faults(package.parent)
    return faults


def _export_faults(folder: Path) -> list[str]:
    """An export that has its description is whole."""
    import csv

    from dictate.exchange.package import read_package

    suffix, rows = read_package(folder)
    faults = []
    for name, count in rows.items():
        path = folder / f"{name}{suffix}"
        found = -1
        if path.exists():
            with path.open(newline="", encoding="utf-8-sig", errors="replace") as file:
                found = sum(1 for _ in csv.reader(file)) - 1
        if found != count:
            faults.append(f"export: {name} has {found} of {count} rows")
    return faults
