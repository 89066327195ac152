"""`dictate explain`: the fixed JSON that other programs rely on."""

import json
from pathlib import Path

NOTE = "cow four twelve left hind outer sole ulcer zone four rubber block on the inner look again in two weeks"
FIXED = {
    "words": NOTE.split(),
    "entries": [
        {
            "animal": "412",
            "animal_candidates": ["412"],
            "findings": [
                {
                    "foot": "LH",
                    "claw": "outer",
                    "zone": 4,
                    "lesion": "sole ulcer",
                    "stage": None,
                    "severity": None,
                    "heard": "sole ulcer",
                }
            ],
            "actions": [{"kind": "block", "foot": "LH", "claw": "inner", "material": "rubber"}],
            "follow_ups": [{"kind": "look again", "in_days": 14, "date": "2026-03-16"}],
            "locomotion": None,
            "remark": None,
            "marks": [],
        }
    ],
    "commands": [],
    "leftover": [],
}
"""The object of the specification; keys may be added, none removed or changed."""


def _holds(whole: object, part: object) -> bool:
    if isinstance(part, dict):
        return isinstance(whole, dict) and all(
            key in whole and _holds(whole[key], value) for key, value in part.items()
        )
    if isinstance(part, list):
        return isinstance(whole, list) and len(whole) == len(part) and all(map(_holds, whole, part))
    return whole == part


def test_fixed_object(dictate, home: Path, tmp_path: Path) -> None:
    """The example of the specification comes out with every fixed key, and no database is made."""
    roster = tmp_path / "roster.csv"
    roster.write_text("number\n412\n413\n")

    ran = dictate("explain", NOTE, "--json", "--roster", roster, "--date", "2026-03-02")

    assert 0 == ran.code
    assert _holds(json.loads(ran.out), FIXED)
    assert ["settings.toml"] == [path.name for path in home.iterdir()]


def test_unquoted_words_and_punctuation(dictate) -> None:
    """Typed text may have capitals, commas and digits, and need not be quoted."""
    ran = dictate("explain", "Cow", "412,", "left", "hind", "clean.", "--json")

    (entry,) = json.loads(ran.out)["entries"]
    assert ("412", "no lesion") == (entry["animal"], entry["findings"][0]["lesion"])


def test_as_text(dictate) -> None:
    """Without --json a person sees which words were taken as what."""
    assert "sole ulcer" in dictate("explain", NOTE).out
