"""The structure holds: imports obey the contracts in pyproject.toml, and every file is tidy."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from dictate.texts import TEMPLATE, catalogues
from dictate.texts.collect import brought_up, collected, faults, written
from tests.spoken import WEB, collected_texts, outside_in_script, outside_the_catalogue, said_in

ROOT = Path(__file__).parents[1]
SCRIPTS = [
    one for one in sorted((WEB / "static").glob("*.js")) if one.stem not in ("htmx.min", "texts")
]
TEMPLATES = sorted((ROOT / "dictate").rglob("templates/*.html"))


def test_no_import_breaks_a_contract() -> None:
    """Layers, the grammar's purity, tables behind read models (import-linter)."""
    done = _run("-c", "from importlinter.cli import lint_imports_command as lint; lint()")

    assert done.returncode == 0, done.stdout[done.stdout.find("Broken contracts") :]


@pytest.mark.parametrize("check", [("check",), ("format", "--check")], ids=" ".join)
def test_files_are_tidy(check: tuple[str, ...]) -> None:
    """Ruff finds nothing, and would write every file as it is."""
    done = _run("-m", "ruff", *check)

    assert done.returncode == 0, done.stdout


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda path: path.name)
def test_every_text_of_a_template_is_in_the_catalogue(template: Path) -> None:
    """Texts, and attributes that are shown or read out, stand in `_()` or `ngettext()`."""
    assert outside_the_catalogue(template.read_text(encoding="utf-8")) == []


def test_the_catalogues_are_fresh() -> None:
    """`python -m dictate.texts.collect` would write the files as they are, and finds no fault in them."""
    template = collected()
    stale = [] if written(template) == TEMPLATE.read_bytes() else [TEMPLATE]
    for path in catalogues().values():
        catalogue = brought_up(path, template)
        stale += [] if written(catalogue) == path.read_bytes() else [path]
        assert list(faults(catalogue)) == []

    assert stale == [], "run python -m dictate.texts.collect"


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: path.name)
def test_every_text_of_a_script_is_in_the_catalogue(script: Path) -> None:
    """Sentences stand in `_()`, and none of those is where Babel does not find it."""
    source = script.read_text(encoding="utf-8")

    assert outside_in_script(source) == []
    assert set(re.findall(r'\b_\("([^"]+)"', source)) - collected_texts() == set()


def test_every_text_of_the_code_can_be_collected() -> None:
    """One inside an f-string, or built from parts, would never reach a translator."""
    said = {one for path in sorted((ROOT / "dictate").rglob("*.py")) for one in said_in(path)}

    assert said - collected_texts() == set()


def _run(*command: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *command], cwd=ROOT, capture_output=True, text=True, check=False
    )
