"""A recogniser whose files are missing or altered: named, and no clip is lost over it."""

import json
import os
import shutil
from collections.abc import Callable
from pathlib import Path

import day
import pytest
from forked import dictate

from dictate.decoder.model_files import bundled_model
from tests.fake_engine import CLIPS


def _missing(folder: Path) -> Path:
    return folder / "gone"


def _without_a_file(folder: Path) -> Path:
    copy = Path(shutil.copytree(bundled_model(), folder / "copy", copy_function=os.symlink))
    next(copy.rglob("*.mdl")).unlink()
    return copy


def _altered(folder: Path) -> Path:
    copy = Path(shutil.copytree(bundled_model(), folder / "copy", copy_function=os.symlink))
    config = next(copy.rglob("mfcc.conf"))
    text = config.read_text(encoding="utf-8")
    config.unlink()  # a link: the bundled one must stay as it is
    config.write_text(text + "\n# altered\n", encoding="utf-8")
    return copy


@pytest.mark.parametrize("harm", [_missing, _without_a_file, _altered])
def test_doctor_names_the_model_and_no_clip_is_lost(
    tmp_path: Path, harm: Callable[[Path], Path]
) -> None:
    """Checksums tell; what was taken in is heard once the model is whole again."""
    home = tmp_path / "home"
    home.mkdir()
    settings = home / "settings.toml"
    settings.write_text(f'trimmer = "Robin Field"\nmodel = "{harm(tmp_path)}"\n', encoding="utf-8")
    clip = str(CLIPS[0])

    refused = dictate(home, "take-in", clip, "--farm", "Alder Farm")
    found = {one["part"]: one for one in json.loads(dictate(home, "doctor", "--json").out)}

    assert 4 == refused.code, refused.err
    assert "Traceback" not in refused.err
    assert not found["model"]["ok"]
    assert found["model"]["remedy"]
    assert found["database"]["ok"]
    assert 1 == len(list((home / "sounds").glob("??/*.opus")))
    assert 0 == day.state(home)["rows"]["note"]


@pytest.mark.engine
def test_what_waited_is_heard_with_a_whole_model(tmp_path: Path) -> None:
    """The same command again, with the bundled model, finishes the work."""
    home = tmp_path / "home"
    home.mkdir()
    settings = home / "settings.toml"
    settings.write_text(
        f'trimmer = "Robin Field"\nmodel = "{tmp_path / "gone"}"\n', encoding="utf-8"
    )
    clip = str(CLIPS[0])
    assert 4 == dictate(home, "take-in", clip, "--farm", "Alder Farm").code
    settings.write_text('trimmer = "Robin Field"\n', encoding="utf-8")

    done = dictate(home, "take-in", clip, "--farm", "Alder Farm")

    assert 0 == done.code, done.err
    assert {"clip": 1, "note": 1} == {
        name: day.state(home)["rows"][name] for name in ("clip", "note")
    }
