"""Keeping the record safe: backups made, checked and put back; sound kept or forgotten; looked over."""

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any, Literal

import fastapi
from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from pydantic import BeforeValidator, Field

from dictate.doctor import examine
from dictate.errors import DictateError, NotFoundError, ReviewError
from dictate.exchange.open_folder import write_open_folder
from dictate.notes.forgetting import forget_sound
from dictate.safekeeping import back_up_home, check_home_backup, put_home_back
from dictate.store.backup import Checked, backups_in
from dictate.texts import gettext, ngettext
from dictate.web.computer import plugged_in
from dictate.web.desk import Desk, Form, TheDesk, back_to, page
from dictate.web.guard import OnThisComputer, Who
from dictate.web.settings_file import keep_settings

router = APIRouter()
_HERE = "/settings/safe"
_KEPT = 14
"""Backups kept in a folder, as by the command."""
Folder = Annotated[str, Field(min_length=1, max_length=1000)]


class ToFolder(Form):
    folder: Folder
    sound: bool = False


class OfBackup(Form):
    name: str = Field(pattern=r"^record-[\w.-]+\.db$", max_length=200)


class KeepSound(Form):
    keep: Literal["notes", "all", "none"]
    keep_days: Annotated[
        Annotated[int, Field(ge=1, le=36_500)] | None, BeforeValidator(lambda given: given or None)
    ] = None


class Forgetting(Form):
    before: dt.date
    also_waiting: bool = False
    sure: bool = False


@router.get(_HERE, response_class=HTMLResponse)
def safe(request: Request, desk: TheDesk, person: Who) -> HTMLResponse:
    """What can be done to keep the record safe."""
    return _page(request, desk, allowed=not person.paired)


@router.post(f"{_HERE}/back-up")
def back_up(
    request: Request, desk: TheDesk, person: OnThisComputer, form: Annotated[ToFolder, fastapi.Form()]
) -> Response:  # fmt: skip
    """Copy everything to a folder and prove the copy; the folder is offered the next time."""

    def work() -> str:
        folder = _folder(form.folder)
        made = back_up_home(
            desk.settings, folder, keep=_KEPT, with_sound=form.sound, now=dt.datetime.now(dt.UTC)
        )
        desk.settings = keep_settings(desk.settings, {"backup_folder": str(folder)})
        lost = made.sounds_missing
        gone = (
            " "
            + ngettext(
                "%(num)s sound of it missing or altered here: %(names)s.",
                "%(num)s sounds of it missing or altered here: %(names)s.",
                len(lost),
                names=", ".join(lost[:5]),
            )
            if lost
            else ""
        )
        return gettext("Backed up and proved whole: %(rows)s.", rows=_rows(made.checked)) + gone

    return _done(request, desk, person, work)


@router.post(f"{_HERE}/check")
def check(
    request: Request, desk: TheDesk, person: OnThisComputer, form: Annotated[OfBackup, fastapi.Form()]
) -> Response:  # fmt: skip
    """Prove a backup whole; nothing is changed."""

    def work() -> str:
        found = check_home_backup(desk.settings, _backup(desk, form.name))
        lost = found.sounds_missing
        whole = (
            ngettext(
                "This backup is whole; the sound of %(num)s clip is missing or altered: %(names)s.",
                "This backup is whole; the sound of %(num)s clips is missing or altered: %(names)s.",
                len(lost),
                names=", ".join(lost[:5]),
            )
            if lost
            else gettext("This backup is whole, sound and all.")
        )
        return whole + " " + gettext("It holds %(rows)s.", rows=_rows(found.checked))

    return _done(request, desk, person, work)


@router.post(f"{_HERE}/put-back")
def put_back(
    request: Request, desk: TheDesk, person: OnThisComputer, form: Annotated[OfBackup, fastapi.Form()]
) -> Response:  # fmt: skip
    """Make the record what it was at a backup; what is there now is kept beside it."""

    def work() -> str:
        now = dt.datetime.now(dt.UTC)
        with desk.ears:  # nothing is heard into a record that is being replaced
            found = put_home_back(desk.settings, _backup(desk, form.name), now=now)
            desk.database.close()  # open connections may be those of a file that was moved aside
        put = gettext("Put back: %(rows)s.", rows=_rows(found.checked))
        kept = gettext("What was there before is kept as %(name)s.", name=found.kept)
        return f"{put} {kept}" if found.kept else put

    return _done(request, desk, person, work)


@router.post(f"{_HERE}/as-files")
def as_files(
    request: Request, desk: TheDesk, person: OnThisComputer, form: Annotated[ToFolder, fastapi.Form()]
) -> Response:  # fmt: skip
    """Write pages, tables and sound that open without the program to an empty folder."""

    def work() -> str:
        folder = _folder(form.folder)
        with desk.database.reading() as session:
            write_open_folder(session, desk.settings, folder)
        return gettext("Written. Open %(file)s in any browser.", file=folder / "index.html")

    return _done(request, desk, person, work)


@router.post(f"{_HERE}/sound")
def keep_sound(
    request: Request, desk: TheDesk, person: OnThisComputer, form: Annotated[KeepSound, fastapi.Form()]
) -> Response:  # fmt: skip
    """Set what sound is kept, and for how long."""

    def work() -> str:
        keep = "" if form.keep == "notes" else form.keep
        desk.settings = keep_settings(desk.settings, {"keep": keep, "keep_days": form.keep_days})
        return gettext("Kept.")

    return _done(request, desk, person, work)


@router.post(f"{_HERE}/forget")
def forget(
    request: Request, desk: TheDesk, person: OnThisComputer, form: Annotated[Forgetting, fastapi.Form()]
) -> Response:  # fmt: skip
    """Say which sound would be forgotten, and forget it once that was seen."""
    gone = forget_sound(
        desk.database,
        desk.settings,
        who=person.name,
        before=form.before,
        also_waiting=form.also_waiting,
        dry_run=not form.sure,
    )
    if not form.sure:
        return _page(request, desk, gone=gone, asked=form)
    size = f"{gone.bytes / 1e6:.1f}"
    person.notice = ngettext(
        "Forgotten: the sound of %(num)s note, %(size)s MB. The record stays as it was.",
        "Forgotten: the sound of %(num)s notes, %(size)s MB. The record stays as it was.",
        gone.clips,
        size=size,
    )
    return back_to(_HERE)


@router.post(f"{_HERE}/look-over")
def look_over(
    request: Request, desk: TheDesk, _person: OnThisComputer, _form: Annotated[Form, fastapi.Form()]
) -> HTMLResponse:
    """Check model, sound, database and disk."""
    return _page(request, desk, findings=examine(desk.settings.home))


def _done(request: Request, desk: Desk, person: Who, work: Callable[[], str]) -> Response:
    """Say what came of it, or, on the same page, why it did not work."""
    try:
        person.notice = work()
    except DictateError as error:
        return _page(request, desk, fault=error)
    return back_to(_HERE)


def _page(request: Request, desk: Desk, *, allowed: bool = True, **values: Any) -> HTMLResponse:
    folder = desk.settings.backup_folder
    backups = list(reversed(backups_in(folder)))[:_KEPT] if allowed and folder else []
    fault = values.pop("fault", None)
    return page(
        request,
        "safe.html",
        status=422 if fault else 200,
        allowed=allowed,
        settings=desk.settings,
        folder=folder,
        disks=[disk / "dictate" for disk in plugged_in()] if allowed else [],
        backups=[(one.name, _made(one), one.stat().st_size / 1e6) for one in backups],
        fault=fault,
        values=values,
        today=desk.today(),
    )


def _made(backup: Path) -> dt.datetime:
    """When a backup was made, by its name."""
    stamp = backup.stem.removeprefix("record-")[:15]
    try:
        return dt.datetime.strptime(stamp, "%Y%m%dT%H%M%S").replace(tzinfo=dt.UTC)
    except ValueError:
        return dt.datetime.fromtimestamp(backup.stat().st_mtime, dt.UTC)


def _folder(given: str) -> Path:
    folder = Path(given.strip()).expanduser()
    if not folder.is_absolute():
        raise ReviewError(
            gettext("“%(path)s” is not a whole path", path=given),
            remedy=gettext(
                "Give the folder from its beginning, as /media/stick/dictate or E:\\dictate"
            ),
        )
    return folder


def _backup(desk: Desk, name: str) -> Path:
    folder = desk.settings.backup_folder
    if folder is None or not (folder / name).exists():
        raise NotFoundError(
            gettext("this backup is not there any more"), remedy=gettext("Plug its disk in")
        )
    return folder / name


def _rows(checked: Checked) -> str:
    """What a backup holds, in words; what is kept beside an entry goes without saying."""
    held = checked.counts
    entries = ngettext(
        "%(num)s entry (confirmed: %(confirmed)s)",
        "%(num)s entries (confirmed: %(confirmed)s)",
        held["entry"],
        confirmed=held["confirmed"],
    )
    return ", ".join(
        [
            ngettext("%(num)s note", "%(num)s notes", held["note"]),
            entries,
            ngettext("%(num)s finding", "%(num)s findings", held["finding"]),
            ngettext("%(num)s action", "%(num)s actions", held["action"]),
            ngettext("%(num)s follow-up", "%(num)s follow-ups", held["follow_up"]),
        ]
    )
