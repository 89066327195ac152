"""Reading aloud in a real browser: Chromium's pretended microphone speaks a recorded note."""

from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pytest
import soundfile

from dictate.demo.script import demo_folder
from dictate.measuring.tables import read_table
from dictate.sound import RATE, read_sound
from dictate.voice.own_speech import readings_folder

from .conftest import CHROMIUM, OPTIONS, Running, Tab


@pytest.fixture(scope="module")
def chromium(chromium: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    """A browser whose microphone says a note again and again, and that asks before it lends it."""
    said = tmp_path_factory.mktemp("voice") / "said.wav"
    clips = [read_sound(path).samples for path in sorted(demo_folder().glob("*.opus"))[:3]]
    soundfile.write(said, np.concatenate(clips), RATE, subtype="PCM_16")
    browser = chromium.browser_type.launch(
        executable_path=CHROMIUM,
        args=[
            *OPTIONS, "--use-fake-device-for-media-stream",
            f"--use-file-for-fake-audio-capture={said}",
        ],
    )  # fmt: skip
    yield browser
    browser.close()


def _line(at: Tab) -> str:
    return str(at.page.inner_text("#line"))


def _read_one(at: Tab, seconds: float) -> None:
    at.page.keyboard.press("Enter")
    at.page.wait_for_selector("#begin[aria-pressed=true]")
    at.page.wait_for_timeout(1000 * seconds)
    at.page.keyboard.press("Enter")
    at.page.wait_for_selector("#begin[aria-pressed=false]:enabled")


def test_lines_are_read_skipped_and_gone_on_with(running: Running, tab: Callable[..., Tab]) -> None:
    """Kept with its words, cut-off readings asked for again; the next day goes on."""
    at = tab(permissions=["microphone"])
    at.open("/voice")
    at.shoot("voice")
    at.follow("Read lines aloud")
    at.page.wait_for_url("**/voice/read")
    first = _line(at)
    assert "0 of 30 are read" in at.page.inner_text("#place")

    _read_one(at, 0.5)
    assert "too short" in at.page.inner_text("#state") and _line(at) == first
    _read_one(at, 5)
    at.page.wait_for_selector("text=1 of 30 are read")
    at.shoot("read-aloud")
    second = _line(at)
    at.page.keyboard.press("s")
    assert _line(at) not in {first, second}
    at.page.keyboard.press("r")
    assert _line(at) == first
    _read_one(at, 5)
    at.page.wait_for_selector("text=1 of 30 are read")

    folder = readings_folder(running.settings)
    (row,) = read_table(folder)
    assert " ".join(row.words) == first
    assert [row.path] == list(folder.glob("*.flac")), "the earlier reading is replaced"
    assert 4 < read_sound(row.path).seconds < 7
    at.page.keyboard.press("q")
    at.page.wait_for_selector("text=1 of 30 short lines are read")
    at.follow("Go on reading")
    at.page.wait_for_selector("#line:has-text(' ')")
    assert _line(at) == second


def test_machines_with_a_voice_over_them_are_not_kept(
    running: Running, tab: Callable[..., Tab], monkeypatch: pytest.MonkeyPatch
) -> None:
    """After the lines half a minute of machines is asked for, nobody speaking; it ends by itself."""
    monkeypatch.setattr("dictate.voice.own_speech.prompts_for", lambda *_, **__: [])
    at = tab(permissions=["microphone"])
    at.page.route("**/read-aloud.js", _short_machines)
    at.open("/voice/read")
    assert "machines" in at.page.inner_text("#place")

    at.page.keyboard.press("Enter")
    at.page.wait_for_selector("text=Somebody spoke")

    assert not list(readings_folder(running.settings).glob("*.flac"))


def test_a_refused_microphone_is_said_plainly(tab: Callable[..., Tab]) -> None:
    """The browser lends none: what to do stands there, and the line stays."""
    at = tab()
    at.open("/voice/read")
    line = _line(at)

    at.page.keyboard.press("Enter")

    at.page.wait_for_selector("text=The browser may not use the microphone")
    assert _line(at) == line


def _short_machines(route: Any) -> None:
    answer = route.fetch()
    route.fulfill(response=answer, body=answer.text().replace("MACHINES = 30", "MACHINES = 5"))
