"""The script of the demo day: what was said in each clip, and what the reviewer decides."""

import datetime as dt
import tomllib
from pathlib import Path
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

import dictate
from dictate.entry.values import EntryValues
from dictate.errors import NotFoundError, SettingsError


class _Read(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Decision(_Read):
    """What the reviewer does with one note."""

    by: str
    decision: Literal["confirm", "amend", "reject"]
    why: str = ""
    changes: tuple[dict[str, Any], ...] = ()
    """`entry`, counted from 0, and its new values."""


class ScriptedNote(_Read):
    """One clip."""

    clip: str
    said: str
    spoken: str | None = None
    """What the voice was given instead, where the term is said badly."""
    shows: str
    entries: tuple[EntryValues, ...] = ()
    """What a right hearing gives."""
    review: Decision


class Script(_Read):
    """The whole day."""

    farm: str
    trimmer: str
    date: dt.date
    note: tuple[ScriptedNote, ...] = Field(min_length=1)


def demo_folder() -> Path:
    """The folder of the demo clips: installed with the program, or in a copy of the repository.

    Raises:
        NotFoundError: there is neither.
    """
    package = Path(dictate.__file__).resolve().parent
    for folder in (package / "demo" / "day", package.parent / "demo_audio"):
        if (folder / "notes.toml").is_file():
            return folder
    raise NotFoundError(
        "the demo clips are missing from the installation",
        remedy="Install the program again, or name the clips: dictate demo --audio DIR",
    )


def read_script(folder: Path) -> Script:
    """Read `notes.toml` of a folder of demo clips.

    Raises:
        SettingsError: it is missing or has faults; all of them are named.
    """
    path = folder / "notes.toml"
    try:
        return Script.model_validate(tomllib.loads(path.read_text(encoding="utf-8")))
    except OSError as error:
        raise SettingsError(
            "there is no such file", where=str(path), remedy="Name the folder of the demo clips"
        ) from error
    except (ValueError, RecursionError) as error:  # of TOML, UTF-8 and the model
        raise SettingsError(str(error), where=str(path), remedy="Correct the file") from error
