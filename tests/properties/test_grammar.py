"""What holds for any words: nothing raises, numbers come back, repair leaves numbers alone."""

import random
from datetime import date
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from grammar import Carry, Roster, as_json, as_text, load_lexicon, parse, sample_note, vocabulary
from grammar.hear.identifiers import identifier_readings, spoken_digits
from grammar.hear.quantities import quantity
from grammar.say.sample import essence
from grammar.say.say_numbers import say_identifier, say_quantity
from tests.bench.confusions_learnt import Confusion, learn_confusions, usable

LEXICON = load_lexicon()
NUMBERS = LEXICON.numbers
WORDS = st.sampled_from(sorted(vocabulary()))
CUES = st.sampled_from(
    "no not correction sorry left right the on same except scratch that wrong cow make four".split()
)
STRANGE = st.one_of(WORDS, st.text(max_size=8), st.sampled_from(["[unk]", "412", "²", "", " "]))
SEEDS = st.integers(min_value=0, max_value=2**32)


@given(
    st.lists(STRANGE, max_size=40),
    st.one_of(st.none(), st.dates()),
    st.one_of(st.none(), st.just(Roster(numbers=("412", "042", "15", "50", "A7")))),
    st.one_of(st.none(), st.just(Carry(animal="9", seen=("9",)))),
)
def test_no_words_raise(words, on, roster, carry):
    """Any list of words is read, shown and turned into plain data."""
    reading = parse(words, on=on, roster=roster, carry=carry)

    as_json(reading)
    as_text(reading)
    assert len(words) == len(reading.words)
    assert all(0 <= i < len(words) for i in reading.leftover)


@given(st.lists(WORDS, max_size=60))
@settings(max_examples=200)
def test_notes_of_known_words_never_raise(words):
    """Vocabulary in any order, as a recogniser with a closed grammar may write it."""
    as_json(parse(words, on=date(2026, 3, 2)))


@given(st.lists(st.one_of(WORDS, CUES), max_size=14))
@settings(max_examples=300)
def test_corrections_of_anything_never_raise(words):
    """Corrections, denials, sides and commands among any words."""
    as_json(parse(words))


@given(st.integers(min_value=0, max_value=999_999))
def test_a_quantity_said_is_read(number):
    """Whole numbers said in full come back exactly."""
    assert Fraction(number) == quantity(say_quantity(number), NUMBERS)


@given(st.text(alphabet="0123456789", min_size=1, max_size=15), SEEDS)
def test_an_identifier_said_is_read(number, seed):
    """Strings of digits come back in every way of saying them, leading zeros and all."""
    said = say_identifier(number, random.Random(seed))

    assert number in identifier_readings(said, NUMBERS)


@given(st.text(alphabet="0123456789", min_size=1, max_size=15))
def test_digits_said_singly_have_one_reading(number):
    """Digit by digit nothing is open: an electronic id is what was said."""
    assert (number,) == identifier_readings(spoken_digits(number), NUMBERS)


@given(SEEDS)
def test_samples_come_back(seed):
    """What the sampler says is what the parser reads."""
    said = sample_note(random.Random(seed))

    got = [essence(entry) for entry in as_json(parse(said.words))["entries"]]
    assert list(said.entries) == got, " ".join(said.words)


@given(SEEDS)
def test_repair_changes_nothing_that_is_understood(seed):
    """Notes of lexicon phrases read the same with and without repair."""
    words = sample_note(random.Random(seed)).words

    assert as_json(parse(words)) == as_json(parse(words, repair=False))


@given(st.lists(STRANGE, max_size=20), SEEDS)
def test_repair_never_touches_numbers(words, seed):
    """No repaired slot was heard in a number word, and the animal is the same without repair."""
    words = ["cow", *spoken_digits(str(seed)), *words]
    reading = parse(words)
    for entry in reading.entries:
        for finding in entry.findings:
            if finding.lesion.how == "repaired":
                assert LEXICON.number_words.isdisjoint(finding.lesion.heard.split())
    without = parse(words, repair=False)
    # None at all when a strange word makes the number another one: "cow zero quarter".
    assert _first_animal(without) == _first_animal(reading)


def _first_animal(reading):
    return [entry.animal.value for entry in reading.entries[:1] if entry.animal]


@given(SEEDS)
def test_repair_is_idempotent(seed):
    """Reading the repaired phrase instead of the heard words gives the same values."""
    rng = random.Random(seed)
    confusions = list(LEXICON.files["confusions"].confusion)
    words = " ".join(sample_note(rng).words)
    pick = rng.choice(confusions)
    heard = f" {words} ".replace(f" {pick.meant} ", f" {pick.heard} ").split()
    first = parse(heard)
    mended = list(heard)
    for entry in first.entries:
        for finding in entry.findings:
            slot = finding.lesion
            if slot.how == "repaired":
                term = LEXICON.terms.get(slot.heard)
                if term is not None and len(term.meant.split()) == slot.last - slot.first:
                    mended[slot.first : slot.last] = term.meant.split()
    once = [e["findings"] for e in as_json(first)["entries"]]
    twice = [e["findings"] for e in as_json(parse(mended))["entries"]]

    def strip(entries):
        return [[{k: v for k, v in f.items() if k != "heard"} for f in e] for e in entries]

    assert strip(once) == strip(twice)


def test_confusions_are_learnt_from_pairs():
    """Substitutions are counted; insertions, losses and numbers are no confusions."""
    pairs = [
        ("left hind sole ulcer".split(), "left hind soul ulcer".split()),
        ("left hind sole ulcer".split(), "left hind soul".split()),
        ("cow four".split(), "cow for".split()),
    ]
    found = learn_confusions(pairs)

    assert Confusion(said="sole", heard="soul", count=2) in found
    assert not usable(Confusion(said="four", heard="for", count=1))
    assert not usable(Confusion(said="sole ulcer", heard="toe ulcer", count=9))
    assert usable(Confusion(said="sole", heard="soul", count=1))
