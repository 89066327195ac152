"""CSV and Parquet: export, import into an empty database, export again: the same bytes."""

import csv
import json

import pyarrow.csv as pacsv
import pyarrow.parquet as pq
import pytest
from hypothesis import given
from hypothesis import strategies as st

from dictate.errors import StoreError
from dictate.exchange import csv_files, parquet_files
from dictate.exchange.record_files import FORMS, export_record, import_record
from dictate.exchange.tables import EXPORTED
from dictate.exchange.values import column_of, guarded, unguarded
from dictate.store.animals import undo_merge
from dictate.store.database import open_database
from dictate.store.record_tables import RECORD_TABLES, Remark
from dictate.store.tables import Clip

from .conftest import AWKWARD


def contents(folder):
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def export(database, folder, form="csv"):
    with database.reading() as session:
        return export_record(session, folder, form=form)


@pytest.mark.parametrize("form", FORMS)
def test_there_and_back_is_the_same_bit_for_bit(confirmed, tmp_path, form):
    counts = export(confirmed, tmp_path / "one", form)
    assert counts["finding"] == len(AWKWARD) + 3
    assert counts["entry"] == len(AWKWARD) + 2, "the waiting entry stays behind"
    with open_database(f"sqlite:///{tmp_path / 'new.db'}") as other:
        with other.writing() as session:
            assert import_record(session, tmp_path / "one") == counts
        export(other, tmp_path / "two", form)
        assert contents(tmp_path / "one") == contents(tmp_path / "two")
        with other.writing() as session:
            undo_merge(session, 2, by="Robin Field")  # the history came along


def test_both_forms_hold_the_same(confirmed, tmp_path):
    for form in FORMS:
        export(confirmed, tmp_path / form, form)
    for exported in EXPORTED:
        rows = [
            list(
                files.read_table(
                    tmp_path / form / f"{exported.name}{files.SUFFIX}", exported.columns
                )
            )
            for form, files in (("csv", csv_files), ("parquet", parquet_files))
        ]
        assert rows[0] == rows[1]


def test_no_cell_can_run_as_a_formula(confirmed, tmp_path):
    """OWASP's list of leading characters: = + - @ tab carriage return."""
    export(confirmed, tmp_path / "out")
    for exported in EXPORTED:
        with (tmp_path / "out" / f"{exported.name}.csv").open(encoding="utf-8", newline="") as file:
            for row in csv.DictReader(file):
                for column in exported.columns:
                    if column.kind.field_type == "string":
                        assert not row[column.name].startswith(("=", "+", "-", "@", "\t", "\r"))


@given(st.text(max_size=12))
def test_guarding_text_loses_nothing(text):
    column = column_of(Remark.__table__.c.text)
    assert unguarded(guarded(text)) == text
    assert column.from_cell(column.to_cell(text)) == text


@given(st.none() | st.text(max_size=6))
def test_nothing_and_an_empty_text_stay_apart(text):
    column = next(c for e in EXPORTED if e.name == "animal" for c in e.columns if c.name == "name")
    assert column.from_cell(column.to_cell(text)) == text


def test_other_readers_understand_the_files(confirmed, tmp_path):
    """PyArrow's own CSV and Parquet readers, and the description of the Data Package standard."""
    export(confirmed, tmp_path / "csv")
    export(confirmed, tmp_path / "parquet", "parquet")
    package = json.loads((tmp_path / "csv" / "datapackage.json").read_text("utf-8"))
    options = pacsv.ParseOptions(newlines_in_values=True)
    for resource in package["resources"]:
        names = [field["name"] for field in resource["schema"]["fields"]]
        table = pacsv.read_csv(tmp_path / "csv" / resource["path"], parse_options=options)
        assert (table.column_names, table.num_rows) == (names, resource["rows"])
        other = pq.read_table(tmp_path / "parquet" / f"{resource['name']}.parquet")
        assert (other.column_names, other.num_rows) == (names, resource["rows"])
        assert all(field["description"] for field in resource["schema"]["fields"])
    findings = pq.read_table(tmp_path / "parquet" / "finding.parquet").to_pylist()
    assert {"Alder Farm"} == {row["farm_name"] for row in findings}
    assert {"100", "412"} <= {row["animal_number"] for row in findings}


def test_every_table_of_the_record_is_exported():
    assert {table.__tablename__ for table in RECORD_TABLES} <= {
        exported.name for exported in EXPORTED
    }


def test_a_database_with_a_record_is_not_imported_into(confirmed, tmp_path):
    export(confirmed, tmp_path / "out")
    with pytest.raises(StoreError, match="has a record already"), confirmed.writing() as session:
        import_record(session, tmp_path / "out")


@pytest.mark.parametrize(
    ("name", "change", "message"),
    [
        ("finding.csv", lambda text: text.replace("2026-03-02", "yesterday", 1), "line 2, date: 'yesterday'"),
        ("finding.csv", lambda text: text[: text.rindex("\r\n", 0, -2) + 2], "its description says"),
        ("finding.csv", lambda text: text.replace("lesion", "lesions", 1), "lacks the columns lesion"),
        ("finding.csv", lambda text: text.replace("\r\n1,", "\r\n77,", 1), "FOREIGN KEY"),
        ("datapackage.json", lambda text: text[:-20], "no complete export"),
        ("datapackage.json", lambda text: text.replace('"dictate_tables": "', '"dictate_tables": "9'), "was exported with tables"),
    ],
)  # fmt: skip
def test_a_damaged_export_changes_nothing(confirmed, tmp_path, name, change, message):
    """File, line and column are named, and the database stays empty."""
    export(confirmed, tmp_path / "out")
    path = tmp_path / "out" / name
    path.write_bytes(change(path.read_bytes().decode("utf-8")).encode("utf-8"))
    with open_database(f"sqlite:///{tmp_path / 'new.db'}") as other:
        with pytest.raises(StoreError, match=message), other.writing() as session:
            import_record(session, tmp_path / "out")
        with other.reading() as session:
            assert session.get(Clip, 1) is None


def test_a_folder_with_something_else_is_left_alone(confirmed, tmp_path):
    (tmp_path / "letter.txt").write_text("dear vet")
    with pytest.raises(StoreError, match="something else"):
        export(confirmed, tmp_path)
    assert [path.name for path in tmp_path.iterdir() if path.suffix == ".csv"] == []
