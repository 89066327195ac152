"""The docs name every command, setting, table and exit code, and what they promise is there."""

import re
from importlib.util import find_spec
from pathlib import Path

import pytest

from dictate.cli.main import COMMANDS, summary
from dictate.reference import PAGES

ROOT = Path(__file__).parents[1]
REFERENCE = ROOT / "docs" / "reference"
_RUN = re.compile(r"(?:`|^ {4}\$? ?|&& |bin/)dictate ([a-z][a-z-]*)", re.MULTILINE)


@pytest.mark.parametrize("name", PAGES)
def test_generated_pages_are_fresh(name: str) -> None:
    """The page says what the program does; else run `python -m dictate.reference`."""
    assert PAGES[name]() == (REFERENCE / name).read_text(encoding="utf-8")


@pytest.mark.parametrize("module", COMMANDS)
def test_every_command_has_a_module_with_a_summary(module: str) -> None:
    """A listed command exists."""
    assert find_spec(f"dictate.cli.{COMMANDS[module]}")
    assert summary(module) is not None


def _pages() -> list[Path]:
    return [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").rglob("*.md"))]


@pytest.mark.parametrize("page", _pages(), ids=lambda page: page.name)
def test_commands_in_the_docs_exist(page: Path) -> None:
    """No page names a command that the program lacks."""
    named = set(_RUN.findall(page.read_text(encoding="utf-8")))

    assert set() == named - {command.replace("_", "-") for command in COMMANDS}


@pytest.mark.parametrize("page", _pages(), ids=lambda page: page.name)
def test_files_that_a_page_names_are_there(page: Path) -> None:
    """A module or data file in backquotes is where the page says; `nl` stands for any language."""
    named = re.findall(r"`((?:dictate|grammar|tests)/[\w./-]+)`", page.read_text(encoding="utf-8"))
    rooms = [ROOT / name for name in named if "/nl/" not in name]

    assert [] == [
        room for room in rooms if not room.exists() and not room.with_suffix(".py").exists()
    ]


@pytest.mark.parametrize("page", _pages(), ids=lambda page: page.name)
def test_links_between_pages_lead_somewhere(page: Path) -> None:
    """No page links to a file that is not there."""
    links = re.findall(r"\]\((?!https?:|mailto:|#)([^)#]+)", page.read_text(encoding="utf-8"))

    assert [] == [link for link in links if not (page.parent / link).exists()]
