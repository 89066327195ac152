"""ICAR ADE: against the public schemas where they are at hand, else against our own models."""

import json
import os
import re
from pathlib import Path

import jsonschema
import pytest
from referencing import Registry, Resource
from referencing.jsonschema import DRAFT202012

from dictate.exchange.ade_files import export_ade
from dictate.exchange.ade_models import Collection
from dictate.store.farms import farm_by_name

SHARED = Path(os.environ.get("DICTATE_SHARED", Path(__file__).parents[4] / "shared"))
SCHEMAS = SHARED / "icar_ade" / "ADE-1_b788ef5"
CLAW_POSITIONS = next(
    (SHARED / "icar_ade").glob("later_versions*/enums/icarPositionOnAnimalType.*.json"), None
)
FILES = {
    "animals.json": "icarAnimalCoreCollection",
    "diagnoses.json": "icarDiagnosisEventCollection",
    "treatments.json": "icarTreatmentEventCollection",
}
needs_schemas = pytest.mark.skipif(not SCHEMAS.is_dir(), reason="the ADE schemas are not at hand")


@pytest.fixture
def exported(confirmed, tmp_path):
    with confirmed.reading() as session:
        export_ade(session, tmp_path / "ade", farm_by_name(session, "Alder Farm"))
    return {name: json.loads((tmp_path / "ade" / name).read_text("utf-8")) for name in FILES}


def retrieve(uri):
    path = Path(uri.removeprefix("file://"))
    if path.name.startswith("icarPositionOnAnimalType") and retrieve.positions:
        path = retrieve.positions
    return Resource.from_contents(
        json.loads(path.read_text("utf-8")), default_specification=DRAFT202012
    )


retrieve.positions = None


def validator(collection):
    registry = Registry(retrieve=retrieve)
    uri = (SCHEMAS / "collections" / f"{collection}.json").as_uri()
    checker = jsonschema.FormatChecker()
    checker.checks("date-time")(
        lambda text: bool(re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", text))
    )
    return jsonschema.Draft202012Validator({"$ref": uri}, registry=registry, format_checker=checker)


@needs_schemas
@pytest.mark.parametrize("name", FILES)
def test_the_files_validate_against_the_public_schemas(exported, name):
    """github.com/adewg/ICAR, ADE-1 at b788ef5 (v1.3.2)."""
    validator(FILES[name]).validate(exported[name])


@needs_schemas
def test_the_schemas_refuse_what_is_wrong(exported):
    """The check above can fail: a wrong enumeration, a missing field, a time without zone."""
    for spoil in (
        lambda event: event["diagnoses"][0].update(severity="severe"),
        lambda event: event.pop("animal"),
        lambda event: event["meta"].pop("modified"),
        lambda event: event.update(eventDateTime="2026-03-02"),
        lambda event: event["diagnoses"][0].update(positions=[{"position": "OuterToeRearLeft"}]),
    ):
        spoilt = json.loads(json.dumps(exported["diagnoses.json"]))
        spoil(spoilt["member"][-1])
        with pytest.raises(jsonschema.ValidationError):
            validator(FILES["diagnoses.json"]).validate(spoilt)


@needs_schemas
@pytest.mark.skipif(CLAW_POSITIONS is None, reason="the later position list is not at hand")
def test_claw_positions_are_those_of_the_later_list(confirmed, tmp_path, monkeypatch):
    """IcarPositionOnAnimalType at commit 97aa0c3 knows inner and outer toes."""
    monkeypatch.setattr(retrieve, "positions", CLAW_POSITIONS)
    with confirmed.reading() as session:
        export_ade(session, tmp_path / "ade", farm_by_name(session, "Alder Farm"), with_claws=True)
    data = json.loads((tmp_path / "ade" / "diagnoses.json").read_text("utf-8"))
    validator(FILES["diagnoses.json"]).validate(data)
    positions = {
        p["position"] for e in data["member"] for d in e["diagnoses"] for p in d["positions"]
    }
    assert positions == {"LegsRearLeft", "LegsRearRight", "OuterToeRearLeft"}


@pytest.mark.parametrize("name", FILES)
def test_the_files_fit_our_own_models(exported, name):
    read = Collection.model_validate(exported[name])
    assert read.view.totalItems == len(read.member) > 0


def test_what_an_event_says(exported):
    event = exported["diagnoses.json"]["member"][-1]
    assert event["animal"] == {"id": "UK230011200123", "scheme": "uk.cts.eartag"}
    dermatitis, abscess = event["diagnoses"]
    assert dermatitis["description"] == "stage M4.1; worse; pus, bleeding"
    assert (dermatitis["site"], dermatitis["severity"]) == ("right hind foot, zone 10", "Severe")
    assert (abscess["site"], abscess["description"]) == ("left hind foot, outer claw, zone 3", "2")
    assert event["eventDateTime"] == "2026-03-02T00:00:00Z"
    treatments = [
        e for e in exported["treatments.json"]["member"] if e["animal"] == event["animal"]
    ]
    assert [e["procedure"] for e in treatments] == ["topical", "wrap", "block", "wrap removed"]
    assert treatments[0]["medicine"] == {"name": "=the blue stuff"}
    assert not any("withdrawals" in e or "dose" in e for e in treatments)


def test_animals_bear_all_their_numbers_and_merged_ones_stay_out(exported):
    animals = {animal["managementTag"]: animal for animal in exported["animals.json"]["member"]}
    assert "101" not in animals
    assert animals["100"]["identifier"] == {"id": "276000312345678", "scheme": "std.iso.11785"}
    assert animals["100"]["alternativeIdentifiers"][0] == {
        "id": "DE0312345678",
        "scheme": "eu.bovine",
    }
    assert animals["102"]["identifier"] == {"id": "1/102", "scheme": "dictate.farm-and-number"}
    ids = [
        e["id"] for name in ("diagnoses.json", "treatments.json") for e in exported[name]["member"]
    ]
    assert len(ids) == len(set(ids))
