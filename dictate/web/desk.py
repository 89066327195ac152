"""What every page works with, handed from the app to its pages."""

import datetime as dt
import logging
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Annotated, Any

from fastapi import Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse
from fastapi.templating import Jinja2Templates
from pydantic import BaseModel, BeforeValidator, ConfigDict
from starlette.background import BackgroundTask

from dictate.errors import DictateError
from dictate.hearing import Engine
from dictate.notes.hearing_clips import OpenEngine
from dictate.notes.pipeline import run_batch
from dictate.notes.recordings import open_up, tidy
from dictate.notes.taking_in import Where
from dictate.settings import Settings
from dictate.sound import Sound
from dictate.store.database import Database
from dictate.texts.saying import say_through_the_catalogue
from dictate.web.background import Hearing, ListeningAgain, MeasuringHere
from dictate.web.filters import FILTERS
from dictate.web.gate import Gate
from dictate.web.phones import Phones
from dictate.web.tabs import TABS, icon
from grammar import Roster

log = logging.getLogger(__name__)

_FOLDER = Path(__file__).parent
_templates = Jinja2Templates(directory=_FOLDER / "templates")
_templates.env.filters.update(FILTERS)
_templates.env.globals.update(icon=icon, tabs=TABS)
say_through_the_catalogue(_templates.env)
_templates.env.trim_blocks = True
_templates.env.lstrip_blocks = True


@dataclass(slots=True)
class Desk:
    """The open database, the settings and the ears of one running page."""

    database: Database
    settings: Settings
    gate: Gate
    open_engine: OpenEngine
    """Loads the recogniser for a farm's roster."""
    today: Callable[[], dt.date] = dt.date.today
    hearing: Hearing = field(default_factory=Hearing)
    """How far hearing is."""
    measuring: MeasuringHere = field(default_factory=MeasuringHere)
    """How far measuring is, and what came of it."""
    phones: Phones = None  # type: ignore[assignment] # set below where it is not given
    """The way in for phones."""
    _looked_at: dict[str, int] = field(default_factory=dict)
    _second: ListeningAgain | None = None
    ears: threading.Lock = field(default_factory=threading.Lock)
    """Held by whoever hears: one sound, or one recording, at a time."""

    def __post_init__(self) -> None:
        self.phones = self.phones or Phones(self.settings.home, self.gate)

    def hear(self, sound: Sound, roster: Roster | None) -> str:
        """The words of one sound; one sound at a time is heard."""
        with self.ears:
            return self.open_engine(roster).hear(sound).text

    def look(self, person: str, entry_id: int) -> None:
        """Remember which entry a person looks at; nothing but people may change it meanwhile."""
        self._looked_at[person] = entry_id

    def looked_at(self) -> frozenset[int]:
        """The entries that people look at."""
        return frozenset(self._looked_at.values())

    def listen_again(self) -> None:
        """Let the second listener of the settings hear doubtful notes again, or none any more."""
        if self._second is not None:
            self._second.stop()
            self._second = None
        model = self.settings.second_listener
        if model is None:
            return

        def opened() -> Engine:
            from dictate.hearing.second_listener import SecondListener  # noqa: PLC0415 (an extra)

            return SecondListener(model, threads=1)

        self._second = ListeningAgain(self.database, self.settings, opened, self.looked_at)
        self._second.start()

    def hear_waiting_clips(self) -> None:
        """Hear and queue every clip that was taken in and has no note yet."""
        self._work(lambda: self._batch((), None))

    def take_recording(self, path: Path, where: Where, *, everybody: bool = False) -> None:
        """Cut a long recording into notes, hear and queue them; it is named until its end."""

        def work() -> None:
            opened = open_up(self.settings, [path], where=where, everybody=everybody, watcher=self.hearing)  # fmt: skip
            self._batch(opened.files, where)
            tidy(self.settings, opened)
            if path.is_relative_to(self.sent):
                path.unlink(missing_ok=True)

        self._work(work)

    @property
    def sent(self) -> Path:
        """Folder where long recordings that a browser sent lie until their notes are taken in."""
        return self.settings.home / "recordings" / "sent"

    def _batch(self, files: Sequence[Path], where: Where | None) -> None:
        run_batch(
            self.database, self.settings, files, where, self.open_engine, watcher=self.hearing
        )

    def _work(self, work: Callable[[], None]) -> None:
        """One at a time; what is stopped by a fault is kept and gone on with another time."""
        with self.ears:
            self.hearing.begin()
            try:
                work()
            except DictateError as error:
                log.warning("hearing stopped: %s", error.line)
                self.hearing.fault(f"Hearing stopped: {error.line}. The recordings are kept.")
            finally:
                self.hearing.end()


def _desk(request: Request) -> Desk:
    desk: Desk = request.app.state.desk
    return desk


TheDesk = Annotated[Desk, Depends(_desk)]


OptionalId = Annotated[int | None, BeforeValidator(lambda value: value or None)]
"""The id of a row in a field or an address; empty is none."""


class Form(BaseModel):
    """What all forms share; a field that a form does not have is refused."""

    model_config = ConfigDict(extra="forbid")

    csrf: str = ""


def page(
    request: Request,
    template: str,
    *,
    status: int = 200,
    background: BackgroundTask | None = None,
    **values: Any,
) -> HTMLResponse:
    """Fill a template; `person` and the notice of the last change come along."""
    person = request.state.person
    notice = undo_path = ""
    if person is not None and request.method == "GET":
        notice, undo_path = person.notice, person.undo_path
        person.notice = person.undo_path = ""
    context = {
        "person": person,
        "notice": notice,
        "undo_path": undo_path,
        "desk": request.app.state.desk,
        **values,
    }
    return _templates.TemplateResponse(
        request, template, context, status_code=status, background=background
    )


def back_to(path: str) -> RedirectResponse:
    """Send the browser to a page after a change, so that reloading repeats nothing."""
    return RedirectResponse(path, status_code=303)
