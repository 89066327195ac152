"""Who hears: the model, a second listener, the microphone, and measuring them on one's own sound."""

import tempfile
from pathlib import Path
from typing import Annotated, Any

import fastapi
from fastapi import APIRouter, Request, UploadFile
from fastapi.responses import HTMLResponse, Response
from pydantic import Field

from dictate.decoder.model_files import bundled_model, open_folder
from dictate.errors import DictateError, SoundError
from dictate.hearing.inspecting import check_model
from dictate.hearing.second_listener import check_folder
from dictate.sound import read_sound
from dictate.sound.levels import advise, measure_levels
from dictate.texts import gettext
from dictate.voice.kept import model_in_use
from dictate.web.desk import Desk, Form, TheDesk, back_to, page
from dictate.web.guard import OnThisComputer, Who
from dictate.web.pages.record import saved
from dictate.web.settings_file import keep_settings

router = APIRouter()
_HERE = "/settings/hearing"
_MICROPHONE = "/settings/microphone"
_MOST_JUDGED = 120.0
"""Seconds of sound that are judged; a note is shorter."""


class InFolder(Form):
    folder: str = Field(default="", max_length=1000)
    sure: bool = False


@router.get(_HERE, response_class=HTMLResponse)
def hearing(request: Request, desk: TheDesk, person: Who) -> HTMLResponse:
    """Who hears, and what can be changed about it."""
    return _page(request, desk, allowed=not person.paired)


@router.post(f"{_HERE}/model")
def use_model(
    request: Request, desk: TheDesk, person: OnThisComputer, form: Annotated[InFolder, fastapi.Form()]
) -> Response:  # fmt: skip
    """Use another Vosk model once it was checked, or the bundled one again when none is named."""
    try:
        found = check_model(_path(form.folder)) if form.folder.strip() else None
        if found is not None and not found.fit and not form.sure:
            return _page(request, desk, lacking=found, folder=form.folder)
        changes = {"model": form.folder.strip()}
        desk.settings = keep_settings(desk.settings, changes)
    except DictateError as error:
        return _page(request, desk, fault=error)
    person.notice = gettext(
        "%(model)s hears from the next note on.",
        model=found.name if found else gettext("The bundled model"),
    )
    return back_to(_HERE)


@router.post(f"{_HERE}/second")
def use_second(
    request: Request, desk: TheDesk, person: OnThisComputer, form: Annotated[InFolder, fastapi.Form()]
) -> Response:  # fmt: skip
    """Let a second listener hear doubtful notes again, or no longer when no folder is named."""
    try:
        folder = _path(form.folder) if form.folder.strip() else None
        if folder is not None:
            check_folder(folder)
        desk.settings = keep_settings(desk.settings, {"second_listener": form.folder.strip()})
        desk.listen_again()
    except DictateError as error:
        return _page(request, desk, fault=error)
    person.notice = (
        gettext("Doubtful notes are heard again by it.")
        if folder
        else gettext("No second listener hears any more.")
    )
    return back_to(_HERE)


@router.post(f"{_HERE}/measure")
def measure(
    request: Request, desk: TheDesk, _person: OnThisComputer, form: Annotated[InFolder, fastapi.Form()]
) -> Response:  # fmt: skip
    """Measure what hears now, and the bundled model beside it, on a folder of sound."""
    used = model_in_use(desk.settings)
    engines = ["bundled"] if used == bundled_model() else [str(used), "bundled"]
    try:
        desk.measuring.start(_path(form.folder), engines)
    except DictateError as error:
        return _page(request, desk, fault=error)
    return back_to(f"{_HERE}#measure")


@router.get(f"{_HERE}/measured", response_class=HTMLResponse)
def measured(request: Request, _person: Who) -> HTMLResponse:
    """How far measuring is."""
    return page(request, "_measured.html")


@router.get(_MICROPHONE, response_class=HTMLResponse)
def microphone(request: Request, _person: Who) -> HTMLResponse:
    """Say a note, and see whether the sound will do."""
    return page(request, "microphone.html")


@router.post(f"{_MICROPHONE}/speak")
def judge(request: Request, _person: Who, file: UploadFile) -> HTMLResponse:
    """Judge a recording: how loud, how noisy, and what to change. Nothing of it is kept."""
    with tempfile.TemporaryDirectory() as folder:
        sound = read_sound(saved(file, Path(folder), "judged"))
    if sound.seconds > _MOST_JUDGED:
        seconds = round(sound.seconds)
        raise SoundError(
            gettext("%(seconds)s seconds are too long", seconds=seconds),
            remedy=gettext("Say one note"),
        )
    levels = measure_levels(sound)
    shown = "_judged.html" if request.headers.get("x-part") else "microphone.html"
    advice = advise(levels, silent=sound.silent)
    return page(request, shown, levels=levels, advice=advice)


def _page(request: Request, desk: Desk, *, allowed: bool = True, **values: Any) -> HTMLResponse:
    used = model_in_use(desk.settings)
    try:
        name = open_folder(used).name
    except DictateError as error:
        name = error.line
    return page(
        request,
        "hearing_settings.html",
        status=422 if "fault" in values or "lacking" in values else 200,
        allowed=allowed,
        settings=desk.settings,
        name=name,
        bundled=used == bundled_model(),
        values=values,
    )


def _path(given: str) -> Path:
    return Path(given.strip()).expanduser()
