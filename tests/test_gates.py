"""The structure holds: imports obey the contracts in pyproject.toml, and every file is tidy."""

import subprocess
import sys
from pathlib import Path

import pytest

from dictate.texts.collect import TEMPLATE, collected, written
from tests.spoken import WEB, outside_the_catalogue

ROOT = Path(__file__).parents[1]
TEMPLATES = sorted((WEB / "templates").glob("*.html"))


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


def test_the_catalogue_is_fresh() -> None:
    """`python -m dictate.texts.collect` would write the file as it is."""
    fresh = written(collected()) == TEMPLATE.read_bytes()

    assert fresh, "run python -m dictate.texts.collect"


def _run(*command: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *command], cwd=ROOT, capture_output=True, text=True, check=False
    )
