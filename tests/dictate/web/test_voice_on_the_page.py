"""The page says how a person is heard, has lines read, learns, and goes back to no voice."""

import datetime as dt
import io
import itertools
import re
import subprocess
import sys
import time

import numpy as np
import soundfile

from dictate.decoder.model_files import bundled_model, open_folder
from dictate.demo.script import demo_folder
from dictate.sound import RATE, read_sound
from dictate.voice import evening, getting
from dictate.voice.how_far import Written
from dictate.voice.kept import keep_voice, model_in_use, voices_folder
from dictate.voice.model_folder import VoiceCard, write_model
from dictate.voice.own_speech import readings_folder
from dictate.voice.reading import Readings, Taken
from tests.dictate.voice.conftest import small_model, speech, tones  # noqa: F401 (a fixture)
from tests.dictate.voice.making_wheels import lonely_pip, wheel_folder

_COUNTED = [" ".join(words) for words in itertools.product(("one", "two", "three"), repeat=3)] + [
    "four",
    "five",
    "six",
]


def test_a_voice_is_shown_and_can_be_left(browser, desk, tmp_path):
    """What it is worth in words; one button stops using it."""
    base = open_folder(bundled_model())
    card = VoiceCard(
        name=desk.settings.trimmer, base=base.name, learnt_on=dt.date(2026, 3, 2), recordings=20,
        seconds=60.0, held_words=100, wrong_before=9, wrong_after=2, share=1.0,
    )  # fmt: skip
    write_model(
        tmp_path / "new", base, base.path / "am" / "final.mdl", voice=card, version="1, voice"
    )
    keep_voice(desk.settings, tmp_path / "new", who=card.name, on=card.learnt_on)

    assert "9 were wrong before and 2 are now" in browser.get("/voice").text
    browser.post("/voice/use", {"version": "bundled", "whose": card.name})

    assert bundled_model() == model_in_use(desk.settings)


def test_progress_and_time_left_are_shown_and_then_what_came_of_it(browser, desk):
    """While a process holds the voice, the page asks again and again; then it tells the result."""
    folder = voices_folder(desk.settings)
    now = [1000.0]
    with evening.alone(desk.settings, desk.settings.trimmer):
        written = Written(folder, clock=lambda: now[0])
        written.stage("learning", 100)
        written.at(10)
        now[0] += 30
        written.at(20)
        shown = browser.get("/voice").text
    (folder / "learning.log").write_text(
        "Of 100 words of yours, 9 were wrong before and 2 are now.\n"
    )

    assert 'value="20"' in shown and 'max="100"' in shown and "4 min" in shown
    assert 'hx-trigger="every 2s"' in shown
    assert "9 were wrong before" in browser.get("/voice/learning").text


def test_a_reading_is_judged_and_kept_with_its_words(browser, desk):
    """A line that was cut off is not kept; a good one is, and may be replaced."""
    speech = read_sound(min(demo_folder().glob("*.opus"))).samples

    def read(samples, **more):
        file = io.BytesIO()
        soundfile.write(file, samples, RATE, format="WAV", subtype="PCM_16")
        files = {"file": ("reading.wav", file.getvalue())}
        return browser.post("/voice/readings", {"prompt": "cow four twelve", **more}, files=files)

    cut = read(speech[: RATE // 5]).json()
    good = read(speech).json()
    again = read(speech, instead=good["kept"]).json()

    assert not cut["kept"] and cut["advice"]
    assert good["kept"] and again["kept"] != good["kept"]
    assert 1 == again["read"]
    assert 1 == len(list(readings_folder(desk.settings).glob("*.flac")))
    assert "1 of 30 short lines are read" in browser.get("/voice").text


def test_a_reading_that_is_no_sound_or_a_whole_day_is_refused(browser):
    """With a plain error, and nothing kept."""
    long = io.BytesIO()
    soundfile.write(long, np.zeros(50 * RATE, np.int16), RATE, format="WAV", subtype="PCM_16")
    for content in (b"no sound", long.getvalue()):
        answer = browser.post("/voice/readings", {}, files={"file": ("a.wav", content)})
        assert answer.status_code >= 400


def test_learning_is_stopped_from_the_page(browser, desk, monkeypatch):
    """Only what was started here can be; the process ends and the page says so."""
    assert browser.post("/voice/stop").status_code >= 400
    monkeypatch.setattr("dictate.voice.needs.find_spec", lambda _name: object())
    wait = [sys.executable, "-c", "import time; time.sleep(60)"]
    whole = subprocess.Popen
    monkeypatch.setattr(evening.subprocess, "Popen", lambda _command, **more: whole(wait, **more))

    browser.post("/voice/learn")
    assert "Stop for now" in browser.get("/voice").text
    browser.post("/voice/stop")

    assert not evening.is_learning(desk.settings)
    assert "Learn my voice now" in browser.get("/voice").text


def test_a_whole_learning_from_the_button(browser, desk, small_model):  # noqa: F811 (a fixture)
    """A real process on a small network: it ends, and what came of it stands there in words."""
    readings = Readings(readings_folder(desk.settings))
    lines = ("four two", "two four", "four four two", "two two four", "four two two")
    for at, line in enumerate(lines):
        readings.keep(Taken(prompt=line, samples=speech()[at:], advice=(), usable=True))
    desk.settings.home.joinpath("settings.toml").write_text(
        f'trimmer = "{desk.settings.trimmer}"\nmodel = "{small_model.as_posix()}"\n', "utf-8"
    )

    browser.post("/voice/learn")
    shown = [browser.get("/voice/learning").text]
    while "is being learnt now" in shown[-1]:
        time.sleep(0.3)
        shown.append(browser.get("/voice/learning").text)

    assert "Learnt from" in shown[-1] and "of 100 words of yours" in shown[-1].lower()
    assert any("Still less than a minute" in page or "Still about" in page for page in shown[:-1])


def test_thirty_more_lines_are_offered_when_thirty_are_read(browser, desk):
    """What a voice has learnt cannot judge the next one, so there are always new lines."""
    readings = Readings(readings_folder(desk.settings))
    known = [f"cow {word}" for word in _COUNTED]
    for line in known:
        readings.keep(Taken(prompt=line, samples=tones("four"), advice=(), usable=True))

    assert "30 of 30 short lines are read" in browser.get("/voice").text
    more = _to_read(browser, "/voice/read?more=true")
    assert 30 == len(more) and not more & set(known)
    assert not _to_read(browser, "/voice/read")


def _to_read(browser, path):
    lines = browser.get(path).text.partition('<ol id="lines" hidden>')[2].partition("</ol>")[0]
    return set(re.findall(r"<li>(.*?)</li>", lines))


def test_a_voice_is_forgotten_with_what_was_read(browser, desk):
    """Not while it is being learnt."""
    readings = Readings(readings_folder(desk.settings))
    readings.keep(Taken(prompt="cow four", samples=tones("four"), advice=(), usable=True))
    assert "Forget my voice" in browser.get("/voice").text

    with evening.alone(desk.settings, desk.settings.trimmer):
        assert browser.post("/voice/forget").status_code >= 400
    assert readings.read
    browser.post("/voice/forget")

    assert not voices_folder(desk.settings).exists()
    assert "Forget my voice" not in browser.get("/voice").text


def test_what_learning_needs_is_got_with_a_button(browser, desk, monkeypatch, tmp_path):
    """Its size and that it is the only thing from the internet; a failure is told and tried again."""
    lonely_pip(monkeypatch, tmp_path)
    monkeypatch.setattr(getting, "size_mb", lambda _settings: (1, 1))
    wheels = wheel_folder(tmp_path / "wheels", version="1.0.0")
    desk.settings = desk.settings.model_copy(update={"voice_builds": str(wheels)})
    asks = browser.get("/voice").text
    assert "about 1 MB from the internet" in asks and "nothing else of the program needs" in asks

    browser.post("/voice/get")
    failed = _when_got(browser, desk)
    assert "No PyTorch was found that fits" in failed and "Try again" in failed
    wheel_folder(wheels)
    browser.post("/voice/get")

    assert "Learn my voice now" in _when_got(browser, desk)


def test_where_it_cannot_be_got_the_line_stands_there(browser, monkeypatch, tmp_path):
    """And no button; a press from an old tab is refused with it, too."""
    lonely_pip(monkeypatch, tmp_path)
    monkeypatch.setattr(getting, "refusal", lambda _settings: "This installation has no pip.")
    shown = browser.get("/voice").text
    assert (
        "has no pip" in shown and "-m pip install" in shown and 'action="/voice/get"' not in shown
    )
    assert browser.post("/voice/get").status_code >= 400


def _when_got(browser, desk):
    while getting.is_getting(desk.settings):
        assert "What learning needs is being fetched" in browser.get("/voice/learning").text or (
            not getting.is_getting(desk.settings)
        )
        time.sleep(0.1)
    return browser.get("/voice/learning").text
