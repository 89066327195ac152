"""A confirmed record with everything an export can meet."""

import datetime as dt

import pytest

from dictate.store.animals import merge_animals
from dictate.store.farms import animal_by_number
from dictate.store.tables import Animal
from tests.deciding import amend, confirm

AWKWARD = [
    '=HYPERLINK("http://example.invalid")',
    "+1",
    "-2+3",
    "@sum",
    "'quoted",
    "''",
    "\tafter a tab",
    "line one\nline two\r\nline three",
    'comma, "quote"; semicolon',
    "Ćwikła Γιώργος Коровка بقرة 牛",
    " leading and trailing ",
]


@pytest.fixture
def confirmed(database, queue):
    """The database with a dozen confirmed entries, one waiting, a merge and a settled follow-up."""
    contents = [
        {
            "animal": str(100 + at),
            "remark": text,
            "findings": [{"lesion": "sole ulcer", "foot": "LH", "heard": text}],
        }
        for at, text in enumerate(AWKWARD)
    ]
    contents.append(
        {
            "animal": "412",
            "findings": [
                {"lesion": "digital dermatitis", "foot": "RH", "zone": 10, "stage": "M4.1", "severity": "severe", "tissue": ["pus", "bleeding"], "course": "worse"},
                {"lesion": "white line abscess", "foot": "LH", "claw": "outer", "zone": 3, "severity": "2"},
                {"lesion": "no lesion", "foot": "LF"},
            ],
            "actions": [
                {"kind": "topical", "foot": "RH", "material": "=the blue stuff"},
                {"kind": "wrap", "foot": "LH"},
                {"kind": "block", "foot": "LH", "claw": "inner", "material": "rubber"},
                {"kind": "referred"},
            ],
            "follow_ups": [{"kind": "wrap off", "in_days": 3, "date": "2026-03-05", "when": "in three days"}],
            "locomotion": {"score": 3, "scale": "0-3"},
            "measures": [{"what": "dorsal wall", "number": "80.0", "unit": "mm"}],
            "status": ["very lame"],
        }
    )  # fmt: skip
    entries = queue(*contents)
    later = queue(
        {"animal": "412", "actions": [{"kind": "wrap removed", "foot": "LH"}]},
        date=dt.date(2026, 3, 5),
    )
    queue({"animal": "999", "remark": "still waiting"})
    with database.writing() as session:
        for entry in entries + later:
            confirm(session, entry, by="Robin Field")
        amend(session, entries[0], {"remark": "=1+1"}, by="Robin Field")
        first, second = (animal_by_number(session, 1, number) for number in ("100", "101"))
        first.eid, first.ear_tag, second.ear_tag = "276000312345678", "DE 03 123 45678", ""
        session.get(Animal, animal_by_number(session, 1, "412").id).ear_tag = "UK230011200123"
        session.flush()
        merge_animals(session, second.id, first.id, by="Robin Field")
    return database
