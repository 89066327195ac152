"""The home folder as a whole: copied with its sound and voices, proved, and put back."""

import datetime as dt
import shutil
from dataclasses import dataclass
from pathlib import Path

from dictate.settings import Settings
from dictate.store.backup import Checked, back_up, check_backup, check_sounds, copy_sounds
from dictate.store.restore import put_back
from dictate.store.sqlite_copy import sqlite_path
from dictate.voice.kept import copy_voices


@dataclass(frozen=True, slots=True, kw_only=True)
class HomeBackup:
    """A backup that was made and proved."""

    checked: Checked
    dropped: tuple[Path, ...]
    """Older backups that rotation removed."""
    sounds_copied: int
    sounds_missing: tuple[str, ...]
    """Names of clips whose sound is missing or altered at home."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PutBack:
    """A backup that was proved, and put back unless it was only checked."""

    checked: Checked
    kept: Path | None
    """Where what was there before is kept; None when nothing was, or nothing was put back."""
    sounds_missing: tuple[str, ...]


def back_up_home(
    settings: Settings, folder: Path, *, keep: int, with_sound: bool, now: dt.datetime
) -> HomeBackup:
    """Copy database, settings and taught terms, and with them sound and voices.

    Raises:
        NotFoundError, StoreError: as `back_up`.
    """
    made = back_up(
        sqlite_path(settings.database_url),
        folder,
        keep=keep,
        now=now,
        beside=sorted(settings.home.glob("*.toml")),
    )
    if with_sound:
        copy_voices(settings.home / "voices", folder / "voices")
    copied = copy_sounds(settings.sounds, folder / "sounds") if with_sound else 0
    gone = check_sounds(made.checked.path, folder / "sounds") if with_sound else ()
    return HomeBackup(
        checked=made.checked, dropped=made.dropped, sounds_copied=copied, sounds_missing=gone
    )


def check_home_backup(settings: Settings, file: Path) -> PutBack:
    """Prove a backup whole; nothing is changed.

    Raises:
        NotFoundError, StoreError: as `check_backup`.
    """
    checked = check_backup(file)
    return PutBack(checked=checked, kept=None, sounds_missing=_missing(settings, file))


def put_home_back(settings: Settings, file: Path, *, now: dt.datetime) -> PutBack:
    """Put a backup back with its missing sound; settings and voices only where there are none.

    Raises:
        NotFoundError, StoreError: as `put_back`; nothing is changed then.
    """
    checked = check_backup(file)
    kept = put_back(file, sqlite_path(settings.database_url), now=now)
    copy_sounds(file.parent / "sounds", settings.sounds)
    for path in file.parent.glob(f"{file.stem}.*.toml"):
        target = settings.home / path.name.removeprefix(f"{file.stem}.")
        if not target.exists():
            shutil.copyfile(path, target)
    if not (settings.home / "voices").exists():
        copy_voices(file.parent / "voices", settings.home / "voices")
    return PutBack(checked=checked, kept=kept, sounds_missing=_missing(settings, file))


def _missing(settings: Settings, file: Path) -> tuple[str, ...]:
    return check_sounds(file, file.parent / "sounds", settings.sounds)
