"""How words sound."""

import pytest

from dictate.decoder.pronunciation import (
    everyday_words,
    pronounce_like,
    pronunciations,
    words_without,
)
from dictate.decoder.run_time_words import spelt_as
from dictate.errors import ModelError
from grammar import load_lexicon, vocabulary


def test_every_word_of_the_grammar_can_be_pronounced():
    """No word that the grammar takes lacks a pronunciation."""
    assert words_without(vocabulary()) == ()


def test_the_grammar_knows_the_everyday_words_of_the_recogniser():
    """They stand in two files, since the grammar needs no sounds; "soul" alone is to be repaired."""
    assert set(everyday_words()) - load_lexicon().everyday == {"soul"}


# What differs: Wells, Accents of English (1982): trap-bath, rhoticity, lot; from memory.
@pytest.mark.parametrize(
    ("word", "said"),
    [
        ("four", "F AO R"),  # North American, Irish, Scottish
        ("four", "F AO"),  # most of England
        ("half", "HH AE F"),
        ("half", "HH AA F"),
        ("block", "B L AA K"),
        ("block", "B L AO K"),
        ("three", "T R IY"),  # Irish
        ("lateral", "L AE T ER AH L"),
        ("lateral", "L AE T R AH L"),
        ("corium", "K AO R IY AH M"),
        ("zero", "Z IH R OW"),
        ("oh", "OW"),
    ],
)
def test_people_say_words_in_different_ways(word, said):
    """British, Irish and North American ways are all listened for."""
    assert tuple(said.split()) in pronunciations()[word]


def test_everyday_words_are_not_words_of_the_trade():
    """What is heard as filler must not be what the grammar wants to hear."""
    assert not set(everyday_words()) & vocabulary()


def test_a_new_word_sounds_like_known_ones():
    """Known words in a row give the sounds of a new one."""
    known = {"straw": (("S", "T", "R", "AO"),), "berry": (("B", "EH", "R", "IY"),)}

    assert pronounce_like("straw berry", known) == (("S", "T", "R", "AO", "B", "EH", "R", "IY"),)


def test_unknown_sounds_are_named():
    """Spelling a new word with unknown words says which."""
    with pytest.raises(ModelError, match="no pronunciation for xyzzy"):
        pronounce_like("straw xyzzy", pronunciations())


def test_trade_words_are_spelt_out_for_other_models():
    """Every spelling belongs to a word of the grammar."""
    assert set(spelt_as()) <= vocabulary() | {"dd", "ih", "mortellaro"}
