"""What is learnt from: words, sounds, what is left out, what is kept aside, and how two are compared."""

from pathlib import Path

import pytest
import soundfile

from dictate.errors import SoundError, VoiceError
from dictate.sound import RATE
from dictate.voice.held_out import compare, held_fifth
from dictate.voice.recordings import of_folder
from dictate.voice.sounds import plain_words, sounds_of
from tests.dictate.voice.conftest import recording, tones

DIGITS = "zero one two three four five six seven eight nine".split()


def _folder(path: Path, rows: list[tuple[str, str]], heading: str = "utterance\ttext") -> Path:
    path.mkdir(exist_ok=True)
    lines = [heading]
    for name, rest in rows:
        text = rest.split("\t")[0]
        soundfile.write(path / f"{name}.wav", tones(text or "four"), RATE, subtype="PCM_16")
        lines.append(f"{name}\t{rest}")
    (path / "transcripts.tsv").write_text("\n".join(lines) + "\n", "utf-8")
    return path


def test_words_are_read_as_people_write_them() -> None:
    """Capitals, punctuation, hyphens and single digits are no other words."""
    assert ("left", "hind", "twenty", "one", "four") == plain_words(
        ["Left", "hind,", "twenty-one", "4."]
    )


def test_every_pronunciation_of_a_word_may_be_said() -> None:
    """`zero` is said in two ways; a word of no dictionary is named."""
    sounded, unknown = sounds_of(["zero", "xyzzyq"])

    assert len(sounded[0]) >= 2
    assert ("xyzzyq",) == unknown


def test_what_cannot_be_learnt_from_is_left_out_with_its_reason(tmp_path: Path) -> None:
    """An unknown word leaves its recording out; a line without words is the machines."""
    folder = _folder(tmp_path, [("a", "four two"), ("b", "xyzzyq four"), ("c", "")])

    material = of_folder(folder)

    assert ["a.wav"] == [one.name for one in material.own]
    assert ["b.wav"] == [one.name for one in material.left_out]
    assert "xyzzyq" in material.left_out[0].why
    assert 1 == len(material.noise)


def test_a_voice_is_one_persons(tmp_path: Path) -> None:
    """Two speakers are an error until one is named."""
    folder = _folder(tmp_path, [("a", "four\tann"), ("b", "two\tbob")], "utterance\ttext\tspeaker")

    with pytest.raises(VoiceError, match="--speaker"):
        of_folder(folder)

    assert ["a.wav"] == [one.name for one in of_folder(folder, speaker="ann").own]


def test_a_missing_table_and_missing_sound_are_errors(tmp_path: Path) -> None:
    """Bad data is an error at once."""
    with pytest.raises(SoundError):
        of_folder(tmp_path)
    folder = _folder(tmp_path / "f", [("a", "four")])
    (folder / "a.wav").unlink()
    with pytest.raises(SoundError):
        of_folder(folder)


def test_a_fifth_is_kept_aside_and_every_word_stays_to_learn_from() -> None:
    """Whole prompts are held out, never the only one with a word."""
    own = [recording(f"{a} {b}") for a in DIGITS for b in DIGITS[:4] if a != b]
    own.append(recording("pus"))

    held = held_fifth(own)

    share = sum(own[at].seconds for at in held) / sum(one.seconds for one in own)
    assert 0.15 < share < 0.25
    learnt = {word for at, one in enumerate(own) if at not in held for word in one.words}
    assert learnt == {word for one in own for word in one.words}


def test_recordings_of_one_prompt_are_kept_aside_together() -> None:
    """What was read twice is not judged by what was learnt from."""
    own = [recording(f"{a} {b}", seed=n) for a in DIGITS for b in DIGITS[:3] for n in range(2)]

    held = set(held_fifth(own))

    prompts = {own[at].prompt for at in held}
    assert held == {at for at, one in enumerate(own) if one.prompt in prompts}


def test_better_means_better_by_more_than_chance() -> None:
    """One word more of forty may be luck; half of them is not."""
    said = [("four", "two")] * 20
    right, wrong = ("four", "two"), ("four",)

    lucky = compare(said, [wrong] + [right] * 19, [right] * 20)
    plain = compare(said, [wrong] * 20, [right] * 20)

    assert not lucky.better and plain.better
    assert (40, 20, 0) == (plain.words, plain.errors_before, plain.errors_after)
    assert 50.0 == plain.before


def test_nothing_is_better_than_itself() -> None:
    """No difference is no gain."""
    said = [("four",)] * 5
    heard = [("five",)] * 5

    assert not compare(said, heard, heard).better
    assert not compare([], [], []).better
