"""The language model: chances that add up, every order possible, ARPA there and back."""

import math
import random

import pytest

from dictate.decoder.language import ANIMAL, END, START, estimate, read_arpa, write_arpa
from dictate.decoder.sampling import (
    said_notes,
    sampled_notes,
    sampled_numbers,
    spoken_numbers,
    whole_notes,
)
from dictate.decoder.speaking import spoken_note
from dictate.errors import ModelError
from grammar import Roster, load_lexicon, parse, vocabulary

NOTES = [
    ["cow", "<animal>", "left", "hind", "outer", "sole", "ulcer"],
    ["cow", "<animal>", "right", "hind", "clean"],
    ["cow", "<animal>", "left", "hind", "clean"],
]
WORDS = {"cow", ANIMAL, "left", "right", "hind", "outer", "sole", "ulcer", "clean", "corkscrew"}


def log_chance(model, gram):
    """Look a word's chance up as a decoder would, backing off."""
    if gram in model.probability:
        return model.probability[gram]
    return model.backoff.get(gram[:-1], 0.0) + log_chance(model, gram[1:])


@pytest.mark.parametrize("order", [1, 2, 3])
@pytest.mark.parametrize("history", [(), (START,), ("left",), ("hind", "outer")])
@pytest.mark.parametrize("seen_min", [{}, {2: 2, 3: 2}])
def test_chances_add_up_to_one(order, history, seen_min):
    """After any history, seen or not, the chances of all words and of the end add up to one."""
    model = estimate(NOTES, vocabulary=WORDS, order=order, seen_min=seen_min)
    history = history[-(order - 1) :] if order > 1 else ()

    total = sum(math.exp(log_chance(model, (*history, word))) for word in {*WORDS, END})

    assert total == pytest.approx(1.0, abs=1e-6)


def test_any_word_may_follow_any_other():
    """Words that no note has are possible everywhere."""
    model = estimate(NOTES, vocabulary=WORDS)

    assert log_chance(model, ("clean", "corkscrew")) > math.log(1e-4)


def test_rare_word_pairs_left_out_count_for_any_other_word():
    """A history mostly followed by words left out leaves much to the shorter history."""
    notes = [["left", word] for word in ("hind", "hind", "clean", "outer", "sole", "ulcer")]

    pruned = estimate(notes, vocabulary=WORDS, seen_min={2: 2})

    assert ("left", "clean") not in pruned.probability
    assert log_chance(pruned, ("left", "clean")) > log_chance(pruned, ("left", "corkscrew"))
    # 2 of 6 after "left", of 6 and 5 kinds in all: Witten and Bell (1991), by hand
    assert log_chance(pruned, ("left", "hind")) == pytest.approx(
        math.log(2 / 11 + 5 / 11 * math.exp(pruned.probability[("hind",)]))
    )


def test_arpa_comes_back():
    """A model written as ARPA text is the same model when read."""
    model = estimate(NOTES, vocabulary=WORDS, order=3)

    again = read_arpa(write_arpa(model), where="test")

    assert again.words == model.words
    for gram, value in model.probability.items():
        assert again.probability[gram] == pytest.approx(value, abs=2e-4)


def test_text_that_is_not_arpa_is_refused():
    """The faulty line is named."""
    with pytest.raises(ModelError, match="line 2 is not an n-gram"):
        read_arpa(["\\1-grams:", "cow -1.0"], where="notes.arpa")


def test_sampled_notes_hold_only_words_of_the_grammar():
    """The recogniser is never taught a word that the grammar does not know, if only as harmless."""
    said = {word for note in (*sampled_notes(300, seed=1), *said_notes()) for word in note}

    assert said <= vocabulary() | load_lexicon().everyday | {ANIMAL}


def test_sampling_is_repeatable():
    """A seed always gives the same notes, so that a model can be built again."""
    assert list(sampled_notes(20, seed=5)) == list(sampled_notes(20, seed=5))
    assert list(sampled_notes(20, seed=5)) != list(sampled_notes(20, seed=6))


def test_numbers_take_the_place_of_the_class():
    """For recognisers without classes, each class becomes a number."""
    assert not any(ANIMAL in note for note in whole_notes(50, seed=1))


@pytest.mark.parametrize("number", ["412", "1204", "7", "055", "90"])
def test_a_roster_number_is_said_in_ways_that_read_back(number):
    """Every way of saying a number is read as that number by the grammar."""
    roster = Roster(numbers=(number,))
    ways = spoken_numbers(roster)[number]

    assert len(ways) == len(set(ways)) > 0
    for way in ways:
        (entry,) = parse(["cow", *way, "left", "hind", "clean"], roster=roster).entries
        assert entry.animal.value == number, way


def test_usual_ways_of_saying_a_number():
    """Digits, pairs and hundreds are all expected ("common practice")."""
    ways = {" ".join(way) for way in spoken_numbers(Roster(numbers=("412",)))["412"]}

    assert {"four twelve", "four one two", "four hundred and twelve"} <= ways


def test_numbers_of_any_length():
    """Numbers that are on no roster have one to eleven digits, as long tags and telephones do."""
    numbers = list(sampled_numbers(2000, seed=3))
    lengths = {len(number) for number in numbers}

    assert min(lengths) == 1
    assert max(lengths) >= 11
    digits = {"zero", "oh", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"}
    singly = sum(set(number) <= digits for number in numbers if len(number) > 1)
    assert 0.4 < singly / len(numbers) < 0.75


def test_a_number_may_be_a_whole_note():
    """Said first, alone: else a language model puts "cow" before it and feet behind it."""
    alone = sum(note == (ANIMAL,) for note in sampled_notes(2000, seed=3))
    assert 150 < alone < 350


@pytest.mark.parametrize("kind", ["put together", "as said"])
def test_expected_notes_are_mostly_understood(kind):
    """What people are expected to say is what the grammar reads: few words are left over."""
    rng = random.Random(4)
    items = [spoken_note(rng) for _ in range(150)] if kind == "put together" else said_notes()
    notes = [
        [word for item in note for word in (["four", "twelve"] if item == ANIMAL else [item])]
        for note in items
    ]

    left = sum(len(parse(note).leftover) for note in notes)

    assert left / sum(map(len, notes)) < 0.08


def test_notes_are_said_once():
    """A line that stands twice would count twice."""
    assert len(set(said_notes())) == len(said_notes()) > 1000
