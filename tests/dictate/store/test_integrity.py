"""Changes made outside the program are found; what the program itself did never counts as one."""

import sqlite3

import pytest

from dictate.store.integrity import changed_outside
from tests.deciding import confirm

ULCER = {"lesion": "sole ulcer", "foot": "LH", "claw": "outer"}


@pytest.fixture
def record(database, queue):
    """Three confirmed entries."""
    for entry in queue(*({"animal": number, "findings": [ULCER]} for number in ("1", "2", "3"))):
        with database.writing() as session:
            confirm(session, entry, by="Robin Field", sure=True)
    return database


def _look(database) -> list[str]:
    with database.reading() as session:
        return changed_outside(session)


def test_the_programs_own_work_is_whole(record) -> None:
    """Nothing is found where nothing was changed."""
    assert [] == _look(record)


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ("UPDATE finding SET lesion = 'no lesion' WHERE id = 2", "findings or actions in the record: 2"),
        ("DELETE FROM finding WHERE id = 2", "findings or actions in the record: 2"),
        ("UPDATE entry SET content = replace(content, 'LH', 'RH') WHERE id = 3", "1 entry is not as the history left it: 3"),
        ("UPDATE finding SET animal_id = (SELECT max(id) FROM animal) WHERE id = 2", "confirmed entry has another animal"),
        ("UPDATE entry SET animal_id = NULL WHERE id = 2", "confirmed entry has another animal"),
        ("UPDATE visit SET date = '2026-04-04' WHERE id = 1", "confirmed entries have another animal, visit"),
        ("UPDATE finding SET date = '2026-04-04' WHERE id = 2", "confirmed entry has another animal, visit"),
        ("UPDATE event SET who = 'Somebody' WHERE id = 1", "history: events 1 to"),
        ("DELETE FROM event WHERE id = 2", "history: events"),
        ("DELETE FROM seal WHERE id = (SELECT max(id) FROM seal)", "no seal"),
        (
            "INSERT INTO event (at, who, kind, subject, subject_id, act) VALUES ('2026-03-02', 'x', 'x', 'farm', 1, 'x')",
            "history: 1 event after",
        ),
    ],
)  # fmt: skip
def test_a_change_by_another_program_is_found(record, change: str, found: str) -> None:
    """With the triggers out of the way, as somebody with the file can do."""
    base = sqlite3.connect(record.url.database)
    for (trigger,) in base.execute(
        "SELECT name FROM sqlite_master WHERE type = 'trigger'"
    ).fetchall():
        base.execute(f"DROP TRIGGER {trigger}")
    base.execute(change)
    base.commit()
    base.close()

    assert any(found in line for line in _look(record)), _look(record)
