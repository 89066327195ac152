"""Writing the trimmer's settings from the page; comments and unknown order in the file stay."""

import os
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import tomlkit
from pydantic import ValidationError
from tomlkit.exceptions import TOMLKitError

from dictate.errors import SettingsError, plain_faults
from dictate.settings import FILE_NAME, Settings, load_settings
from dictate.texts import gettext


def keep_settings(settings: Settings, changes: Mapping[str, Any]) -> Settings:
    """Write changed keys to `settings.toml`; an empty value takes its key out.

    Raises:
        SettingsError: a value does not fit, or the file cannot be written; nothing is changed then.

    """
    path = settings.home / FILE_NAME
    try:
        kept = (
            tomlkit.parse(path.read_text(encoding="utf-8")) if path.exists() else tomlkit.document()
        )
        for key, value in changes.items():
            if value in ("", None, {}):
                kept.pop(key, None)
            else:
                kept[key] = value
        Settings.model_validate({"home": settings.home, **kept.unwrap()})
        _write(path, tomlkit.dumps(kept))
    except ValidationError as error:
        faults = plain_faults(error.errors())
        raise SettingsError(faults, where=str(path), remedy=gettext("Correct the value")) from error
    except (OSError, TOMLKitError) as error:
        raise SettingsError(
            gettext("cannot be written: %(error)s", error=error),
            where=str(path),
            remedy=gettext("Correct the file, or make it writable"),
        ) from error
    return load_settings(settings.home)


def follow_farm(settings: Settings, was: str, now: str) -> Settings:
    """Return the settings with a farm's new name where they name the farm by its old one."""
    return keep_settings(settings, {"farm": now}) if settings.farm == was else settings


def _write(path: Path, text: str) -> None:
    """Complete or not at all."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.NamedTemporaryFile(
        "w", dir=path.parent, prefix=".part-", delete=False, encoding="utf-8"
    ) as copy:
        copy.write(text)
        copy.flush()
        os.fsync(copy.fileno())
    Path(copy.name).replace(path)
