"""The order of the queue knows every check."""

from dictate.entry.values import EntryValues
from dictate.review.waiting import groups
from grammar.checks import CHECKS

OWN = {
    "corrected-after", "first-listener", "heard-otherwise", "left-behind", "may-be-talk", "no-speech", "nothing-to-record", "remark-spoken",
    "second-listener",
    "took-back", "unsure", "unsure-animal", "unsure-word",
}  # fmt: skip
"""Marks that the queue itself gives, beside those of the grammar."""


def test_every_check_has_its_place() -> None:
    """Each mark stands in one group, and no group names a check that does not exist."""
    listed = [check for group in groups() for check in group.settles]

    assert sorted(set(CHECKS) | OWN) == sorted(listed)


def test_slots_that_settle_a_mark_exist() -> None:
    """A mark is answered by changing a slot that entries have."""
    slots = {slot for group in groups() for found in group.settles.values() for slot in found}

    assert slots <= set(EntryValues.model_fields)
