"""The command line as a person uses it: arguments in; exit code, stdout and stderr out."""

import shutil
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from dictate import doctor, hearing
from dictate.cli.main import run
from dictate.notes import live_notes
from dictate.sound import hash_file
from dictate.web import serve
from tests.fake_engine import FakeEngine

CLIPS = sorted((Path(__file__).parents[3] / "demo_audio").glob("*.opus"))
"""Only their sound counts here; the fake recogniser says what they hold."""


@dataclass(frozen=True)
class Ran:
    """What a command did."""

    code: int
    out: str
    err: str


Dictate = Callable[..., Ran]


@pytest.fixture
def dictate(home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture) -> Dictate:
    """Run `dictate` with arguments, through its own entry point."""
    home.mkdir()
    (home / "settings.toml").write_text('trimmer = "Robin Field"\nfarm = "Alder Farm"\n')
    monkeypatch.setenv("COLUMNS", "200")

    def go(*arguments: object) -> Ran:
        monkeypatch.setattr(sys, "argv", ["dictate", *map(str, arguments)])
        capsys.readouterr()
        try:
            run()
            code = 0
        except SystemExit as stop:
            code = stop.code if isinstance(stop.code, int) else 1
        captured = capsys.readouterr()
        return Ran(code or 0, captured.out, captured.err)

    return go


@pytest.fixture
def clip(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[str, str], Path]:
    """Copy a clip under a name; `says` is what the recogniser will hear in it."""
    said: dict[str, str] = {}
    # Wherever the name is bound: a module first loaded meanwhile would keep the stand-in for good.
    for module in (hearing, doctor, live_notes, serve):
        monkeypatch.setattr(module, "open_engine", lambda *_args, **_kwargs: FakeEngine(said))

    def make(name: str, says: str) -> Path:
        path = tmp_path / name
        shutil.copy(CLIPS[len(said)], path)
        said[hash_file(path)] = says
        return path

    return make
