"""Figures of a measurement."""

import pytest

from dictate.measuring.scoring import Score, score_entries, score_words, slots_of
from grammar import as_json, parse


def entries(text):
    return as_json(parse(text.split()))["entries"]


SAID = "cow four twelve left hind outer sole ulcer zone four"


def test_word_error_counts_edits():
    """Substitutions, deletions and insertions over the words said (as NIST's sclite counts)."""
    score = score_words("the cat sat on the mat".split(), "the cat sat mat now".split())

    assert (score.words, score.word_errors) == (6, 3)
    assert score.word_error_rate == pytest.approx(0.5)


def test_right_entries_score_full():
    """What was said and heard alike is all right."""
    score = score_entries(entries(SAID), entries(SAID))

    assert score.slot_accuracy == score.exact_entry_rate == 1.0
    assert score.notes_exact == 1


@pytest.mark.parametrize(
    "heard",
    [
        "cow four thirteen left hind outer sole ulcer zone four",
        "cow four twelve right hind outer sole ulcer zone four",
        "cow four twelve left hind outer sole ulcer",
        "cow four twelve left hind outer toe ulcer zone four",
        SAID + " rubber block on the inner",
    ],
)
def test_one_slot_wrong_spoils_the_entry(heard):
    """An entry counts as exact only when nothing in it is wrong, missing or invented."""
    score = score_entries(entries(SAID), entries(heard))

    assert score.entries_right == 0
    assert score.slot_accuracy < 1.0


def test_invented_entries_count():
    """Entries heard where nothing was said lower the slot accuracy."""
    score = score_entries([], entries(SAID))

    assert score.slots == 0
    assert score.slot_accuracy == 0.0
    assert score.animals_wrong == 1


def test_a_wrong_animal_is_counted_with_its_marks():
    """A wrong animal is worst when nothing asks for a look."""
    said, heard = entries(SAID), entries("cow four thirteen left hind outer sole ulcer zone four")
    assert score_entries(said, heard).animals_wrong == 1

    marked = [heard[0] | {"marks": ["animal-not-on-roster"]}]

    assert score_entries(said, marked).animals_wrong_unmarked == 0


def test_evidence_is_no_slot():
    """Heard words, marks and candidates show how a slot came about."""
    names = {slot[-2] if len(slot) > 2 else slot[0] for slot in slots_of(entries(SAID)[0])}

    assert names == {"animal", "foot", "claw", "zone", "lesion"}


def test_scores_add_up():
    """The score of many notes is the sum of theirs."""
    one = Score(words=10, word_errors=1)

    assert (one + one).word_error_rate == pytest.approx(0.1)
    assert (one + one).words == 20
