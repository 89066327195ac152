"""Long recordings among the files to take in: each is replaced by the notes cut out of it."""

import datetime as dt
import shutil
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from dictate.errors import SoundError, StoreError
from dictate.large_work import Watcher
from dictate.notes.taking_in import Where
from dictate.notes.unfinished import begin, end
from dictate.settings import Settings
from dictate.sound import LONGEST_SECONDS, describe, recorded_at
from dictate.sound.cut_notes import cut_recording, is_long


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenedUp:
    """Files that each hold one clip."""

    files: tuple[Path, ...]
    recordings: tuple[Path, ...] = ()
    """The long ones among them, which stay named as unfinished until `tidy`."""
    faults: tuple[str, ...] = ()
    """One message for each recording that could not be cut to its end."""


def open_up(
    settings: Settings,
    files: Sequence[Path],
    *,
    where: Where | None = None,
    everybody: bool = False,
    longest: float = LONGEST_SECONDS,
    watcher: Watcher,
) -> OpenedUp:
    """Replace every long recording by its notes; other files, good or bad, stay as they are.

    An interrupted run goes on at the recording's last finished minute.

    Args:
        settings: Where the cut notes are put until they are taken in.
        files: Files to take in.
        where: The visit they belong to; with it an interrupted recording is found again.
        everybody: Cut the voices of others in the shed too.
        longest: Seconds from which a file is a long recording.
        watcher: Told about the minutes and the faults.

    Raises:
        StoreError: the home folder cannot be written.
    """
    found: list[Path] = []
    recordings: list[Path] = []
    faults: list[str] = []
    for path in files:
        try:
            if not is_long(path, longest=longest):
                found.append(path)
                continue
            if where is not None:
                begin(settings, path, where, everybody=everybody)
            recordings.append(path)
            minutes = round((describe(path).seconds or 0) / 60)
            watcher.stage(f"finding notes in {path.name}", minutes)
            cut = cut_recording(
                path, _folder(settings), everybody=everybody, on_minute=lambda _: watcher.step()
            )
            if settings.keep == "all":
                _keep_whole(settings, path, cut.sha256)
        except SoundError:  # taking it in says what is wrong with it
            end(settings, path)
            found.append(path)
        except OSError as error:
            raise StoreError(
                f"the notes cannot be cut: {error.strerror or error}",
                where=str(_folder(settings)),
                remedy="Free some space, and run the same command again",
            ) from error
        else:
            found += cut.files
            if cut.fault:
                faults.append(cut.fault)
                watcher.fault(cut.fault)
    return OpenedUp(files=tuple(found), recordings=tuple(recordings), faults=tuple(faults))


def tidy(settings: Settings, opened: OpenedUp) -> None:
    """Once its notes are taken in: remove the cut files, and count the recordings as finished.

    The list of the notes' places stays.
    """
    for path in opened.recordings:
        end(settings, path)
    for file in _folder(settings).glob("*/*.flac"):
        file.unlink(missing_ok=True)


def whole_folder(settings: Settings) -> Path | None:
    """Where whole recordings are kept; None where the settings keep none."""
    return _whole(settings) if settings.keep == "all" else None


def kept_recordings(settings: Settings, *, before: dt.date | None) -> Iterator[Path]:
    """Whole recordings that are kept, of days before `before`; their names begin with the day."""
    for path in sorted(_whole(settings).glob("*")):
        if before is None or path.name[:8] < f"{before:%Y%m%d}":
            yield path


def _keep_whole(settings: Settings, path: Path, sha256: str) -> None:
    moment = recorded_at(path).moment
    target = _whole(settings) / f"{moment:%Y%m%d_%H%M%S}-{sha256[:12]}{path.suffix.lower()}"
    if target.exists():
        return
    target.parent.mkdir(parents=True, exist_ok=True)
    part = target.with_suffix(".part")
    shutil.copy2(path, part)
    part.replace(target)


def _whole(settings: Settings) -> Path:
    return _folder(settings) / "whole"


def _folder(settings: Settings) -> Path:
    return settings.home / "recordings"
