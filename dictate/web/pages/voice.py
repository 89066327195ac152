"""Your voice: how a person is heard, reading lines aloud for it, and learning beside the page."""

import math
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Annotated, Any

import fastapi
from fastapi import APIRouter, Request, UploadFile
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse
from pydantic import Field

from dictate.errors import SoundError
from dictate.sound import read_sound
from dictate.texts import gettext
from dictate.voice import evening, getting
from dictate.voice.kept import forget_voice, use_voice, voices, voices_folder
from dictate.voice.needs import can_learn
from dictate.web.desk import Desk, Form, TheDesk, back_to, page
from dictate.web.guard import OnThisComputer, Who

if TYPE_CHECKING:
    from dictate.voice.reading import Readings

router = APIRouter()
_LINES = 30
"""Read at a time; then thirty more are offered."""
_LONGEST = 45.0
"""Seconds of one line, or of machines."""


class Version(Form):
    version: str = Field(max_length=40)
    whose: str = Field(max_length=200)


@router.get("/voice", response_class=HTMLResponse)
def voice_page(request: Request, desk: TheDesk, _person: Who) -> HTMLResponse:
    """How people are heard, and what may be done about it."""
    from dictate.voice.report import of_a_hundred_kept  # noqa: PLC0415 (slow to load)

    kept = list(voices(desk.settings))
    read = len(_readings(desk).read)
    return page(
        request,
        "voice.html",
        voices=[(one, of_a_hundred_kept(one.card)) for one in kept],
        read=read,
        lines=_lines(read),
        mine=read or any(one.card.name == desk.settings.trimmer for one in kept),
        **_learning(desk),
    )


@router.get("/voice/learning", response_class=HTMLResponse)
def learning(request: Request, desk: TheDesk, _person: Who) -> HTMLResponse:
    """How far learning is; fetched again and again while it runs."""
    return page(request, "_learning.html", **_learning(desk))


@router.post("/voice/learn")
def learn(desk: TheDesk, person: Who, _form: Annotated[Form, fastapi.Form()]) -> RedirectResponse:
    """Start learning the trimmer's voice beside the page."""
    evening.start(desk.settings)
    person.notice = gettext("Your voice is being learnt; what came of it will stand here.")
    return back_to("/voice")


@router.post("/voice/get")
def get(
    desk: TheDesk, _person: OnThisComputer, _form: Annotated[Form, fastapi.Form()]
) -> RedirectResponse:
    """Get what learning needs, from the internet, beside the page."""
    getting.start(desk.settings)
    return back_to("/voice")


@router.post("/voice/stop")
def stop(desk: TheDesk, person: Who, _form: Annotated[Form, fastapi.Form()]) -> RedirectResponse:
    """Stop learning; the next start goes on from there."""
    evening.stop(desk.settings)
    person.notice = gettext("Stopped. Learning goes on from there when you start it again.")
    return back_to("/voice")


@router.post("/voice/use")
def use(desk: TheDesk, person: Who, form: Annotated[Version, fastapi.Form()]) -> RedirectResponse:
    """Hear with another version of a voice from the next note on, or with none."""
    use_voice(desk.settings, form.version, who=form.whose)
    person.notice = gettext(
        "%(name)s is heard with %(version)s from the next note on.",
        name=form.whose,
        version=form.version,
    )
    return back_to("/voice")


@router.post("/voice/forget")
def forget(desk: TheDesk, person: Who, _form: Annotated[Form, fastapi.Form()]) -> RedirectResponse:
    """Drop the trimmer's voice with what was read for it; notes and their sound stay."""
    with evening.alone(desk.settings, desk.settings.trimmer):
        forget_voice(desk.settings)
    person.notice = gettext("The voice of %(name)s is forgotten.", name=desk.settings.trimmer)
    return back_to("/voice")


@router.get("/voice/read", response_class=HTMLResponse)
def read_page(request: Request, desk: TheDesk, _person: Who, *, more: bool = False) -> HTMLResponse:
    """The lines that are still to be read aloud; `more` begins the next thirty."""
    from dictate.voice.own_speech import prompts_for  # noqa: PLC0415 (slow to load)

    readings = _readings(desk)
    read = len(readings.read)
    lines = _lines(read + more)
    prompts = prompts_for(desk.database, desk.settings.trimmer, count=lines)
    left = list(readings.left(prompts))[: lines - read]
    return page(request, "voice_read.html", prompts=left, read=read, lines=lines)


@router.post("/voice/readings")
def take(
    desk: TheDesk,
    _person: Who,
    file: UploadFile,
    prompt: Annotated[str, fastapi.Form(max_length=400)] = "",
    instead: Annotated[str, fastapi.Form(pattern=r"^(\d{3,8})?$")] = "",
) -> JSONResponse:
    """Judge one recording and keep it when it is usable; no prompt is the machines alone."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "reading.wav"
        path.write_bytes(file.file.read())
        sound = read_sound(path)
    if sound.seconds > _LONGEST:
        seconds = round(sound.seconds)
        raise SoundError(
            gettext("%(seconds)s seconds are too long", seconds=seconds),
            remedy=gettext("Read one line"),
        )
    readings = _readings(desk)
    taken = readings.judge(" ".join(prompt.split()), sound.samples)
    kept = readings.keep(taken, instead=instead).stem if taken.usable else ""
    return JSONResponse({"kept": kept, "advice": list(taken.advice), "read": len(readings.read)})


def _lines(read: int) -> int:
    """How many lines there are to read in all, when so many are read."""
    return _LINES * max(1, math.ceil(read / _LINES))


def _readings(desk: Desk) -> "Readings":
    from dictate.voice.own_speech import readings_folder  # noqa: PLC0415 (slow to load)
    from dictate.voice.reading import Readings  # noqa: PLC0415

    return Readings(readings_folder(desk.settings))


def _learning(desk: Desk) -> dict[str, Any]:
    from dictate.voice.how_far import HowFar  # noqa: PLC0415

    learns = evening.is_learning(desk.settings)
    gets = getting.is_getting(desk.settings)
    able = not gets and can_learn()
    over_network, on_disk = getting.size_mb(desk.settings)
    return {
        "getting": getting.how_far(desk.settings) if gets else None,
        "can_learn": able,
        "fault": "" if gets or able else getting.fault(desk.settings),
        "refusal": "" if gets or able else getting.refusal(desk.settings),
        "line": getting.line(desk.settings),
        "over_network": over_network,
        "on_disk": on_disk,
        "learning": learns,
        "far": HowFar.read(voices_folder(desk.settings)) if learns else None,
        "told": [] if learns else evening.last_told(desk.settings),
        "may_stop": evening.may_stop(desk.settings),
    }
