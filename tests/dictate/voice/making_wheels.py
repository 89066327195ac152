"""A folder that stands for the network: a tiny wheel that calls itself torch, for pip to find."""

import zipfile
from pathlib import Path

import pytest


def wheel_folder(folder: Path, version: str = "2.99.0") -> Path:
    """A folder with one wheel, in the form of the binary distribution format (PEP 427)."""
    folder.mkdir(parents=True, exist_ok=True)
    info = f"torch-{version}.dist-info"
    with zipfile.ZipFile(folder / f"torch-{version}-py3-none-any.whl", "w") as wheel:
        wheel.writestr("torch/__init__.py", "")
        wheel.writestr(
            f"{info}/METADATA", f"Metadata-Version: 2.1\nName: torch\nVersion: {version}\n"
        )
        wheel.writestr(
            f"{info}/WHEEL", "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n"
        )
        wheel.writestr(f"{info}/RECORD", "")
    return folder


def lonely_pip(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """The folder into which pip puts things now; it asks no index, and nothing seems installed."""
    target = tmp_path / "installed"
    for name, value in {"CONFIG_FILE": "/dev/null", "NO_INDEX": "1", "TARGET": str(target)}.items():
        monkeypatch.setenv(f"PIP_{name}", value)
    monkeypatch.setattr(
        "dictate.voice.needs.find_spec", lambda name: (target / name).is_dir() or None
    )
    monkeypatch.setattr("dictate.voice.getting._started", {})
    return target
