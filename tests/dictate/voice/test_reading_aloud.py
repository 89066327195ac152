"""Prompts hold what is worth reading, and readings are judged, kept and taken up again."""

from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from dictate.cli.voice import app
from dictate.measuring.tables import read_table
from dictate.settings import load_settings
from dictate.sound import RATE, read_sound
from dictate.sound.microphone import Chunk
from dictate.voice.own_speech import readings_folder
from dictate.voice.prompts import choose_prompts
from dictate.voice.reading import Readings, record_until
from dictate.voice.sounds import sounds_of

DEMO = sorted((Path(__file__).parents[3] / "demo_audio").glob("*.opus"))
NUMBERS = "zero oh one two three four five six seven eight nine ten eleven twelve thirteen fifteen fifty".split()  # fmt: skip


def test_thirty_prompts_hold_all_number_words_and_every_phone() -> None:
    """All are short, and every word of them can be learnt from."""
    prompts = choose_prompts(30)

    words = [word for prompt in prompts for word in prompt.split()]
    assert 30 == len(set(prompts))
    assert not set(NUMBERS) - set(words)
    sounded, unknown = sounds_of(words)
    assert not unknown
    phones = {phone for ways in sounded for way in ways for phone in way}
    assert len(phones) >= 37, "of 39; ZH and OY are rare in the trade's words"


def test_own_words_and_numbers_come_into_the_prompts() -> None:
    """What a person says often is read, also where the sampler seldom says it."""
    prompts = choose_prompts(
        20, used={"rusterholz": 9}, numbers=[("eight", "four", "double", "six")]
    )

    assert any("eight four double six" in prompt for prompt in prompts)


def test_readings_are_kept_with_their_words_and_not_asked_for_again(tmp_path: Path) -> None:
    """Each line of the table has its sound."""
    readings = Readings(tmp_path / "readings")
    taken = readings.judge("cow four", read_sound(DEMO[0]).samples)
    assert taken.usable

    path = readings.keep(taken)

    assert ["two five"] == list(readings.left(["cow four", "two five"]))
    rows = read_table(tmp_path / "readings")
    assert [(path, ("cow", "four"))] == [(row.path, row.words) for row in rows]


@pytest.mark.parametrize(
    ("samples", "why"),
    [
        (np.zeros(2 * RATE, np.int16), "Nothing at all"),
        (np.random.default_rng(0).normal(0, 40, 2 * RATE).astype(np.int16), "too short"),
    ],
    ids=["silence", "hiss"],
)
def test_what_cannot_be_learnt_from_is_read_again(
    samples: np.ndarray, why: str, tmp_path: Path
) -> None:
    """With advice that says what to change."""
    taken = Readings(tmp_path).judge("cow four one two", samples)

    assert not taken.usable
    assert any(why in line for line in taken.advice) or "too short" in " ".join(taken.advice)


def test_recording_ends_when_told() -> None:
    """All chunks until then are kept."""

    class Two:
        def chunks(self):
            yield Chunk(samples=np.ones(10, np.int16))
            yield Chunk(samples=np.ones(5, np.int16))

    assert 15 == len(record_until(Two(), lambda: None))


def test_the_command_skips_keeps_stops_and_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """S skips, a file stands for what is read, Q stops; the next call asks for what is left."""
    monkeypatch.setenv("DICTATE_HOME", str(tmp_path))
    arguments = ["read", "--count", "4", "--play", str(DEMO[0]), "--play", str(DEMO[1])]

    first = CliRunner().invoke(app, arguments, input="s\n\nq\n")

    assert 0 == first.exit_code, first.output
    kept = Readings(readings_folder(load_settings()))
    assert 1 == len(kept.read)
    again = CliRunner().invoke(app, arguments, input="q\n")
    assert "(1 of 3)" in again.output
    assert kept.read[0] not in again.output


def test_r_reads_the_last_line_again_and_keeps_the_new_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is asked for by its words, replaces the reading before, and the line that waited comes back."""
    monkeypatch.setenv("DICTATE_HOME", str(tmp_path))
    play = [part for demo in DEMO[:3] for part in ("--play", str(demo))]

    done = CliRunner().invoke(app, ["read", "--count", "4", *play], input="r\n\nr\n\n\nq\n")

    assert 0 == done.exit_code, done.output
    assert "Nothing is read yet" in done.output
    readings = Readings(readings_folder(load_settings()))
    first, second = readings.read
    assert f"(again)  {first}" in done.output
    assert 2 == done.output.count(f"(2 of 4)  {second}"), "before and after reading again"
    sounds = [row.path for row in read_table(readings_folder(load_settings()))]
    assert [len(read_sound(path).samples) for path in sounds] == [
        len(read_sound(demo).samples) for demo in DEMO[1:3]
    ]


def test_other_keys_say_what_there_is_and_a_skipped_repeat_keeps_the_reading(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A slip of the finger neither records nor loses anything."""
    monkeypatch.setenv("DICTATE_HOME", str(tmp_path))

    done = CliRunner().invoke(
        app, ["read", "--count", "4", "--play", str(DEMO[0])], input="x\n\nr\ns\nq\n"
    )

    assert 0 == done.exit_code, done.output
    assert 2 == done.output.count("R reads the last one again")
    assert 1 == len(Readings(readings_folder(load_settings())).read)
