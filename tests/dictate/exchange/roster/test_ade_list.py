"""A list of animals in the standard's form (ICAR ADE-1, `icarAnimalCoreResource`) is a roster."""

import datetime as dt
import json

import pytest

from dictate.errors import RosterError
from dictate.exchange.ade import AdeRecord, animals_of
from dictate.exchange.roster import find_columns, read_rows, read_table
from dictate.exchange.roster.ade_list import FARM_AND_NUMBER
from dictate.record.rows import AnimalRow
from dictate.store.states import AnimalStatus

TODAY = dt.date(2026, 3, 2)


def _animal(tag: str, *ids: str, **more: object) -> dict[str, object]:
    first, *others = [{"id": one, "scheme": "an.invented.scheme"} for one in ids]
    return {
        "resourceType": "Animal", "meta": {"source": "x", "sourceId": tag, "modified": "2026-03-02T00:00:00Z"},
        "identifier": first, "alternativeIdentifiers": others, "specie": "Cattle", "gender": "Female",
        "managementTag": tag, "status": "Alive",
    } | more  # fmt: skip


def test_numbers_come_from_the_standards_fields() -> None:
    """The tag is the number, fifteen digits are the electronic number, another identifier the ear tag."""
    members = [
        _animal("412", "DE 05 38 9012 3456", "999000000000412", name="Bella"),
        _animal("413", "999000000000413", status="OffFarm"),
        _animal("7", "XX 7", specie="Sheep"),
        _animal("", "XX 8"),
    ]
    table = read_table(json.dumps({"view": {"totalItems": 9}, "member": members}).encode())

    read = read_rows(table, find_columns(table), today=TODAY)

    assert [
        ("412", "999000000000412", "DE 05 38 9012 3456", "Bella", "present"),
        ("413", "999000000000413", None, None, "off the roster"),
    ] == [(one.number, one.eid, one.ear_tag, one.name, one.status) for one in read.lines]
    assert ["line 3: is of the species 'Sheep'", "line 4: has no management number"] == [
        one.said for one in read.refused
    ]
    assert "4 of 9 members" in read.how


@pytest.mark.parametrize(
    "text", ["{", "[]", "{}", '{"member": 1}', "[1, 2]", '{"member": [{"a": 1}]}']
)
def test_other_json_is_refused(text: str) -> None:
    """JSON without animals is no roster."""
    with pytest.raises(RosterError):
        read_table(text.encode())


def test_what_this_program_calls_an_animal_is_no_ear_tag() -> None:
    """An export of it may be read in elsewhere: its own name for an animal without a tag is left out."""
    own = {"id": "1/412", "scheme": FARM_AND_NUMBER}
    members = [{**_animal("412", "999000000000412"), "alternativeIdentifiers": [own]}]
    table = read_table(json.dumps({"member": members}).encode())

    (line,) = read_rows(table, find_columns(table), today=TODAY).lines

    assert ("412", "999000000000412", None) == (line.number, line.eid, line.ear_tag)


def test_who_left_is_gone_in_an_export_that_is_read_in_elsewhere() -> None:
    """Whatever is known of how she left: `Unknown` would have her present at the next farm."""
    row = {"farm_id": 1, "eid": None}
    animals = [
        AnimalRow(id=at, number=str(at), status=status, **row)
        for at, status in enumerate(AnimalStatus, start=1)
    ]
    record = AdeRecord(
        animals=animals, findings=(), actions=(), remarks=(), evidence={},
        modified=dt.datetime(2026, 3, 2, tzinfo=dt.UTC),
    )  # fmt: skip
    members = [one.model_dump(mode="json", exclude_none=True) for one in animals_of(record)]
    table = read_table(json.dumps({"member": members}).encode())
    read = read_rows(table, find_columns(table), today=TODAY)
    assert [status is AnimalStatus.PRESENT for status in AnimalStatus] == [
        one.status == "present" for one in read.lines
    ]
