"""When a visit is reviewed, the page offers to learn the voice: with enough new, once, and as set."""

import subprocess

import pytest
from pydantic import ValidationError

from dictate.errors import VoiceError
from dictate.measuring.tables import Utterance
from dictate.settings import Settings
from dictate.voice import evening

BUTTON = "Learn my voice from these notes"


@pytest.fixture
def certain(monkeypatch, tmp_path) -> list[int]:
    """Ids of notes with certain words; PyTorch seems to be installed."""
    ids: list[int] = []

    def found(_database, _settings, who, *, after, at_most):
        row = Utterance(path=tmp_path / "a.wav", words=("four",), speaker=who)
        return [row for one in ids if one > after][:at_most]

    monkeypatch.setattr("dictate.voice.confirmed.certain_notes", found)
    monkeypatch.setattr("dictate.voice.needs.find_spec", lambda _name: object())
    return ids


@pytest.fixture
def started(monkeypatch) -> list[list[str]]:
    """Commands that were started; nothing runs."""
    commands: list[list[str]] = []

    class Running:
        code: int | None = None

        def __init__(self, command, **_more):
            commands.append(command)

        def poll(self):
            return Running.code

    monkeypatch.setattr(evening, "_started", {})
    monkeypatch.setattr(subprocess, "Popen", Running)
    return commands


@pytest.fixture
def reviewed(queue, browser, database, version_of) -> str:
    """The path of a queue in which nothing waits any more."""
    (entry,) = queue({"animal": "412"})
    browser.post(f"/entries/{entry}/reject", {"version": version_of(entry), "reason": "talk"})
    return "/visits/1/queue"


def test_it_is_offered_when_enough_is_new(browser, reviewed, certain, started):
    """Nineteen notes are too few, twenty are enough; nothing is started by itself."""
    certain.extend(range(1, evening.ENOUGH_NOTES))
    assert BUTTON not in browser.get(reviewed).text

    certain.append(evening.ENOUGH_NOTES)

    assert BUTTON in browser.get(reviewed).text
    assert not started


def test_it_is_not_offered_while_entries_wait(browser, reviewed, queue, certain):
    """First the review, then the voice."""
    certain.extend(range(1, 40))
    queue({"animal": "412"})

    assert BUTTON not in browser.get(reviewed).text


@pytest.mark.parametrize("learn_voice", ["offer", "always"])
def test_nothing_without_what_learning_needs(
    browser, desk, reviewed, certain, started, monkeypatch, learn_voice
):
    """Without the extra [voice] there is no button, and nothing starts."""
    certain.extend(range(1, 40))
    desk.settings = desk.settings.model_copy(update={"learn_voice": learn_voice})
    monkeypatch.setattr(evening, "can_learn", lambda: False)

    assert BUTTON not in browser.get(reviewed).text
    assert not started


def test_never_is_never(browser, desk, reviewed, certain, started):
    """Who does not want it is not asked."""
    certain.extend(range(1, 40))
    desk.settings = desk.settings.model_copy(update={"learn_voice": "never"})

    assert BUTTON not in browser.get(reviewed).text
    assert not started


def test_always_starts_once(browser, desk, reviewed, certain, started):
    """It starts by itself, gently, and not again while it runs."""
    certain.extend(range(1, 40))
    desk.settings = desk.settings.model_copy(update={"learn_voice": "always"})

    shown = browser.get(reviewed).text
    browser.get(reviewed)

    assert "is being learnt" in shown and BUTTON not in shown
    (command,) = started
    assert ["voice", "learn", "--gentle", "--by=Robin Field"] == command[-4:]


def test_always_offers_again_what_failed(browser, desk, reviewed, certain, started, monkeypatch):
    """A learning that fails is not started anew with every look at the page."""
    certain.extend(range(1, 40))
    desk.settings = desk.settings.model_copy(update={"learn_voice": "always"})
    browser.get(reviewed)
    monkeypatch.setattr(subprocess.Popen, "code", 1)

    assert BUTTON in browser.get(reviewed).text
    assert 1 == len(started)


def test_the_button_starts_it_and_says_where_it_is_told(browser, reviewed, certain, started):
    """A second press while it runs is refused."""
    certain.extend(range(1, 40))

    pressed = browser.post("/voice/learn")
    again = browser.post("/voice/learn")

    assert "is being learnt now" in browser.get(pressed.headers["location"]).text
    assert again.status_code >= 400
    assert 1 == len(started)


def test_only_what_came_since_the_last_learning_counts(browser, desk, reviewed, certain):
    """A learning marks how far it looked, whatever came of it."""
    certain.extend(range(1, 40))
    with evening.alone(desk.settings, "Robin Field"):
        evening.keep_mark(desk.settings, "Robin Field", 39)
    assert BUTTON not in browser.get(reviewed).text

    certain.extend(range(40, 60))

    assert BUTTON in browser.get(reviewed).text


def test_two_never_learn_one_voice(settings):
    """The lock is each trimmer's own, holds between processes, and falls when its holder ends."""
    with evening.alone(settings, "Robin Field"):
        assert evening.is_learning(settings)
        with pytest.raises(VoiceError, match="already"), evening.alone(settings, "Robin Field"):
            pass
        with evening.alone(settings, "Ann Hill"):
            pass

    assert not evening.is_learning(settings)


def test_the_setting_takes_three_words(home):
    """Offered unless set; anything else is a fault."""
    assert "offer" == Settings(home=home).learn_voice
    assert "always" == Settings(home=home, learn_voice="always").learn_voice
    with pytest.raises(ValidationError):
        Settings(home=home, learn_voice="sometimes")
