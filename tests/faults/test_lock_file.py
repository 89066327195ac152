"""The list of pinned packages: whole, hashed, and bound to no package index."""

import re
import tomllib
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
LOCK = (ROOT / "docs" / "requirements.lock").read_text(encoding="utf-8")
LOCKED_EXTRAS = ("machines", "parquet", "postgres", "second-listener")


def _pins() -> list[tuple[Requirement, list[str]]]:
    pins = LOCK.replace("\\\n", " ").splitlines()
    parts = [re.split(r"\s+--hash=", pin) for pin in pins if pin.strip()]
    return [(Requirement(first), hashes) for first, *hashes in parts]


def test_every_package_is_pinned_with_hashes() -> None:
    """One version each, with SHA-256 hashes (pip's `--require-hashes` wants both)."""
    pins = _pins()

    assert len(pins) > 50
    for requirement, hashes in pins:
        assert re.fullmatch(r"==[^*]+", str(requirement.specifier)), requirement
        assert hashes
        assert all(re.fullmatch(r"sha256:[0-9a-f]{64}\s*", text) for text in hashes), requirement


def test_the_pins_are_those_of_the_project() -> None:
    """Each package that the project asks for is in it, in a version that it allows."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    asked = project["dependencies"] + [
        line for extra in LOCKED_EXTRAS for line in project["optional-dependencies"][extra]
    ]
    pinned = {
        canonicalize_name(pin.name): str(pin.specifier).removeprefix("==") for pin, _ in _pins()
    }
    for line in asked:
        requirement = Requirement(line)
        version = pinned[canonicalize_name(requirement.name)]
        assert requirement.specifier.contains(version), f"{line}: {version}"


def test_it_names_no_index() -> None:
    """Where packages come from is the choice of whoever installs them."""
    assert "://" not in LOCK
    assert not re.search(r"^\s*--(?:extra-)?index|^-[if]\b", LOCK, re.MULTILINE)
