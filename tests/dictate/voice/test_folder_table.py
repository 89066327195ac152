"""A person's own table of transcripts, as spreadsheets and editors write it."""

from pathlib import Path

import pytest
import soundfile

from dictate.errors import SoundError
from dictate.sound import RATE
from dictate.voice.folder_table import read_folder_table
from dictate.voice.recordings import of_folder
from tests.dictate.voice.conftest import speech

ROWS = {"a": "four two", "b": "left hind", "c": "nine"}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name in ROWS:
        soundfile.write(tmp_path / f"{name}.wav", speech(), RATE, subtype="PCM_16")
    return tmp_path


@pytest.mark.parametrize(
    "table",
    [
        "utterance\ttext\na\tfour two\nb\tleft hind\nc\tnine\n",
        "a\tfour two\nb\tleft hind\nc\tnine\n",
        "a.wav\tfour two\r\nB.WAV\tleft hind\r\nc.wav\tnine",
        "File\tTranscript\na.wav\tfour two\nb.wav\tleft hind\nc.wav\tnine\n",
        "text\tutterance\nfour two\ta\nleft hind\tb\nnine\tc\n",
        'file,text\na.wav,four two\nb.wav,"left hind"\nc.wav,nine\n',
        "a;four two\nb;left hind\n\nc;nine\n",
        "a four two\nb left hind\nc nine\n",
    ],
)
def test_any_usual_table_is_read(folder: Path, table: str) -> None:
    """With or without a heading, endings, quotes; cut by tabs, commas, semicolons or a space."""
    (folder / "transcripts.tsv").write_text(table, "utf-8")

    read = read_folder_table(folder)

    assert {row.path.stem: " ".join(row.words) for row in read.rows} == ROWS
    assert not read.missing


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_any_usual_encoding_is_read(folder: Path, encoding: str) -> None:
    """Spreadsheets write byte order marks, UTF-16 or the old Windows code page."""
    (folder / "transcripts.tsv").write_bytes("a\tcow’s foot\n".encode(encoding))

    assert ("cow’s", "foot") == read_folder_table(folder).rows[0].words


def test_a_file_that_is_not_there_is_named_and_the_rest_taken(folder: Path) -> None:
    """One slip of the pen does not throw an evening away."""
    (folder / "transcripts.tsv").write_text("a\tfour two\ngone\tnine\n", "utf-8")

    material = of_folder(folder)

    assert ["a.wav"] == [one.name for one in material.own]
    assert [("gone", "there is no such file")] == [(o.name, o.why) for o in material.left_out]


def test_one_bad_file_is_named_and_the_rest_taken(folder: Path) -> None:
    """A file that holds no sound is left out."""
    (folder / "b.wav").write_bytes(b"this is no sound")
    (folder / "transcripts.tsv").write_text("a\tfour two\nb\tleft hind\n", "utf-8")

    material = of_folder(folder)

    assert ["a.wav"] == [one.name for one in material.own]
    assert ["b.wav"] == [one.name for one in material.left_out]


@pytest.mark.parametrize("table", ["", "utterance\tlevel\na\t3\n", "utterance\n", "gone\tnine\n"])
def test_a_table_that_says_nothing_is_an_error(folder: Path, table: str) -> None:
    """No lines, no words, or none of the files."""
    (folder / "transcripts.tsv").write_text(table, "utf-8")

    with pytest.raises(SoundError):
        read_folder_table(folder)


def test_other_kinds_of_sound_and_slow_rates_are_taken(folder: Path) -> None:
    """FLAC, Ogg and 8 kHz, each with its own ending."""
    soundfile.write(folder / "d.flac", speech()[::2], RATE // 2)
    soundfile.write(folder / "e.ogg", speech()[::2] / 32768, RATE // 2)
    (folder / "transcripts.tsv").write_text("d\tfour\ne\tfive\n", "utf-8")

    own = of_folder(folder).own

    assert ["d.flac", "e.ogg"] == [one.name for one in own]
    seconds = len(speech()) / RATE
    assert all(abs(one.seconds - seconds) < 0.1 for one in own)
