"""Entries in plain words."""

import pytest

from dictate.entry.values import EntryValues
from dictate.entry.wording import say_entry


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ({}, "no animal: nothing recorded"),
        (
            {
                "animal": "412",
                "findings": [{"foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer"}],
                "actions": [{"kind": "block", "foot": "LH", "claw": "inner", "material": "rubber"}],
                "follow_ups": [{"kind": "look again", "in_days": 14, "date": "2026-03-16"}],
            },
            "412: left hind outer sole ulcer, zone 4; block (rubber) left hind inner; look again 16 Mar 2026",
        ),
        (
            {
                "animal": "7",
                "findings": [{"lesion": "digital dermatitis", "stage": "M4.1", "tissue": ["pus"]}],
            },
            "7: digital dermatitis, M4.1, pus",
        ),
        ({"animal": "7", "locomotion": {"score": 3}}, "7: locomotion 3 (scale not said)"),
        ({"animal": "7", "follow_ups": [{"kind": "vet"}]}, "7: vet: no date said"),
        (
            {
                "animal": "7",
                "follow_ups": [
                    {"kind": "block off", "feet": ["LH"], "claw": "inner", "date": "2026-03-16"},
                    {"kind": "trim", "feet": "LF, RF", "in_days": 42},
                ],
            },
            "7: block off left hind inner 16 Mar 2026; trim both fronts in 42 days",
        ),
        (
            {
                "animal": "7",
                "measures": [{"what": "dorsal wall", "number": "80.0", "unit": "mm"}],
                "remark": "kicks",
            },
            "7: dorsal wall 80.0 mm; remark “kicks”",
        ),
        (
            {
                "animal": "7",
                "findings": [
                    {"foot": "LH", "lesion": "digital dermatitis", "stage": "M2"},
                    {"foot": "LF", "lesion": "no lesion"},
                    {"foot": "RH", "lesion": "digital dermatitis", "stage": "M2"},
                ],
                "actions": [
                    *(
                        {"kind": "functional trim", "foot": foot}
                        for foot in ("LF", "RF", "LH", "RH")
                    ),
                    {"kind": "wrap", "foot": "LH"},
                    {"kind": "wrap", "foot": "RF"},
                ],
            },
            "7: both hinds digital dermatitis, M2; left front no lesion; functional trim all four feet; wrap left hind; wrap right front",
        ),
        (
            {
                "animal": "7",
                "findings": [
                    {"foot": "LH", "lesion": "sole ulcer", "severity": "mild"},
                    {"foot": "RH", "lesion": "sole ulcer"},
                    {"foot": "RH", "lesion": "sole ulcer"},
                ],
            },
            "7: left hind sole ulcer, mild; right hind sole ulcer; right hind sole ulcer",
        ),
    ],
)
def test_entry_in_words(content: dict, said: str) -> None:
    """Everything that is recorded is said, and nothing else."""
    assert said == say_entry(EntryValues.model_validate(content))
