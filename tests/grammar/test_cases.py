"""Every hand-written case in `tests/cases` gives the entries it states (format: its README)."""

import datetime as dt
import json
import re
import tomllib
from collections import Counter
from decimal import Decimal
from pathlib import Path

import pytest

from grammar import Carry, Roster, as_json, parse

CASES_FOLDER = Path(__file__).parents[1] / "cases"

CASE_KEYS = {
    "id", "heard", "roster", "eids", "date", "carry", "about", "expect", "expect_nothing", "marks",
    "no_marks", "unmarked", "marked", "commands", "leftover", "why", "source", "file",
}  # fmt: skip
LIST_KEYS = {
    "findings": {
        "foot", "claw", "zone", "lesion", "stage", "severity", "heard", "object", "course", "tissue",
    },
    "actions": {"kind", "foot", "claw", "material"},
    "follow_ups": {"kind", "feet", "claw", "in_days", "date", "when"},
    "measures": {"what", "number", "unit"},
}  # fmt: skip
SAID_KEYS = {"status", "denied"}
ENTRY_KEYS = {
    "animal", "candidates", "locomotion", "remark", "marks", "any", *LIST_KEYS, *SAID_KEYS,
}  # fmt: skip

# The fixed values of the plain entry, as the specification lists them.
LESIONS = {
    "digital dermatitis", "interdigital dermatitis", "heel horn erosion", "interdigital phlegmon",
    "interdigital hyperplasia", "double sole", "axial horn fissure", "vertical horn fissure",
    "horizontal horn fissure", "sole haemorrhage", "swelling of coronet", "swelling of bulb",
    "sole ulcer", "bulb ulcer", "toe ulcer", "toe necrosis", "thin sole", "white line disease",
    "white line fissure", "white line abscess", "asymmetric claws", "concave dorsal wall",
    "corkscrew claw", "scissor claws", "abscess", "overgrown claw", "foreign body", "other",
    "no lesion",
}  # fmt: skip
ACTIONS = {
    "functional trim", "therapeutic trim", "block", "block removed", "wrap", "wrap removed",
    "topical", "horn removed", "drained", "referred",
}  # fmt: skip
FOLLOW_UPS = {"look again", "wrap off", "block off", "vet", "trim"}
COMMANDS = {"scratch that", "correction", "same cow", "next cow", "end of note"}
STAGES = {"M0", "M1", "M2", "M3", "M4", "M4.1"}
COMPLEX = {"several", "correction", "negation"}


def read_cases():
    cases = []
    for path in sorted(CASES_FOLDER.glob("*.toml")):
        table = tomllib.loads(path.read_text(encoding="utf-8"))
        cases += [
            {"source": table.get("source"), **case, "file": path.stem} for case in table["case"]
        ]
    return cases


CASES = read_cases()


def parsed(case):
    """Read a case's words into plain values."""
    roster = None
    if "roster" in case or "eids" in case:
        numbers = case.get("roster") or sorted(set(case["eids"].values()))
        roster = Roster(numbers=tuple(numbers), eids=case.get("eids", {}))
    return as_json(
        parse(
            case["heard"].split(),
            roster=roster,
            on=case.get("date"),
            carry=Carry(animal=case["carry"]) if "carry" in case else None,
        )
    )


def same(expected, actual):
    """Whether one value fits: "" is null, a list is any of, numbers compare as decimals."""
    if isinstance(expected, list):
        return any(same(one, actual) for one in expected)
    if expected == "":
        return actual is None
    if isinstance(expected, int | float) and actual is not None:
        return Decimal(str(expected)) == Decimal(str(actual))
    return actual is not None and str(expected) == str(actual)


def fits(expected, actual):
    """Whether every key that `expected` lists fits `actual`."""
    return all(
        set(value) == set(actual.get(key) or ())
        if key in ("tissue", "feet")
        else same(value, actual.get(key))
        for key, value in expected.items()
    )


def pairs_up(expected, actual):
    """Whether each of `expected` fits one of `actual`, one to one, in any order."""
    if not expected:
        return not actual
    return len(expected) == len(actual) and any(
        fits(expected[0], one) and pairs_up(expected[1:], actual[:i] + actual[i + 1 :])
        for i, one in enumerate(actual)
    )


def entry_faults(expected, actual):
    """Say what differs between an expected entry and the parsed one."""
    left_open = expected.get("any", [])
    if "animal" in expected and not same(expected["animal"], actual["animal"]):
        yield f"animal: expected {expected['animal']!r}, got {actual['animal']!r}"
    missing = set(expected.get("candidates", [])) - set(actual["animal_candidates"])
    if missing:
        yield f"animal_candidates {actual['animal_candidates']} lack {sorted(missing)}"
    for name in LIST_KEYS:
        wanted, got = expected.get(name, []), list(actual.get(name) or [])
        if name not in left_open and not pairs_up(wanted, got):
            yield f"{name}:\n    expected {plain(wanted)}\n    got      {plain(got)}"
    yield from said_faults(expected, actual)
    if "locomotion" not in left_open:
        wanted, got = expected.get("locomotion"), actual.get("locomotion")
        if not (fits(wanted, got) if wanted and got else wanted == got):
            yield f"locomotion: expected {wanted}, got {got}"
    if "remark" not in left_open and expected.get("remark") != actual.get("remark"):
        yield f"remark: expected {expected.get('remark')!r}, got {actual.get('remark')!r}"
    if not set(expected.get("marks", [])) <= set(actual["marks"]):
        yield f"marks of the entry: expected {expected['marks']}, got {actual['marks']}"


def said_faults(expected, actual):
    """Say what differs in what was said of the whole animal, and in what was denied."""
    for name in sorted(SAID_KEYS & set(expected)):
        if sorted(expected[name]) != sorted(actual[name]):
            yield f"{name}: expected {expected[name]}, got {actual[name]}"


def plain(values):
    """Values as one short line: null and empty keys left out."""
    return json.dumps([{k: v for k, v in x.items() if v not in (None, (), [])} for x in values])


def mark_faults(case, reading):
    """Say what differs in the checks raised anywhere in the note."""
    raised = {mark for entry in reading["entries"] for mark in entry["marks"]}
    raised |= set(reading.get("marks", []))
    if missing := set(case.get("marks", [])) - raised:
        yield f"marks missing: {sorted(missing)}; raised: {sorted(raised)}"
    if unwanted := set(case.get("no_marks", [])) & raised:
        yield f"marks that must not be raised: {sorted(unwanted)}"
    if case.get("marked") and not raised and reading["entries"]:
        yield "nothing is marked"
    if case.get("unmarked") and raised:
        yield f"marks on a plain note: {sorted(raised)}"


def faults(case, reading):
    """Say what differs between a case and its reading."""
    entries = reading["entries"]
    if "expect" in case:
        if len(entries) != len(case["expect"]):
            yield f"entries: expected {len(case['expect'])}, got {len(entries)}"
        for i, (wanted, got) in enumerate(zip(case["expect"], entries, strict=False)):
            yield from (f"entry {i}: {fault}" for fault in entry_faults(wanted, got))
    if case.get("expect_nothing"):
        for i, entry in enumerate(entries):
            yield from (f"entry {i}: {fault}" for fault in entry_faults({"animal": ""}, entry))
    yield from mark_faults(case, reading)
    commands = [c if isinstance(c, str) else c["kind"] for c in reading["commands"]]
    if "commands" in case and Counter(commands) != Counter(case["commands"]):
        yield f"commands: expected {case['commands']}, got {commands}"
    leftover = [reading["words"][x] if isinstance(x, int) else x for x in reading["leftover"]]
    if "leftover" in case and leftover != case["leftover"]:
        yield f"leftover: expected {case['leftover']}, got {leftover}"


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['file']}:{case['id']}")
def test_case_gives_its_entries(case):
    """The words of a case give the entries, commands and checks it states."""
    found = list(faults(case, parsed(case)))
    assert not found, "\n".join(
        [f'\nheard: "{case["heard"]}"', *(f"  {fault}" for fault in found), case.get("why", "")]
    )


def test_cases_are_well_formed():
    """Ids are unique, keys and fixed values are known, words are words, sources are named."""
    wrong = []
    for case in CASES:
        name = f"{case['file']}:{case['id']}"
        if unknown := set(case) - CASE_KEYS:
            wrong.append(f"{name}: keys {unknown}")
        if not re.fullmatch(r"([a-z']+|\[unk\])( ([a-z']+|\[unk\]))*", case["heard"]):
            wrong.append(f"{name}: heard is not plain words")
        if not case["source"]:
            wrong.append(f"{name}: no source")
        if not {"expect", "expect_nothing", "marks", "marked"} & set(case):
            wrong.append(f"{name}: expects nothing in particular")
        if "date" in case and not isinstance(case["date"], dt.date):
            wrong.append(f"{name}: date is no date")
        if case.get("about", "several") not in COMPLEX:
            wrong.append(f"{name}: about {case['about']!r}")
        for entry in case.get("expect", []):
            wrong += [f"{name}: {fault}" for fault in shape_faults(entry)]
    for keys in (("id",), ("heard", "roster", "eids", "date", "carry")):
        seen = Counter(tuple(str(case.get(key)) for key in keys) for case in CASES)
        wrong += [f"said twice: {value}" for value, times in seen.items() if times > 1]
    assert not wrong, "\n".join(wrong)


def shape_faults(entry):
    """Unknown keys and values outside the fixed lists in an expected entry."""
    yield from (f"entry key {key}" for key in set(entry) - ENTRY_KEYS)
    for name, keys in LIST_KEYS.items():
        for value in entry.get(name, []):
            yield from (f"{name} key {key}" for key in set(value) - keys)
    allowed = {"lesion": LESIONS, "foot": {"LF", "RF", "LH", "RH", ""}, "claw": {"outer", "inner", ""},
               "stage": STAGES | {""}}  # fmt: skip
    for key, values in allowed.items():
        for value in of_key([entry], "findings", key):
            if value not in values:
                yield f"{key} {value!r}"
    for name, kinds in (("actions", ACTIONS), ("follow_ups", FOLLOW_UPS)):
        yield from (f"{name} kind {k!r}" for k in of_key([entry], name, "kind") if k not in kinds)


def of_key(entries, name, key):
    """All values that expected entries give one key of one list."""
    for entry in entries:
        for value in entry.get(name, []):
            if key in value:
                yield from value[key] if isinstance(value[key], list) else [value[key]]


def test_counts():
    """There are at least 400 cases, at least 120 of them of several things, corrected or negated."""
    assert len(CASES) >= 400
    hard = [case for case in CASES if case.get("about") in COMPLEX]
    assert len(hard) >= 120
    for case in hard:
        if case["about"] == "several" and "expect" in case:
            entries = case["expect"]
            told = sum(len(e.get("findings", [])) + len(e.get("actions", [])) for e in entries)
            assert len(entries) > 1 or told > 1, case["id"]


def test_every_fixed_value_is_said_somewhere():
    """Each lesion, stage, zone, foot, claw, action, follow-up and command has a case of its own."""
    entries = [entry for case in CASES for entry in case.get("expect", [])]
    wanted = {
        ("findings", "lesion"): LESIONS,
        ("findings", "stage"): STAGES,
        ("findings", "zone"): set(range(13)),
        ("findings", "foot"): {"LF", "RF", "LH", "RH"},
        ("findings", "claw"): {"outer", "inner"},
        ("actions", "kind"): ACTIONS,
        ("follow_ups", "kind"): FOLLOW_UPS,
    }
    lacking = {
        key: sorted(values - set(of_key(entries, *key)), key=str) for key, values in wanted.items()
    }
    lacking["commands"] = sorted(COMMANDS - {c for case in CASES for c in case.get("commands", [])})
    assert not {key: values for key, values in lacking.items() if values}
