"""What is learnt from: words, sounds, what is left out, what is kept aside, and how two are compared."""

import os
from pathlib import Path

import numpy as np
import pytest
import soundfile

from dictate.errors import SoundError, VoiceError
from dictate.sound import RATE
from dictate.sound.chute_noise import chute_noise
from dictate.voice import judging
from dictate.voice.held_out import Held, held_apart
from dictate.voice.judging import Wrong, compare, simplest, wrong_of, wrong_words
from dictate.voice.recordings import of_folder
from dictate.voice.sounds import plain_words, sounds_of
from tests.dictate.voice.conftest import recording, speech

DIGITS = "zero one two three four five six seven eight nine".split()


def _folder(path: Path, rows: list[tuple[str, str]], heading: str = "utterance\ttext") -> Path:
    path.mkdir(exist_ok=True)
    lines = [heading]
    for name, rest in rows:
        soundfile.write(path / f"{name}.wav", speech(), RATE, subtype="PCM_16")
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


def test_recordings_without_a_voice_are_left_out_and_named(tmp_path: Path) -> None:
    """Hiss some 60 dB below full scale, and machines: loud enough to be sound, and nobody speaks."""
    folder = _folder(tmp_path, [("a", "four two"), ("b", "four"), ("c", "two")])
    rng = np.random.default_rng(0)
    hiss = rng.normal(0, 30, 2 * RATE).round().astype(np.int16)
    soundfile.write(folder / "b.wav", hiss, RATE, subtype="PCM_16")
    machines = (chute_noise(2.0, rng) * 2000).astype(np.int16)
    soundfile.write(folder / "c.wav", machines, RATE, subtype="PCM_16")

    material = of_folder(folder)

    assert ["a.wav"] == [one.name for one in material.own]
    why = "nobody is heard speaking on it"
    assert [("b.wav", why), ("c.wav", why)] == [(one.name, one.why) for one in material.left_out]


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

    (held,) = held_apart(own)

    share = sum(own[at].seconds for at in held) / sum(one.seconds for one in own)
    assert 0.15 < share < 0.25
    learnt = {word for at, one in enumerate(own) if at not in held for word in one.words}
    assert learnt == {word for one in own for word in one.words}


def test_recordings_of_one_prompt_are_kept_aside_together() -> None:
    """What was read twice is not judged by what was learnt from."""
    own = [recording(f"{a} {b}", seed=n) for a in DIGITS for b in DIGITS[:3] for n in range(2)]

    held = set(held_apart(own)[0])

    prompts = {own[at].prompt for at in held}
    assert held == {at for at, one in enumerate(own) if one.prompt in prompts}


def test_parts_are_all_of_it_and_each_leaves_its_words_in_the_rest() -> None:
    """No recording is in two parts, and each part's words are learnt from the other parts."""
    own = [recording(f"{a} {b}") for a in DIGITS for b in DIGITS[:4] if a != b]

    parts = held_apart(own, parts=3)

    whole = [at for part in parts for at in part]
    assert len(whole) == len(set(whole)) >= 0.9 * len(own)
    for part in parts:
        rest = {word for at, one in enumerate(own) if at not in part for word in one.words}
        assert {word for at in part for word in own[at].words} <= rest


@pytest.mark.parametrize(
    ("said", "heard", "wrong"),
    [
        ("off side left", "offside left", 0),
        ("four", "fore", 0),
        ("inner digital dermatitis", "interdigital dermatitis", 1),
        ("cow five eight eight zero", "cow five eighty zero", 1),
        ("one two", "one eight two", 1),
        ("one two", "", 2),
        ("", "eight", 1),
    ],
)
def test_words_are_wrong_when_they_sound_otherwise(said: str, heard: str, wrong: int) -> None:
    """How the language model writes them is no matter of the voice."""
    assert wrong == wrong_words(said.split(), heard.split())


def test_what_nearly_went_wrong_counts_a_little() -> None:
    """All that a sound may have been counts by its chance."""
    sure = wrong_of(["one", "two"], [[(("one", "two"), 0.9), (("one",), 0.1)]])
    shaky = wrong_of(["one", "two"], [[(("one", "two"), 0.6), (("one", "three"), 0.4)]])

    assert (0, 0) == (sure.heard, shaky.heard)
    assert sure.likely == pytest.approx(0.1) and shaky.likely == pytest.approx(0.4)
    assert Wrong(2, 2.0) == wrong_of(["one", "two"], [])


def test_better_means_better_by_more_than_chance() -> None:
    """One word more of forty may be luck; half of them is not."""
    said = [("four", DIGITS[at % 8], DIGITS[at // 8]) for at in range(20)]
    right, wrong = Wrong(0, 0.0), Wrong(1, 1.0)

    lucky = compare(said, [wrong] + [right] * 19, [right] * 20)
    plain = compare(said, [wrong] * 20, [right] * 20)

    assert not lucky.better and plain.better
    assert (60, 20, 0) == (plain.words, plain.errors_before, plain.errors_after)


def test_the_same_words_again_are_no_second_witness() -> None:
    """One prompt that was read four times, or heard under machines, gains once."""
    right, wrong = Wrong(0, 0.0), Wrong(1, 1.0)

    assert not compare([("four", "two")] * 8, [wrong] * 8, [right] * 8).better


def test_surer_is_not_better_while_more_words_are_wrong() -> None:
    """What is likely must not outweigh what is heard."""
    said = [("four", DIGITS[at % 8], DIGITS[at // 8]) for at in range(20)]
    before = [Wrong(0, 0.5)] * 20
    after = [Wrong(1, 1.0)] + [Wrong(0, 0.0)] * 19

    assert not compare(said, before, after).better
    assert compare(said, before, [Wrong(0, 0.0)] * 20).better


def test_two_models_that_are_alike_are_seldom_called_different() -> None:
    """Of five hundred comparisons in which only luck differs, about one in twenty is taken for a gain."""
    said = [("four", DIGITS[at % 8], DIGITS[at // 8]) for at in range(20)]
    rng = np.random.default_rng(0)

    taken = 0
    for _ in range(500):
        old, new = rng.binomial(3, 0.15, size=(2, 20))
        taken += compare(said, [Wrong(n, n) for n in old], [Wrong(n, n) for n in new]).better

    assert taken / 500 < 0.07


def test_a_loss_in_quiet_is_not_made_up_for_under_machines() -> None:
    """Who was heard well stays so: a word lost as recorded makes a model worse."""
    said = [("four", DIGITS[at % 8], DIGITS[at // 8]) for at in range(20) for _ in "12"]
    machines = [False, True] * 20
    before = [Wrong(int(under), float(under)) for under in machines]
    after = [Wrong(1, 1.0)] + [Wrong(0, 0.0)] * 39

    assert compare(said, before, after).better
    found = compare(said, before, after, machines)
    assert found.worse and not found.better


def test_a_gain_within_its_error_does_not_change_the_way() -> None:
    """One prompt of twenty that gains is not enough to leave the simplest way."""
    said = [("four", DIGITS[at % 8], DIGITS[at // 8]) for at in range(20)]
    plain = [Wrong(1, 1.0)] * 20
    one_less = [Wrong(0, 0.0), *plain[1:]]
    half_less = [Wrong(0, 0.0)] * 10 + plain[:10]

    assert 0 == simplest(said, [plain, one_less])
    assert 1 == simplest(said, [plain, half_less])
    assert 0 == simplest([], [[], []])


def test_a_sound_that_takes_the_recogniser_down_is_not_heard(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The others are."""
    held = [Held(tmp_path / f"{at}.wav", ("four", "two"), machines=True) for at in range(5)]
    monkeypatch.setattr(judging, "_hear", _down_on_the_third)

    found = judging.hear_held(tmp_path, held)

    assert [0, 0, 0, 2, 0] == [one.heard for one in found]


def _down_on_the_third(_model: Path, held: list[Held]) -> list[Wrong]:
    if any(one.path.stem == "3" for one in held):
        os.abort()
    return [Wrong(0, 0.0) for _ in held]


def test_nothing_is_better_than_itself() -> None:
    """No difference is no gain."""
    said = [("four",)] * 5
    heard = [Wrong(1, 1.0)] * 5

    assert not compare(said, heard, heard).better
    assert not compare([], [], []).better
