"""Long recordings among the files to take in: each is replaced by the notes cut out of it."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from dictate.errors import SoundError, StoreError
from dictate.notes.watcher import Watcher
from dictate.settings import Settings
from dictate.sound import LONGEST_SECONDS, describe
from dictate.sound.cut_notes import cut_recording, is_long

__all__ = ["OpenedUp", "open_up", "tidy"]


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenedUp:
    """Files that each hold one clip."""

    files: tuple[Path, ...]
    faults: tuple[str, ...] = ()
    """One message for each recording that could not be cut to its end."""


def open_up(
    settings: Settings,
    files: Sequence[Path],
    *,
    everybody: bool = False,
    longest: float = LONGEST_SECONDS,
    watcher: Watcher,
) -> OpenedUp:
    """Replace every long recording by its notes; other files, good or bad, stay as they are.

    An interrupted run goes on at the recording's last finished minute.

    Args:
        settings: Where the cut notes are put until they are taken in.
        files: Files to take in.
        everybody: Cut the voices of others in the shed too.
        longest: Seconds from which a file is a long recording.
        watcher: Told about the minutes and the faults.

    Raises:
        StoreError: the home folder cannot be written.
    """
    found: list[Path] = []
    faults: list[str] = []
    for path in files:
        try:
            if not is_long(path, longest=longest):
                found.append(path)
                continue
            minutes = round((describe(path).seconds or 0) / 60)
            watcher.stage(f"finding notes in {path.name}", minutes)
            cut = cut_recording(
                path,
                _folder(settings),
                everybody=everybody,
                on_minute=lambda _: watcher.step(),
            )
        except SoundError:  # taking it in says what is wrong with it
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
    return OpenedUp(files=tuple(found), faults=tuple(faults))


def tidy(settings: Settings) -> None:
    """Remove cut notes once they are taken in; the list of their places stays."""
    for file in _folder(settings).glob("*/*.flac"):
        file.unlink(missing_ok=True)


def _folder(settings: Settings) -> Path:
    return settings.home / "recordings"
