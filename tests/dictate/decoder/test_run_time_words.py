"""Trade words for models that lack them."""

from dictate.decoder.run_time_words import expect, spell_out, turn_back
from grammar import Word, vocabulary


def lacking(*unknown):
    """Return a model's `missing_words` that lacks some words."""
    return lambda words: tuple(sorted(set(words) & set(unknown)))


def test_a_lacking_word_is_spelt_with_known_ones():
    """The first spelling whose words are all known is taken; the rest stay missing."""
    spelt, missing = spell_out(("salicylic", "tyloma"), lacking("sally", "tie", "loma", "lower"))

    assert spelt == {"salicylic": "sal e silly k"}
    assert missing == ("tyloma",)


def test_spelt_words_are_turned_back():
    """The trade word takes the time of all its parts and the least confidence."""
    heard = [
        Word(text="foot", start=0.0, end=0.3, confidence=0.9),
        Word(text="inter", start=0.3, end=0.6, confidence=0.8),
        Word(text="digital", start=0.6, end=1.0, confidence=0.5),
    ]

    assert turn_back(heard, {"interdigital": "inter digital"}) == (
        heard[0],
        Word(text="interdigital", start=0.3, end=1.0, confidence=0.5),
    )


def test_a_model_is_told_only_words_it_knows():
    """Notes with words that nothing can replace are left out, and the filler is there."""
    told = expect(
        lacking("corium", "superfoul", "tyloma", "loma", "lower"),
        spoken={"412": [("four", "twelve")]},
    )

    words = {word for phrase in told.phrases for word in phrase.split()}
    assert not words & {"corium", "superfoul", "tyloma"}
    assert "[unk]" in words
    assert "cow four twelve" in told.phrases
    assert told.missing == ("lower", "tyloma")
    assert told.spelt["superfoul"] == "super foul"


def test_every_known_word_is_possible():
    """Each word of the grammar is told by itself, so that none is shut out."""
    told = expect(lacking(), spoken={})

    assert vocabulary() <= {word for phrase in told.phrases for word in phrase.split()}
