"""Engines write numbers in their own way: what is meant counts."""

import random
import re
import shutil
import subprocess

import pytest
from rapidfuzz.distance import Levenshtein

from dictate.measuring.meant import fewest_errors
from grammar.say.say_numbers import say_identifier, say_quantity


@pytest.mark.parametrize(
    ("said", "heard"),
    [
        ("eight eight eight five", "8885"),
        ("eight eight eight five", "888 5."),
        ("four twelve", "412"),
        ("four one two", "412"),
        ("four hundred and twelve", "412"),
        ("four hundred twelve", "412"),
        ("double four seven", "447"),
        ("triple six", "666"),
        ("treble six one", "6661"),
        ("one oh six", "106"),
        ("one zero six", "106"),
        ("two oh one four six four six oh eight three", "(201) 464-6083"),
        ("m two", "M2"),
        ("m four point one", "M4.1"),
        ("may twenty first nineteen sixty", "May 21st, 1960"),
        ("the twelfth", "the 12th"),
        ("the thirtieth", "the 30th"),
        ("p i t t s b u r g h", "PITTSBURGH"),
        ("p i t t s b u r g h", "P-I-T-T-S-B-U-R-G-H."),
        ("left hind outer", "Left hind, outer!"),
        ("one thousand two hundred", "1,200"),
    ],
)
def test_other_writing_of_the_same_is_no_error(said, heard):
    assert fewest_errors(said.split(), heard.split()) == 0


@pytest.mark.parametrize(
    ("said", "heard", "errors"),
    [
        ("eight eight eight five", "885", 1),
        ("four twelve", "413", 1),
        ("four three one", "41", 1),
        ("four three one", "forty one", 2),
        ("cow four twelve", "412", 1),
        ("left", "letft", 1),
        ("", "412", 2),
        ("four", "", 1),
        ("go", "g o", 2),
    ],
)
def test_other_meaning_is_an_error(said, heard, errors):
    assert fewest_errors(said.split(), heard.split()) == errors


def test_words_alone_are_counted_as_the_reference_library_does():
    """Levenshtein's distance over words, as rapidfuzz computes it."""
    rng = random.Random(2)
    words = ["cow", "left", "hind", "sole", "ulcer", "four"]
    for _ in range(300):
        said, heard = (rng.choices(words, k=rng.randint(0, 8)) for _ in range(2))
        assert fewest_errors(said, heard) == Levenshtein.distance(said, heard)


def test_every_way_of_saying_a_number_is_the_figure():
    rng = random.Random(4)
    for _ in range(500):
        number = "".join(rng.choice("00123456789") for _ in range(rng.randint(1, 11)))
        assert fewest_errors(say_identifier(number, rng), [number]) == 0


@pytest.mark.skipif(shutil.which("espeak-ng") is None, reason="espeak-ng is not installed")
@pytest.mark.parametrize("figure", ["19", "30", "47", "900"])
def test_quantities_agree_with_espeak_ng(figure):
    """espeak-ng (British English) reads a figure as a quantity: it sounds as our words for it."""

    def sounds(text):
        command = ["espeak-ng", "-q", "--ipa", "-v", "en-gb", text]
        said = subprocess.run(command, capture_output=True, text=True, check=True).stdout
        return re.sub(r"[\sˈˌː]", "", said)

    assert sounds(" ".join(say_quantity(int(figure)))) == sounds(figure)
