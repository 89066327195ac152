"""Voices in the home folder: whose they are, which one is used, and forgetting them.

`voices/<trimmer>/<version>/` is a complete model; `voices/<trimmer>/in-use` names the version that
hears, or nothing. The version before is kept, so that one may go back to it.
"""

import datetime as dt
import hashlib
import logging
import re
import shutil
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from pathlib import Path

from dictate.decoder.model_files import bundled_model, open_folder
from dictate.errors import ModelError, NotFoundError
from dictate.settings import Settings
from dictate.voice.model_folder import VoiceCard, read_voice

BUNDLED = "bundled"
_IN_USE = "in-use"
_LEARNING = "learning"
_KEPT = 2
"""Versions kept of each person's voice."""

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptVoice:
    """One version of one person's voice."""

    version: str
    folder: Path
    card: VoiceCard
    used: bool


def voices_folder(settings: Settings, who: str | None = None) -> Path:
    """Folder of one person's voices, named so that every system takes it."""
    name = who or settings.trimmer
    plain = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")
    mark = hashlib.sha256(name.encode(errors="surrogatepass")).hexdigest()[:6]
    return settings.home / "voices" / f"{plain or 'voice'}-{mark}"


def work_folder(settings: Settings, who: str | None = None) -> Path:
    """Where a voice that is being learnt lies until it is done."""
    return voices_folder(settings, who) / _LEARNING


def base_model(settings: Settings) -> Path:
    """The model that voices are learnt on top of."""
    return settings.model or bundled_model()


def model_in_use(settings: Settings, given: Path | None = None, *, who: str | None = None) -> Path:
    """The model that hears a person: the one that is named, their voice, or the one for everybody.

    A damaged voice is left aside with a warning: hearing goes on.
    """
    if given is not None:
        return given
    folder = voices_folder(settings, who)
    version = _in_use(folder)
    if version is None:
        return base_model(settings)
    try:
        return open_folder(folder / version).path
    except ModelError as error:
        _log.warning("voice_unusable %s", error.line)
        return base_model(settings)


def voices(settings: Settings) -> Iterator[KeptVoice]:
    """Every kept voice, by person, the newest first."""
    root = settings.home / "voices"
    for folder in sorted(root.iterdir()) if root.is_dir() else ():
        used = _in_use(folder)
        for version in reversed(_versions(folder)):
            card = read_voice(folder / version)
            if card:
                yield KeptVoice(
                    version=version, folder=folder / version, card=card, used=version == used
                )


def keep_voice(settings: Settings, learnt: Path, *, who: str, on: dt.date) -> str:
    """Put a learnt model in its place and use it from now on; returns its version."""
    folder = voices_folder(settings, who)
    folder.mkdir(parents=True, exist_ok=True)
    taken = set(_versions(folder))
    names = (f"{on}" if n == 1 else f"{on}-{n}" for n in range(1, 100))
    version = next(name for name in names if name not in taken)
    learnt.rename(folder / version)
    _write_in_use(folder, version)
    for old in [one for one in _versions(folder) if one != version][: -(_KEPT - 1)]:
        shutil.rmtree(folder / old, ignore_errors=True)
    return version


def use_voice(settings: Settings, version: str, *, who: str | None = None) -> None:
    """Use a kept version from now on, or `bundled`: no voice.

    Raises:
        NotFoundError: no such version.
        ModelError: it is damaged.
    """
    folder = voices_folder(settings, who)
    if version == BUNDLED:
        (folder / _IN_USE).unlink(missing_ok=True)
        return
    if version not in _versions(folder):
        raise NotFoundError(
            f"no voice {version} of {who or settings.trimmer}", remedy="See `dictate voice list`"
        )
    open_folder(folder / version)
    _write_in_use(folder, version)


def forget_voice(settings: Settings, *, who: str | None = None) -> int:
    """Drop a person's voices, readings and half-done work; returns how many versions there were."""
    folder = voices_folder(settings, who)
    count = len(_versions(folder))
    (folder / _IN_USE).unlink(missing_ok=True)  # first: what is used is whole or not there
    shutil.rmtree(folder, ignore_errors=True)
    return count


def copy_voices(source: Path, target: Path) -> None:
    """Bring the voices and readings of a back-up up to date, or back; half-done work stays behind.

    Versions never change, so only new ones are copied, each under its name once it is whole.
    """
    for folder in sorted(source.glob("*")):
        for path in sorted(folder.glob("*")):
            there = target / folder.name / path.name
            if path.name == _LEARNING or path.name.endswith(".draft"):
                continue
            there.parent.mkdir(parents=True, exist_ok=True)
            if path.is_file():
                shutil.copyfile(path, there)
            elif path.name == "readings":
                shutil.copytree(path, there, dirs_exist_ok=True)
            elif not there.exists():
                part = there.with_name(f".part-{there.name}")
                shutil.rmtree(part, ignore_errors=True)
                shutil.copytree(path, part)
                part.rename(there)


def of_sounds(settings: Settings, gone: Collection[str]) -> list[KeptVoice]:
    """Voices that were learnt from any of these sounds, by SHA-256."""
    return [one for one in voices(settings) if not set(gone).isdisjoint(one.card.learnt_from)]


def _versions(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.glob("*-*-*") if (path / "voice.toml").is_file())


def _in_use(folder: Path) -> str | None:
    try:
        version = (folder / _IN_USE).read_text("utf-8").strip()
    except OSError:
        return None
    return version if version in _versions(folder) else None


def _write_in_use(folder: Path, version: str) -> None:
    draft = folder / f"{_IN_USE}.draft"
    draft.write_text(version, "utf-8")
    draft.replace(folder / _IN_USE)
