"""A speaker's own phrases."""

from grammar import parse
from grammar.records import How


def test_alias_is_read_as_its_phrase():
    """A taught phrase gives the slot, and the heard words stay."""
    (finding,) = (
        parse(
            ["cow", "two", "left", "hind", "the", "old", "trouble"],
            aliases={"the old trouble": "sole ulcer"},
        )
        .entries[0]
        .findings
    )

    assert ("sole ulcer", "the old trouble", How.ALIAS) == (
        finding.lesion.value, finding.lesion.heard, finding.lesion.how,
    )  # fmt: skip


def test_alias_never_touches_numbers():
    """An alias that slipped in from elsewhere still changes no number."""
    reading = parse(
        ["cow", "four", "twelve", "left", "hind", "clean"], aliases={"four twelve": "sole ulcer"}
    )

    assert "412" == reading.entries[0].animal.value
