"""The trimmer's own settings: one TOML file in the home folder of the program.

The home folder is `$DICTATE_HOME`, or the usual place for data on this system. It holds
`settings.toml`, the database and the kept sound. Nothing clinical has a default: intervals and
prices come from the trimmer or stay empty.
"""

import os
import tomllib
from decimal import Decimal
from pathlib import Path
from typing import Any, Literal

import platformdirs
from pydantic import BaseModel, ConfigDict, Field, ValidationError, field_validator

from dictate.errors import SettingsError, plain_faults
from dictate.texts import languages

FILE_NAME = "settings.toml"


UNNAMED = "trimmer"
"""Who speaks until a name is given; it stands on no sheet."""


def named(trimmer: str) -> str:
    """The name as people read it; empty for somebody who has given none."""
    return "" if trimmer == UNNAMED else trimmer


class Settings(BaseModel):
    """What `settings.toml` may say. Unknown keys are faults, so that a typing mistake is seen."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    home: Path
    """Folder of the program's data; never in the file."""
    trimmer: str = Field(default=UNNAMED, min_length=1)
    """Who speaks; what is learnt from fixes belongs to this name."""
    contact: str = Field(default="", max_length=200)
    """How farms reach the trimmer, printed under the name on sheets: telephone, mail, address."""
    farm: str | None = None
    """Farm used when a command names none."""
    model: Path | None = None
    """Folder of a Vosk model; none means the bundled one."""
    second_listener: Path | None = None
    """Folder of a faster-whisper model that hears doubtful notes again during the review."""
    database: str | None = None
    """SQLAlchemy URL; none means an SQLite file in the home folder."""
    language: str = "en"
    """Of the page; a catalogue for it has to be there (docs/how-to/translate.md)."""
    paper: Literal["A4", "Letter"] = "A4"
    """Size of printed sheets."""
    currency: str = Field(default="", max_length=8)
    """Printed before prices, as written."""
    prices: dict[str, Decimal] = Field(default_factory=dict)
    """Price of one action by its kind, e.g. `block = "18.50"`."""
    charge_by: dict[str, Literal["animal", "foot", "each"]] = Field(default_factory=dict)
    """What a price is for, by kind: once an animal, once a foot, or each time (if not said)."""
    keep: Literal["notes", "all", "none"] = "notes"
    """Sound that is kept: of the `notes` alone, whole recordings too (`all`), or `none` once heard."""
    backup_folder: Path | None = None
    """Folder where the page makes backups; it is set there, best on another disk."""
    keep_days: int | None = Field(default=None, ge=1)
    """Days after a visit until the sound of its reviewed notes is forgotten; none means never."""
    learn_voice: Literal["offer", "always", "never"] = "offer"
    """When a visit is reviewed and enough new is certain: `offer` learning your voice, `always` start."""
    voice_builds: str = ""
    """Folder or address where pip finds a smaller build of what learning needs; empty: the usual one."""
    intervals: dict[str, int] = Field(default_factory=dict)
    """Days until a follow-up by its kind, when the words gave none; the trimmer's own."""

    @field_validator("language")
    @classmethod
    def _has_a_catalogue(cls, code: str) -> str:
        if code not in languages():
            raise ValueError(
                f"there is no catalogue for {code!r}, only for {', '.join(languages())}"
            )
        return code

    @property
    def database_url(self) -> str:
        return self.database or f"sqlite:///{self.home / 'record.db'}"

    @property
    def sounds(self) -> Path:
        """Folder that keeps taken-in sound by content hash."""
        return self.home / "sounds"

    @property
    def sheets(self) -> Path:
        """Folder for sheets that are written without a path."""
        return self.home / "sheets"


def home_folder() -> Path:
    """`$DICTATE_HOME`, else the user's data folder for `dictate`."""
    given = os.environ.get("DICTATE_HOME")
    return Path(given).expanduser() if given else Path(platformdirs.user_data_dir("dictate"))


def load_settings(home: Path | None = None) -> Settings:
    """Settings of the home folder; a missing file means none were made.

    Raises:
        SettingsError: the file cannot be read or has faults; all of them are named at once.
    """
    home = home or home_folder()
    path = home / FILE_NAME
    raw = _read(path) if path.exists() else {}
    if "home" in raw:
        raise SettingsError(
            "home is not a setting", where=str(path), remedy="Set DICTATE_HOME instead"
        )
    if url := os.environ.get("DICTATE_DATABASE"):
        raw["database"] = url
    try:
        return Settings(home=home, **raw)
    except ValidationError as error:
        raise SettingsError(
            plain_faults(error.errors()),
            where=str(path),
            remedy="docs/reference/settings.md lists every key",
        ) from error


def _read(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError) as error:  # tomllib raises all of them
        raise SettingsError(
            f"cannot be read: {error}", where=str(path), remedy="Correct or remove the file"
        ) from error
