"""A speaker's own phrases."""

import pytest

from grammar import parse
from grammar.hear.aliases import (
    AliasError,
    alias_fault,
    aliases_from_toml,
    aliases_to_toml,
    suggest_alias,
)
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


@pytest.mark.parametrize(
    ("heard", "meant", "said"),
    [
        ("two ulcer", "toe ulcer", "numbers are read as said"),
        ("", "sole ulcer", "no words"),
        ("[unk]", "sole ulcer", "no word"),
        ("old trouble", "broken tail", "no phrase of the lexicon"),
        ("the beast", "cow", "cannot be stood in for"),
        ("sole ulcer", "toe ulcer", "already means"),
    ],
)
def test_what_cannot_be_taught(heard, meant, said):
    """Numbers, animals, unknown terms and words with a meaning are refused, with the reason."""
    assert said in alias_fault(heard, meant)


def test_alias_never_touches_numbers():
    """An alias that slipped in from elsewhere still changes no number."""
    reading = parse(
        ["cow", "four", "twelve", "left", "hind", "clean"], aliases={"four twelve": "sole ulcer"}
    )

    assert "412" == reading.entries[0].animal.value


def test_toml_round_trip():
    """What is written is read back the same."""
    aliases = {"the old trouble": "sole ulcer", "usual spray": "blue spray"}

    assert aliases == aliases_from_toml(aliases_to_toml(aliases))


def test_toml_faults_come_at_once():
    """All faulty lines are named."""
    with pytest.raises(AliasError) as caught:
        aliases_from_toml('[aliases]\n"two ulcer" = "toe ulcer"\n"x" = "nothing such"\n')

    assert 2 == len(caught.value.faults)


def test_a_fix_suggests_what_it_teaches():
    """Fixing the lesion of unknown words offers them as an alias; known words teach nothing."""
    assert "digital dermatitis" == suggest_alias("hairy monster", "digital dermatitis")
    assert suggest_alias("hairy wart", "digital dermatitis") is None
    assert suggest_alias("two ulcer", "toe ulcer") is None
