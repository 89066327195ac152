"""What learning needs is got with pip, here from a folder in the place of the network."""

import subprocess
import sys

import pytest
from typer.testing import CliRunner

from dictate.cli import voice
from dictate.errors import VoiceError
from dictate.voice import getting, needs
from tests.dictate.voice.making_wheels import lonely_pip, wheel_folder


@pytest.fixture
def target(monkeypatch, tmp_path, settings):
    """Where pip puts things; enough room seems to be there."""
    monkeypatch.setattr(getting, "size_mb", lambda _settings: (1, 1))
    return lonely_pip(monkeypatch, tmp_path)


def _got(settings):
    getting.start(settings)
    while not getting.wait(settings, 1):
        pass


def test_it_comes_and_learning_is_possible_at_once(target, settings, tmp_path):
    """The requirement of the installed program's own extra, from the folder that the settings name."""
    settings = settings.model_copy(update={"voice_builds": str(wheel_folder(tmp_path / "wheels"))})
    assert ["torch>=2.6"] == getting.needed()
    assert not needs.can_learn()

    _got(settings)

    assert needs.can_learn() and (target / "torch" / "__init__.py").is_file()
    assert not getting.fault(settings)


def test_a_failure_is_said_in_plain_words_and_can_be_tried_again(target, settings, tmp_path):
    """Too old a version is none; once there is a right one it comes."""
    folder = wheel_folder(tmp_path / "wheels", version="1.0.0")
    settings = settings.model_copy(update={"voice_builds": str(folder)})
    _got(settings)
    assert "No PyTorch was found that fits this computer" in getting.fault(settings)

    wheel_folder(folder)
    _got(settings)

    assert needs.can_learn() and not getting.fault(settings)


def test_no_internet_is_named(target, settings, monkeypatch):
    """A real pip at a port where nobody answers."""
    monkeypatch.delenv("PIP_NO_INDEX")
    monkeypatch.setenv("PIP_INDEX_URL", "http://127.0.0.1:9/simple")
    monkeypatch.setenv("PIP_RETRIES", "0")
    _got(settings)
    assert "The internet could not be reached" in getting.fault(settings)


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ("ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device", "disk is full"),
        ("ERROR: Could not install packages due to an OSError: [Errno 13] Permission denied: '/x'", "may not be written"),
        ("ERROR: THESE PACKAGES DO NOT MATCH THE HASHES", "DO NOT MATCH THE HASHES. Try it again"),
    ],
)  # fmt: skip
def test_each_fault_has_its_remedy(target, settings, monkeypatch, told, words):
    """As pip writes them (its own messages, from memory)."""
    _fails_with(monkeypatch, told)
    _got(settings)
    assert words in getting.fault(settings)


def test_a_part_that_comes_and_is_not_found_asks_for_a_new_start(target, settings, monkeypatch):
    _fails_with(monkeypatch, "Successfully installed torch-2.99.0", code=0)
    _got(settings)
    assert "Close the program and start it again" in getting.fault(settings)


def test_progress_is_read_from_what_pip_writes(settings):
    """The raw progress bar of pip 24.1 and later: "Progress 123 of 456" in bytes."""
    log = settings.home / "voices" / "getting.log"
    log.parent.mkdir(parents=True)
    log.write_text("Collecting torch>=2.6\n  Downloading torch-2.9.0-cp311-none-any.whl (180.0 MB)\n"
                   "Progress 1000000 of 180000000\nProgress 60000000 of 180000000\n")  # fmt: skip
    assert getting.Got(name="torch", done=60, total=180) == getting.how_far(settings)

    log.write_text(log.read_text() + "Installing collected packages: sympy, torch\n")
    assert getting.how_far(settings).settling


@pytest.mark.parametrize("why", ["no pip", "read only", "managed", "full"])
def test_it_refuses_politely_and_shows_the_line(target, settings, monkeypatch, tmp_path, why):
    """Nothing is started; the line is what a terminal takes."""
    words = {"no pip": "no pip", "read only": "may not write", "managed": "The system looks after",
             "full": "MB free"}[why]  # fmt: skip
    if why == "no pip":
        monkeypatch.setattr(getting.importlib.util, "find_spec", lambda _name: None)
    elif why == "read only":
        monkeypatch.setattr(getting.os, "access", lambda *_: False)
    elif why == "full":
        monkeypatch.setattr(getting, "size_mb", lambda _settings: (1, 10**12))
    else:
        (tmp_path / "EXTERNALLY-MANAGED").touch()
        monkeypatch.setattr(getting.sys, "prefix", sys.base_prefix)
        monkeypatch.setattr(getting.sysconfig, "get_path", lambda _name: str(tmp_path))

    with pytest.raises(VoiceError, match=words) as refused:
        getting.start(settings)

    assert refused.value.remedy.endswith("-m pip install 'torch>=2.6'")
    assert sys.executable in refused.value.remedy
    assert not getting.is_getting(settings)


def test_a_second_press_starts_nothing(target, settings, monkeypatch):
    """While one runs there is no second."""
    commands = _fails_with(monkeypatch, "", wait=30)
    getting.start(settings)
    getting.start(settings)
    (running,) = getting._started.values()
    running.kill()
    running.wait()
    assert 1 == len(commands)


def test_the_command_does_the_same(target, settings, monkeypatch, tmp_path):
    """`dictate voice prepare`; called again it says that all is there."""
    settings = settings.model_copy(update={"voice_builds": str(wheel_folder(tmp_path / "wheels"))})
    monkeypatch.setattr("dictate.settings.load_settings", lambda: settings)

    first = CliRunner().invoke(voice.app, ["prepare"])
    again = CliRunner().invoke(voice.app, ["prepare"])

    assert 0 == first.exit_code, first.output
    assert "Everything that learning needs is here" in again.output
    assert needs.can_learn()


def _fails_with(monkeypatch, told, *, code=1, wait=0):
    """A process in the place of pip that writes a text and ends."""
    commands = []
    whole = subprocess.Popen
    script = f"import sys,time; print({told!r}, flush=True); time.sleep({wait}); sys.exit({code})"

    def stand_in(command, **more):
        commands.append(command)
        return whole([sys.executable, "-c", script], **more)

    monkeypatch.setattr(getting.subprocess, "Popen", stand_in)
    return commands
