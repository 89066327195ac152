"""The command line as a person uses it: arguments in; exit code, stdout and stderr out."""

import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from dictate import doctor, hearing
from dictate.cli.main import run
from dictate.notes import live_notes
from dictate.web import serve
from tests.fake_engine import FakeEngine


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
def clip(
    clip: Callable[[str, str], Path], monkeypatch: pytest.MonkeyPatch
) -> Callable[[str, str], Path]:
    """The same for whatever a command opens to hear with."""
    # Wherever the name is bound: a module first loaded meanwhile would keep the stand-in for good.
    for module in (hearing, doctor, live_notes, serve):
        monkeypatch.setattr(module, "open_engine", lambda *_args, **_kwargs: FakeEngine(clip.said))
    return clip
