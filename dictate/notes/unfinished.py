"""Long recordings that were begun and not taken in to their end: named, and gone on with."""

import datetime as dt
import hashlib
import json
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from pydantic import BaseModel, ConfigDict, ValidationError

from dictate.notes.taking_in import Where
from dictate.settings import Settings
from dictate.written import write_whole


class _Kept(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    path: Path
    farm: str
    date: dt.date | None
    whole_herd: bool | None
    everybody: bool
    began: dt.datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Unfinished:
    """A recording that an interrupted run left, with how it was asked for."""

    path: Path
    where: Where
    everybody: bool
    began: dt.datetime
    minutes_done: int
    """Minutes searched for notes so far."""

    @property
    def there(self) -> bool:
        """Whether the recording can be gone on with."""
        return self.path.is_file()

    @property
    def line(self) -> str:
        """What it is and what to do, for a person."""
        told = f"{self.path.name} ({self.where.farm}) is not taken in to its end"
        if self.there:
            return f"{told}: dictate take-in goes on with it"
        return f"{told}, and is not at {self.path} any more: take it in again from where it is"


def begin(settings: Settings, path: Path, where: Where, *, everybody: bool) -> None:
    """Remember that a recording is being taken in."""
    kept = _Kept(
        path=Path(os.path.realpath(path)),  # a loop of links is no fault here
        farm=where.farm,
        date=where.date,
        whole_herd=where.whole_herd,
        everybody=everybody,
        began=dt.datetime.now(dt.UTC),
    )
    file = _file(settings, path)
    write_whole(file, kept.model_dump_json(indent=1))


def end(settings: Settings, path: Path) -> None:
    """Forget it: all its notes are taken in, or it turned out to be none."""
    _file(settings, path).unlink(missing_ok=True)


def unfinished(settings: Settings) -> list[Unfinished]:
    """Every recording that was begun and not ended, the oldest first."""
    return sorted(_read(settings), key=lambda one: one.began)


def _read(settings: Settings) -> Iterator[Unfinished]:
    for file in _folder(settings).glob("*.json"):
        try:
            kept = _Kept.model_validate_json(file.read_bytes())
        except (ValidationError, OSError):
            continue  # of a later version, or going this moment
        yield Unfinished(
            path=kept.path,
            where=Where(farm=kept.farm, date=kept.date, whole_herd=kept.whole_herd),
            everybody=kept.everybody,
            began=kept.began,
            minutes_done=_minutes(settings, kept.path),
        )


def _minutes(settings: Settings, path: Path) -> int:
    """How far the search for notes came: it keeps a file of its own after each minute."""
    for state in (settings.home / "recordings").glob(f"{_escaped(path.stem)}-*/unfinished.json"):
        try:
            return int(json.loads(state.read_bytes())["minutes"])
        except (OSError, ValueError, KeyError):
            continue
    return 0


def _escaped(name: str) -> str:
    return "".join(f"[{letter}]" if letter in "*?[" else letter for letter in name)


def _file(settings: Settings, path: Path) -> Path:
    name = hashlib.sha256(os.path.realpath(path).encode("utf-8", "surrogateescape")).hexdigest()
    return _folder(settings) / f"{name[:24]}.json"


def _folder(settings: Settings) -> Path:
    return settings.home / "recordings" / "begun"
