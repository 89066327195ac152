"""The demo day's record, as a right hearing gives it, through every export and back."""

import json
from pathlib import Path

import pytest

from dictate.demo.script import read_script
from dictate.exchange.ade_files import export_ade
from dictate.exchange.ade_models import Collection
from dictate.exchange.record_files import FORMS, export_record, import_record
from dictate.store.database import open_database
from dictate.store.farms import farm_by_name
from tests.deciding import confirm

from .test_ade import FILES, SCHEMAS, validator

DEMO = Path(__file__).parents[3] / "demo_audio"


@pytest.fixture
def demo_day(database, queue):
    """Every scripted entry of the day that names an animal, confirmed."""
    notes = read_script(DEMO).note
    entries = [
        entry.model_dump(mode="json") for note in notes for entry in note.entries if entry.animal
    ]
    assert len(entries) > 10
    for number in queue(*entries):
        with database.writing() as session:
            confirm(session, number, by="Robin Field")
    return database


def test_every_export_of_the_demo_day_validates_and_comes_back(demo_day, tmp_path):
    with demo_day.reading() as session:
        for form in FORMS:
            export_record(session, tmp_path / form, form=form)
        counts = export_ade(session, tmp_path / "ade", farm_by_name(session, "Alder Farm"))
    assert min(counts.values()) > 0
    for name, schema in FILES.items():
        data = json.loads((tmp_path / "ade" / name).read_text("utf-8"))
        Collection.model_validate(data)
        if SCHEMAS.is_dir():
            validator(schema).validate(data)
    for form in FORMS:
        with open_database(f"sqlite:///{tmp_path / form}.db") as other:
            with other.writing() as session:
                import_record(session, tmp_path / form)
            with other.reading() as session:
                export_record(session, tmp_path / f"{form} again", form=form)
        for path in (tmp_path / form).iterdir():
            assert path.read_bytes() == (tmp_path / f"{form} again" / path.name).read_bytes()
