"""Running the demo day in a folder of its own, and counting honestly what came out."""

import shutil
import time
from dataclasses import dataclass
from pathlib import Path

from sqlmodel import Session

from dictate.demo.replaying import Replayed, count_exact, replay, same_sites
from dictate.demo.script import Script, ScriptedNote, read_script
from dictate.entry.values import EntryValues
from dictate.errors import StoreError
from dictate.exchange.roster import read_roster
from dictate.large_work import Watcher
from dictate.notes.hearing_clips import OpenEngine
from dictate.notes.pipeline import run_batch
from dictate.notes.taking_in import Where, find_files
from dictate.record.rows import FollowUpRow
from dictate.settings import Settings
from dictate.sheets.visit_sheet import write_sheet
from dictate.store.clips import entries_of_note, entries_of_visit, heard_text, note_of_file
from dictate.store.database import Database, open_database
from dictate.store.due_lines import what_about
from dictate.store.farms import farm_by_name
from dictate.store.record_queries import Scope, follow_up_rows
from dictate.store.roster import take_in_roster
from dictate.store.states import EntryState
from dictate.store.visits import find_visit

_MARKER = "made by dictate demo"


@dataclass(frozen=True, slots=True, kw_only=True)
class ClipResult:
    """One clip before review."""

    clip: str
    said: str
    heard: str
    entries: tuple[EntryValues, ...]
    """As they waited in the queue."""
    wanted: int
    """Entries that a right hearing gives."""
    exact: int
    """Entries that came out exactly right."""
    sites_right: bool
    """Right animals, feet and lesions; for talk and noise: nothing was read into it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoResult:
    """The whole day."""

    clips: tuple[ClipResult, ...]
    replayed: Replayed
    confirmed: tuple[tuple[int, EntryValues], ...]
    """Entry number and values, as they stand in the record."""
    follow_ups: tuple[FollowUpRow, ...]
    about: dict[int, str]
    """Foot, claw and lesion or block of each follow-up, by its id."""
    model: str
    database: str
    sheet: Path
    seconds: float

    @property
    def exact(self) -> int:
        return sum(clip.exact for clip in self.clips)

    @property
    def wanted(self) -> int:
        return sum(clip.wanted for clip in self.clips)

    @property
    def spoken(self) -> tuple[ClipResult, ...]:
        """Clips that hold something to record."""
        return tuple(clip for clip in self.clips if clip.wanted)

    @property
    def empty(self) -> tuple[ClipResult, ...]:
        """Clips of talk or noise, from which nothing may come out."""
        return tuple(clip for clip in self.clips if not clip.wanted)


def run_demo(
    audio: Path, out: Path, settings: Settings, open_engine: OpenEngine, *, watcher: Watcher
) -> DemoResult:
    """Hear the demo day, review it by its script and write the record and the sheet into `out`.

    Args:
        audio: Folder with the clips, `notes.toml` and `roster.csv`.
        out: Folder to write to; what an earlier demo left there is replaced.
        settings: The user's; only the paper is taken from them.
        open_engine: Gives the recogniser for the roster.
        watcher: Told what happens.

    Raises:
        StoreError: the folder holds something else, or cannot be written.
        ModelError: the recogniser cannot be opened.
    """
    began = time.monotonic()
    script = read_script(audio)
    _clear(out)
    own = Settings(home=out, trimmer=script.trimmer, farm=script.farm, paper=settings.paper)
    with open_database(own.database_url) as database:
        _take_roster_in(database, script, audio / "roster.csv")
        where = Where(farm=script.farm, date=script.date, whole_herd=False)
        run_batch(database, own, find_files([audio]), where, open_engine, watcher=watcher)
        with database.reading() as session:
            clips = tuple(_result(session, note) for note in script.note)
        replayed = replay(database, own, script)
        with database.reading() as session:
            visit = find_visit(session, farm=script.farm, date=script.date)
            sheet = write_sheet(session, own, visit, out=out / "visit-sheet.html")
            due = follow_up_rows(session, Scope(visit_id=visit.id))
            return DemoResult(
                clips=clips,
                replayed=replayed,
                confirmed=_confirmed(session, visit.id),
                follow_ups=tuple(due),
                about=what_about(session, due),
                model=_model(session, script),
                database=own.database_url.removeprefix("sqlite:///"),
                sheet=sheet,
                seconds=time.monotonic() - began,
            )


def _clear(out: Path) -> None:
    """Empty the folder of an earlier demo; anything else is left alone."""
    marker = out / "README.txt"
    try:
        if out.exists() and any(out.iterdir()):
            if not marker.is_file() or _MARKER not in marker.read_text(encoding="utf-8"):
                raise StoreError(
                    "this folder holds something else",
                    where=str(out),
                    remedy="Name an empty one with --out",
                )
            shutil.rmtree(out)
        out.mkdir(parents=True, exist_ok=True)
        marker.write_text(
            f"This folder was {_MARKER}; running it again replaces it.\n", encoding="utf-8"
        )
    except OSError as error:
        raise StoreError(
            f"cannot be written: {error.strerror}",
            where=str(out),
            remedy="Name another folder with --out",
        ) from error


def _take_roster_in(database: Database, script: Script, path: Path) -> None:
    if path.exists():
        lines = read_roster(path).lines
        with database.writing() as session:
            farm = farm_by_name(session, script.farm, make=True)
            take_in_roster(session, farm, lines, by=script.trimmer)


def _result(session: Session, note: ScriptedNote) -> ClipResult:
    found = note_of_file(session, note.clip)
    entries = entries_of_note(session, found.id) if found else []
    read = tuple(entry.values for entry in entries)
    return ClipResult(
        clip=note.clip,
        said=note.said,
        heard=heard_text(found) if found else "",
        entries=read,
        wanted=len(note.entries),
        exact=count_exact(read, note.entries),
        sites_right=same_sites(read, note.entries),
    )


def _confirmed(session: Session, visit_id: int) -> tuple[tuple[int, EntryValues], ...]:
    return tuple(
        (entry.id, entry.values)
        for entry in entries_of_visit(session, visit_id)
        if entry.state == EntryState.CONFIRMED
    )


def _model(session: Session, script: Script) -> str:
    """What heard the first clip, as it stands beside every note."""
    found = note_of_file(session, script.note[0].clip)
    return found.model if found else ""
