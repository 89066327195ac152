"""Taught terms: kept, checked, pronounced and forgotten."""

import pytest

from dictate.decoder.pronunciation import pronunciations
from dictate.decoder.terms import (
    Term,
    add_term,
    aliases,
    forget_term,
    load_terms,
    new_term,
    with_terms,
)
from dictate.errors import ModelError, NotFoundError, SettingsError

STRAWBERRY = Term(
    phrase="strawbfoot", sounds_like="straw foot", means="digital dermatitis", speaker="anna"
)


def test_nothing_is_taught_at_first(home):
    """A home folder without the file has no terms."""
    assert load_terms(home) == ()


def test_a_term_is_kept_until_it_is_forgotten(home):
    """Teaching the same phrase again replaces it; forgetting takes it away."""
    add_term(home, STRAWBERRY)
    add_term(home, STRAWBERRY.model_copy(update={"means": "foul"}))
    assert [term.means for term in load_terms(home)] == ["foul"]

    forget_term(home, "strawbfoot")

    assert load_terms(home) == ()
    with pytest.raises(NotFoundError, match="was never taught"):
        forget_term(home, "strawbfoot")


def test_terms_belong_to_their_speaker():
    """One speaker's words do not change what another says."""
    for_all = Term(phrase="rotten claw", means="foul")

    assert aliases([STRAWBERRY, for_all], "anna") == {
        "strawbfoot": "digital dermatitis", "rotten claw": "foul",
    }  # fmt: skip
    assert aliases([STRAWBERRY, for_all], "ben") == {"rotten claw": "foul"}


def test_a_new_word_gets_the_sounds_of_known_ones():
    """The word sounds like its known words in a row."""
    learnt = with_terms(pronunciations(), [STRAWBERRY])

    assert ("S", "T", "R", "AO", "F", "UH", "T") in learnt["strawbfoot"]


def test_known_words_need_no_sound():
    """A phrase of known words is taught by its meaning alone."""
    term = new_term(" Bad  heel wart", means="digital dermatitis", speaker=None)
    assert term == Term(phrase="bad heel wart", means="digital dermatitis")


@pytest.mark.parametrize(
    ("phrase", "given", "error", "message"),
    [
        ("zorgle", {"means": "foul"}, SettingsError, "not known how"),
        ("zorgle", {"sounds_like": "xyzzy"}, ModelError, "no pronunciation for xyzzy"),
        ("0", {}, SettingsError, "words of letters"),
        ("foul", {"means": "digital dermotitis"}, SettingsError, "Did you mean digital"),
        ("zorgle blab", {"sounds_like": "so"}, SettingsError, "has 2 words and sounds like 1"),
    ],
)
def test_terms_that_cannot_work_are_refused(phrase, given, error, message):
    """What is wrong is said before anything is kept."""
    with pytest.raises(error, match=message):
        new_term(phrase, speaker=None, **given)


def test_a_file_with_faults_is_an_error_at_start(home):
    """A mistyped key is named instead of being passed over."""
    home.mkdir()
    (home / "terms.toml").write_text('[[term]]\nphrase = "foul"\nmeens = "foul"\n')

    with pytest.raises(SettingsError, match="meens"):
        load_terms(home)
