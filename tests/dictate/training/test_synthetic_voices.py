"""What the voices say, and which voices may be trained on."""

import random
import shutil

import numpy as np
import pytest

from dictate.training import CorpusError
from dictate.training.corpus import read_corpus
from dictate.training.lexicon import build_lexicon, read_accents, sound_out
from dictate.training.synthesise import Planned, plan, read_plan, synthesise, write_plan
from dictate.training.texts import number_words, say, with_pauses
from dictate.training.voices import (
    DEV_VOICES,
    RESERVED_VOICES,
    is_reserved,
    kokoro_style,
    training_voices,
)
from grammar import sample_note, vocabulary

KINDS = {
    "note": lambda rng: sample_note(rng).words,
    "vocabulary": sorted(vocabulary()),
    "english": ["the cars came in", "all is well"],
}


def test_the_same_seed_says_the_same():
    once, again = ([say(random.Random(f"7/{i}"), **KINDS) for i in range(40)] for _ in range(2))
    assert once == again
    assert len({" ".join(words) for words in once}) > 30


def test_pauses_change_no_word():
    words = ["cow", "four", "twelve", "left", "hind"] * 5
    text = with_pauses(words, random.Random(1))
    assert "," in text
    assert text.replace(",", "").split() == words


def test_numbers_are_said_in_words_the_grammar_knows():
    rng = random.Random(3)
    said = {word for _ in range(500) for word in number_words(rng)}
    assert said - {"double", "triple"} <= vocabulary()


@pytest.mark.parametrize("voice", [*RESERVED_VOICES, *DEV_VOICES, "kokoro:/some/folder#jm_kumo"])
def test_reserved_voices_are_never_trained_on(voice, tmp_path):
    assert is_reserved(voice)
    with pytest.raises(CorpusError, match="reserved"):
        next(plan(voices=[voice], count=1, seed=0, **KINDS))
    with pytest.raises(CorpusError, match="reserved"):
        said = Planned(name="a", voice=voice, split="train", text="cow four")
        synthesise(tmp_path, [said])


def test_no_training_voice_is_reserved():
    kinds = ("flite", "espeak", "piper=joe.onnx", "kokoro=folder")
    assert not any(is_reserved(voice) for kind in kinds for voice in training_voices(kind))


def test_mixed_speakers_use_no_reserved_style():
    """Reserved styles would make themselves felt as not-a-number in any mixture."""
    names = ("af_heart", "bm_george", "jf_alpha", "jf_gongitsune")
    styles = {name: np.ones((4, 1, 8), np.float32) for name in names}
    for voice in (*RESERVED_VOICES, *DEV_VOICES):
        engine, _, name = voice.partition(":")
        if engine == "kokoro":
            styles[name] = np.full((4, 1, 8), np.nan, np.float32)
    assert not any(np.isnan(kokoro_style(styles, seed)).any() for seed in range(40))
    assert np.array_equal(kokoro_style(styles, 5), kokoro_style(styles, 5))
    assert not np.array_equal(kokoro_style(styles, 5), kokoro_style(styles, 6))


@pytest.mark.skipif(shutil.which("flite") is None, reason="flite is not installed")
def test_a_corpus_is_spoken_once_and_resumed(tmp_path):
    planned = list(plan(voices=["flite:slt"], count=3, seed=4, **KINDS))
    write_plan(tmp_path / "plan.jsonl", planned)
    assert read_plan(tmp_path / "plan.jsonl") == planned
    assert synthesise(tmp_path, planned[:2]) == 2
    assert synthesise(tmp_path, planned, processes=2) == 3
    spoken = list(read_corpus(tmp_path, longest=60))
    assert len(spoken) == 3
    assert all(one.seconds > 0.2 and one.text for one in spoken)


@pytest.mark.skipif(shutil.which("espeak-ng") is None, reason="espeak-ng is not installed")
def test_unknown_words_are_sounded_out():
    """Compared with the CMU dictionary's own entries for two plain words."""
    assert sound_out("cat") == "K AE T"
    assert sound_out("rubber") == "R AH B ER"
    lexicon = build_lexicon(["zorbat"], {}, {})
    assert lexicon["zorbat"][0].startswith("Z AO R")


def test_own_pronunciations_come_first():
    lexicon = build_lexicon(["cow"], {"cow": (("K", "UW"),)}, {"cow": (("K", "AW"),)})
    assert lexicon == {"cow": ["K UW", "K AW"]}


def test_numbers_come_in_long_runs_too():
    rng = random.Random(8)
    lengths = {len(number_words(rng)) for _ in range(600)}
    assert {1, 2, 3, 5, 7, 11} <= lengths


def test_accents_change_sounds_and_nothing_else():
    """A replacement must not turn a letter into one that a later replacement changes again."""
    for changes in read_accents().values():
        later = list(changes)
        for at, result in enumerate(changes.values()):
            assert not any(letter in result for letter in later[at + 1 :])
