"""Changing values: paths, texts, and what does not fit."""

import pytest

from dictate.entry.values import EntryValues
from dictate.errors import ReviewError
from dictate.review.changes import apply_changes
from dictate.review.written_changes import changes_from_text

VALUES = EntryValues.model_validate(
    {
        "animal": "402",
        "findings": [{"foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer"}],
        "actions": [{"kind": "block", "foot": "LH"}, {"kind": "wrap", "foot": "LH"}],
    }
)


@pytest.mark.parametrize(
    ("texts", "path", "expected"),
    [
        (["animal=412"], ("animal",), "412"),
        (["foot=RH"], ("findings", 0, "foot"), "RH"),
        (["finding.1.zone=6"], ("findings", 0, "zone"), 6),
        (["finding.1.zone="], ("findings", 0, "zone"), None),
        (["action.2.claw=inner"], ("actions", 1, "claw"), "inner"),
        (["action.1="], ("actions", 0, "kind"), "wrap"),
        (["remark=kicks = hard"], ("remark",), "kicks = hard"),
    ],
)
def test_texts_change_one_slot(texts: list[str], path: tuple, expected: object) -> None:
    """A text changes the slot it names and leaves the others."""
    content = apply_changes(VALUES, changes_from_text(VALUES, texts)).model_dump()
    for step in path:
        content = content[step]

    assert expected == content


@pytest.mark.parametrize(
    "text",
    [
        "animal",
        "colour=red",
        "finding.0.foot=LH",
        "finding.9.foot=LH",
        "foot=XX",
        "zone=99",
        "marks=a",
    ],
)
def test_texts_that_do_not_fit(text: str) -> None:
    """A change that cannot be made is refused with words, and nothing changes."""
    with pytest.raises(ReviewError):
        apply_changes(VALUES, changes_from_text(VALUES, [text]))


def test_slots_of_a_finding_make_one_when_there_is_none() -> None:
    """On an empty entry the finding's slots alone are enough."""
    empty = EntryValues(animal="7")

    changed = apply_changes(empty, changes_from_text(empty, ["lesion=sole ulcer", "foot=LH"]))

    assert [("sole ulcer", "LH")] == [(one.lesion, one.foot) for one in changed.findings]


def test_slot_alone_is_ambiguous_with_two_findings() -> None:
    """With two findings a bare slot is refused, never guessed."""
    two = VALUES.model_copy(update={"findings": VALUES.findings * 2})

    with pytest.raises(ReviewError, match="Say which"):
        changes_from_text(two, ["foot=RH"])
