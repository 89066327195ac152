"""Corpora are read as they stand and packed without loss."""

import json

import numpy as np
import pytest

from dictate.training import CorpusError
from dictate.training.corpus import read_audio, read_corpus
from dictate.training.pack import pack


def test_a_corpus_without_its_table_says_so(tmp_path):
    with pytest.raises(CorpusError, match=r"no transcripts\.tsv"):
        list(read_corpus(tmp_path))


def test_other_columns_are_refused(tmp_path):
    (tmp_path / "transcripts.tsv").write_text("file\twords\n")
    with pytest.raises(CorpusError, match="columns"):
        list(read_corpus(tmp_path))


def test_long_recordings_are_left_out(corpus):
    everything = list(read_corpus(corpus))
    short = list(read_corpus(corpus, longest=0.5))
    assert 0 < len(short) < len(everything)
    assert all(one.seconds <= 0.5 for one in short)


def test_a_pack_holds_every_sample(corpus, packed, rows):
    audio = np.load(packed / "audio.npy")
    for row in rows[:4]:
        alone = read_audio(corpus / f"{row['name']}.ogg")
        assert np.array_equal(audio[row["start"] : row["start"] + row["length"]], alone)


def test_words_without_a_sound_are_left_out(corpus, lexicon, tmp_path):
    rows = pack([corpus], {"low": lexicon["low"]}, tmp_path)
    assert {row["text"] for row in rows} == {"low", ""}


def test_speakers_can_be_held_out(corpus, lexicon, tmp_path):
    pack([corpus], lexicon, tmp_path, held_out=["toy/bob"])
    rows = json.loads((tmp_path / "utterances.json").read_text())
    assert {row["split"] for row in rows if row["speaker"] == "bob"} == {"dev"}


def test_a_file_that_cannot_be_decoded_is_skipped(corpus, lexicon, tmp_path, caplog):
    folder = tmp_path / "toy"
    folder.mkdir()
    for path in corpus.iterdir():
        (folder / path.name).write_bytes(path.read_bytes())
    (folder / "ann0.ogg").write_bytes(b"OggS nothing")
    rows = pack([folder], lexicon, tmp_path / "pack")
    assert "ann0" not in {row["name"] for row in rows}
    assert "cannot decode" in caplog.text
