"""Speaking notes on the page: clips from a phone are kept, heard and queued; each counts once."""

import datetime as dt
import re
import secrets
import shutil
import tempfile
from pathlib import Path
from typing import Annotated

import fastapi
from fastapi import APIRouter, BackgroundTasks, Request, UploadFile
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from pydantic import Field

from dictate.errors import NotFoundError, SoundError
from dictate.large_work import Silent
from dictate.notes.taking_in import Fate, TakenIn, Where, take_in
from dictate.notes.unfinished import unfinished
from dictate.sound import has_speech, read_sound
from dictate.sound.cut_notes import is_long
from dictate.store.clips import entry_by_id
from dictate.store.farms import roster_of
from dictate.store.overview import unheard_count
from dictate.store.record_queries import farm_rows
from dictate.store.visits import place_of
from dictate.texts import gettext
from dictate.web.desk import Desk, Form, TheDesk, back_to, page
from dictate.web.guard import Who
from grammar import parse
from grammar.hear.words import UNKNOWN

router = APIRouter()
_SUFFIXES = frozenset(
    ".wav .flac .mp3 .m4a .aac .ogg .opus .oga .webm .mp4 .3gp .amr .aif .aiff".split()
)
_MOST_SPOKEN = 60.0
"""Seconds of a note that is spoken again in a fix."""


_SHORT_BYTES = 200_000
"""A smaller file is no long recording: a quarter of an hour takes more at a phone's lowest bit rate."""


class GoOn(Form):
    path: str = Field(max_length=4000)


@router.get("/record", response_class=HTMLResponse)
def record_page(request: Request, desk: TheDesk, _person: Who) -> HTMLResponse:
    """The page with the one big button."""
    with desk.database.reading() as session:
        farms = [farm.name for farm in farm_rows(session)]
        left = unheard_count(session)
    begun = unfinished(desk.settings)
    return page(
        request, "record.html", farms=farms, today=desk.today(), left=left, unfinished=begun
    )


@router.post("/record/clips")
def take_clip(
    request: Request,
    desk: TheDesk,
    person: Who,
    later: BackgroundTasks,
    file: UploadFile,
    farm: Annotated[str, fastapi.Form(min_length=1, max_length=100)],
    date: Annotated[dt.date, fastapi.Form()],
    at: Annotated[dt.datetime | None, fastapi.Form()] = None,
) -> Response:
    """Take one clip in; the same clip sent twice is kept once. A long recording is cut into notes."""
    where = Where(farm=farm.strip(), date=date)
    plain = "application/json" not in request.headers.get("accept", "")
    if (long := _long_recording(desk, file)) is not None:
        later.add_task(desk.take_recording, long, where)
        person.notice = gettext(
            "Kept. Its notes are being found and heard; Today shows how far it is."
        )
        told = {"fate": "long", "message": ""}
        return back_to("/") if plain else JSONResponse(told)
    taken = _take_one(desk, file, at, where)
    if taken.fate is not Fate.REFUSED:
        later.add_task(desk.hear_waiting_clips)
    if not plain:
        told = {"fate": taken.fate.value, "message": taken.message}
        return JSONResponse(told, status_code=422 if taken.fate is Fate.REFUSED else 200)
    if taken.fate is Fate.REFUSED:
        raise SoundError(taken.message, remedy=gettext("Choose another file"))
    person.notice = {
        Fate.NEW: gettext("Kept. It is being heard now and then waits in the queue."),
        Fate.KNOWN: gettext("This sound was here already; nothing was added."),
    }[taken.fate]
    return back_to("/record")


@router.post("/record/go-on")
def go_on(
    desk: TheDesk, person: Who, later: BackgroundTasks, form: Annotated[GoOn, fastapi.Form()]
) -> RedirectResponse:
    """Go on with a recording that was not taken in to its end."""
    begun = next(
        (one for one in unfinished(desk.settings) if str(one.path) == form.path and one.there), None
    )
    if begun is None:
        raise NotFoundError(
            gettext("this recording is not there any more"), remedy=gettext("Take it in again")
        )
    later.add_task(desk.take_recording, begun.path, begun.where, everybody=begun.everybody)
    person.notice = gettext("It goes on. Today shows how far it is.")
    return RedirectResponse("/", status_code=303, background=later)


@router.post("/entries/{entry_id}/speak")
def speak(desk: TheDesk, _person: Who, entry_id: int, file: UploadFile) -> JSONResponse:
    """Hear what was spoken to correct an entry; nothing is kept, the words go into the form.

    `whole` says that an animal was named: the words are the note anew, not a part of it.
    """
    with desk.database.reading() as session:
        visit = place_of(session, entry_by_id(session, entry_id).visit_id).visit
        roster = roster_of(session, visit.farm_id)
    with tempfile.TemporaryDirectory() as folder:
        sound = read_sound(saved(file, Path(folder), "again"))
        if sound.seconds > _MOST_SPOKEN:
            seconds = round(sound.seconds)
            raise SoundError(
                gettext("%(seconds)s seconds are too long", seconds=seconds),
                remedy=gettext("Say one note"),
            )
        heard = desk.hear(sound, roster) if has_speech(sound) else ""
    words = [word for word in heard.split() if word != UNKNOWN]
    whole = any(entry.animal for entry in parse(words, roster=roster).entries)
    return JSONResponse({"text": " ".join(words), "whole": whole})


def _long_recording(desk: Desk, file: UploadFile) -> Path | None:
    """Where a recording of many notes was put; None for the sound of one note."""
    if (file.size or 0) < _SHORT_BYTES:
        return None
    desk.sent.mkdir(parents=True, exist_ok=True)
    path = saved(file, desk.sent, f"{secrets.token_hex(4)} {_plain_name(file.filename)}")
    try:
        if is_long(path):
            return path
    except SoundError:  # taking it in says what is wrong with it
        pass
    path.unlink()
    file.file.seek(0)
    return None


def _take_one(desk: Desk, file: UploadFile, at: dt.datetime | None, where: Where) -> TakenIn:
    with tempfile.TemporaryDirectory() as folder:
        # The name carries the time of recording; a name from outside is used only for show.
        name = f"{at:%Y-%m-%d %H.%M.%S}" if at else _plain_name(file.filename)
        path = saved(file, Path(folder), name)
        return take_in(desk.database, desk.settings, [path], where, watcher=Silent())[0]


def saved(file: UploadFile, folder: Path, name: str) -> Path:
    """Write a sound that a browser sent into a folder, under a name of ours with its own ending."""
    suffix = Path(file.filename or "").suffix.lower()
    if suffix not in _SUFFIXES:
        raise SoundError(gettext("“%(ending)s” is no kind of sound file known here", ending=suffix or gettext("no ending")),
                         remedy=gettext("Known are %(endings)s", endings=", ".join(sorted(_SUFFIXES))))  # fmt: skip
    path = folder / f"{name}{suffix}"
    with path.open("wb") as copy:
        shutil.copyfileobj(file.file, copy)
    return path


def _plain_name(name: str | None) -> str:
    stem = Path(name or "").stem
    return re.sub(r"[^\w .-]+", "_", stem)[:80].strip(" .") or "clip"
