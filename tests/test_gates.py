"""The structure holds: imports obey the contracts in pyproject.toml, and every file is tidy."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


def test_no_import_breaks_a_contract() -> None:
    """Layers, the grammar's purity, tables behind read models (import-linter)."""
    done = _run("-c", "from importlinter.cli import lint_imports_command as lint; lint()")

    assert done.returncode == 0, done.stdout[done.stdout.find("Broken contracts") :]


@pytest.mark.parametrize("check", [("check",), ("format", "--check")], ids=" ".join)
def test_files_are_tidy(check: tuple[str, ...]) -> None:
    """Ruff finds nothing, and would write every file as it is."""
    done = _run("-m", "ruff", *check)

    assert done.returncode == 0, done.stdout


def _run(*command: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *command], cwd=ROOT, capture_output=True, text=True, check=False
    )
