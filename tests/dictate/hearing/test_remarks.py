"""A remark is sound first, and the words before it are heard and judged by themselves."""

import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

from dictate.hearing import Fit, Heard, open_engine
from dictate.hearing.hear_files import hear_file
from dictate.hearing.remarks import RemarksApart, place_of_remark, remark_in
from dictate.hearing.talk import judge
from dictate.sound import RATE, Sound
from grammar import Word

SAID = "cow four twelve left hind clean remark ask him about the [unk] [unk]"


def timed(text):
    return tuple(
        Word(text=word, start=at / 2, end=at / 2 + 0.4, confidence=0.9)
        for at, word in enumerate(text.split())
    )


class ByLength:
    """An engine that hears a word in every half second, surer of a short sound than of a long one."""

    def __init__(self, said):
        self.words = timed(said)
        self.asked = []

    def hear(self, sound):
        self.asked.append(sound.seconds)
        words = tuple(word for word in self.words if word.end <= sound.seconds)
        fit = Fit(start=0, end=sound.seconds, fit=-sound.seconds, agreement=5)
        return Heard(
            words=words, alternatives=(words[1:],), fits=(fit,), engine="fake", model="none",
            seconds_audio=sound.seconds, seconds_taken=0.1,
        )  # fmt: skip


def silence(seconds):
    return Sound.of(np.zeros(round(seconds * RATE), np.int16))


def test_what_is_before_the_remark_is_heard_by_itself():
    """How well the note fits is not told by the remark; its words and the remark's all stay."""
    engine = ByLength(SAID)

    heard = RemarksApart(engine).hear(silence(6.5))

    assert SAID == heard.text
    assert engine.asked == [6.5, pytest.approx(3.5)]
    assert -3.6 < heard.fits[0].fit < -3.4
    assert " ".join(word.text for word in heard.alternatives[0]) == SAID.removeprefix("cow ")
    assert heard.seconds_taken == pytest.approx(0.2)


def test_a_note_without_remark_is_heard_once():
    """Nobody pays for remarks that were not made."""
    engine = ByLength("cow four twelve left hind clean")

    RemarksApart(engine).hear(silence(3.0))

    assert [3.0] == engine.asked


def test_the_remark_lies_from_its_first_word_to_the_end_of_the_sound():
    """Words that are none of the trade are in its sound and not in its text."""
    spoken = remark_in(timed(SAID), 6.3)

    assert (spoken.start, spoken.end, spoken.heard) == (3.4, 6.3, "ask him about the")
    assert remark_in(timed("cow four twelve"), 2.0) is None
    assert remark_in(tuple(Word(text=word) for word in SAID.split()), 6.3) is None


def test_a_remark_makes_no_talk_of_a_note():
    """However little of it was understood."""
    words = timed("cow seven nineteen remark [unk] [unk] [unk] [unk] [unk] [unk] [unk] [unk]")

    judged = judge([words], [Fit(start=0, end=6, fit=-12, agreement=5)])

    assert judged.talk == ()
    assert judged.hearings == (words,)
    assert place_of_remark(judged.hearings[0]) == 3


def test_a_remark_alone_is_no_talk():
    """There is nothing before it to judge."""
    judged = judge([timed("remark [unk] [unk] [unk]")])

    assert not judged.aside
    assert judged.talk == ()


@pytest.mark.parametrize("voice", ["slt", "rms", "kal16"])
@pytest.mark.skipif(shutil.which("flite") is None, reason="flite is not installed")
def test_the_animal_and_the_remark_of_a_spoken_note_are_kept(voice, tmp_path: Path):
    """In each voice the words before are read, the place of the remark is told, and it is marked."""
    path = tmp_path / "note.wav"
    text = "cow seven nineteen remark, she went for the dog, two men next time"
    subprocess.run(["flite", "-voice", voice, "-t", text, "-o", path], check=True)

    answer = hear_file(open_engine(terms=()), path)

    (entry,) = answer["entries"]
    assert "719" == entry["animal"]
    assert "remark-spoken" in entry["marks"]
    assert entry["remark"]
    place = entry["spoken_remark"]
    cue = next(word for word in answer["words"] if word["word"] == "remark")
    assert place["start"] == pytest.approx(cue["end"], abs=0.01)
    assert place["end"] == pytest.approx(answer["seconds_audio"], abs=0.01)
