"""The language model: chances that add up, every order possible, ARPA there and back."""

import math
import random

import pytest

from dictate.decoder.estimation import Source, estimate
from dictate.decoder.language import ANIMAL, END, START, LanguageModel, read_arpa, write_arpa
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
@pytest.mark.parametrize("kept", [{}, {2: 7, 3: 3}])
def test_chances_add_up_to_one(order, history, kept):
    """After any history, seen or not, the chances of all words and of the end add up to one."""
    sources = [Source(0.3, NOTES[:1]), Source(0.7, NOTES[1:])]
    model = estimate(sources, vocabulary=WORDS, order=order, kept=kept)
    history = history[-(order - 1) :] if order > 1 else ()

    total = sum(math.exp(log_chance(model, (*history, word))) for word in {*WORDS, END})

    assert total == pytest.approx(1.0, abs=1e-6)


def test_any_word_may_follow_any_other():
    """Words that no note has are possible everywhere."""
    model = estimate([Source(1, NOTES)], vocabulary=WORDS)

    assert log_chance(model, ("clean", "corkscrew")) > math.log(1e-4)


def test_shorter_histories_count_what_a_word_was_seen_behind():
    """ "Francisco" is frequent, but behind one word alone (Chen and Goodman 1999, section 2.7)."""
    notes = [["san", "francisco"]] * 8 + [[word, "glasses"] for word in ("the", "my", "his", "san")]

    model = estimate([Source(1, notes)], vocabulary={"new"})

    assert log_chance(model, ("new", "glasses")) > log_chance(model, ("new", "francisco"))
    # by hand: words behind "francisco" 1, "glasses" 4, the end 2, at the start 4 of which "san" 9 of 12
    # and evenly over the 8 words 2 % of the mass of a word alone, which longer histories do not have
    alone = (math.exp(model.probability[("san",)]) - 0.02 / 8) / 0.98
    san = (9 - 0.9) / 12 + 0.9 * 4 / 12 * alone
    assert math.exp(log_chance(model, (START, "san"))) == pytest.approx(san)


def test_shares_weigh_the_sources():
    """A word of one source alone is as likely as the source's share makes it, however many notes it has."""
    sources = [Source(3, [["clean"]] * 5), Source(1, [["ulcer"]] * 500)]

    model = estimate(sources, vocabulary=(), order=1)

    assert math.exp(model.probability[("clean",)]) > math.exp(model.probability[("ulcer",)])


def entropy(model, whole):
    """Cross entropy of a model in the true chances of word triples, added up over all of them."""
    words = sorted({*WORDS, END})
    total = 0.0
    for one in [START, *sorted(WORDS)]:
        for two in [START] if one == START else sorted(WORDS):
            of_history = math.exp(log_chance(whole, (one,))) if one != START else 1.0
            if two != START:
                of_history *= math.exp(log_chance(whole, (one, two)))
            history = (one,) if two == START else (one, two)
            for word in words:
                true = math.exp(log_chance(whole, (*history, word)))
                total -= of_history * true * log_chance(model, (*history, word))
    return total


def test_pruning_takes_out_what_is_missed_least():
    """What pruning leaves is as close to the whole model as leaving out any other one would be."""
    whole = estimate([Source(1, NOTES)], vocabulary=WORDS, order=2)
    pairs = [gram for gram in whole.probability if len(gram) == 2]

    pruned = estimate([Source(1, NOTES)], vocabulary=WORDS, order=2, kept={2: len(pairs) - 1})

    (gone,) = set(pairs) - set(pruned.probability)
    losses = {pair: entropy(without(whole, pair), whole) for pair in pairs}
    assert losses[gone] == pytest.approx(min(losses.values()), rel=1e-4)


def without(model, gram):
    """Take one n-gram out of a model by the definition: its history's weight is set anew."""
    probability = {other: value for other, value in model.probability.items() if other != gram}
    history = gram[:-1]
    kept = [other for other in probability if len(other) == 2 and other[:-1] == history]
    left = 1 - sum(math.exp(probability[other]) for other in kept)
    lower = 1 - sum(math.exp(probability[other[1:]]) for other in kept)
    backoff = {**model.backoff, history: math.log(left / lower)}
    return LanguageModel(probability=probability, backoff=backoff)


def test_arpa_comes_back():
    """A model written as ARPA text is the same model when read."""
    model = estimate([Source(1, NOTES)], vocabulary=WORDS, order=3)

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
