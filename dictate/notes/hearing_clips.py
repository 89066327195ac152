"""Hearing clips: each becomes a note with the words that the engine heard, committed by itself."""

import logging
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass, replace
from itertools import groupby
from pathlib import Path
from typing import Any

import numpy as np

from dictate.errors import SoundError
from dictate.hearing import SHIFTS, Engine, Heard
from dictate.large_work import Watcher
from dictate.notes.dividing import Listened, Part, cut_off, divide
from dictate.settings import Settings
from dictate.sound import Sound, describe, has_speech, read_sound
from dictate.store.clips import kept_path, note_of_clip, unheard_clips
from dictate.store.database import Database
from dictate.store.farms import roster_of
from dictate.store.tables import Clip, Note, Visit
from grammar import Roster, Word

log = logging.getLogger(__name__)

OpenEngine = Callable[[Roster | None], Engine]


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidInClip:
    """What was heard in one clip; plain values, so that it can travel between machines."""

    cut_out: bool
    """Whether the clip was cut out of a recording of more than notes."""
    parts: list[Part]
    """Its notes, at least one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClipHeard:
    """The outcome for one clip."""

    file_name: str
    text: str = ""
    fault: str = ""
    """Why it could not be heard; it stays taken in and is tried again next time."""


def hear_clips(
    database: Database, settings: Settings, open_engine: OpenEngine, *, watcher: Watcher
) -> list[ClipHeard]:
    """Hear every clip of this trimmer that has no note yet.

    The engine is opened once for each farm, with its roster.

    Raises:
        ModelError: the recogniser cannot be opened; nothing is lost.
        StoreError: the database cannot be written.
    """
    outcomes = []
    for roster, clips in clips_to_hear(database, settings, watcher=watcher):
        engine = open_engine(roster)
        for clip in clips:
            outcome = _hear_one(database, settings, engine, clip)
            if outcome.fault:
                watcher.fault(outcome.fault)
            outcomes.append(outcome)
            watcher.step()
    return outcomes


def clips_to_hear(
    database: Database, settings: Settings, *, watcher: Watcher
) -> Iterator[tuple[Roster | None, list[Clip]]]:
    """The clips of this trimmer without a note, farm by farm, with the farm's roster."""
    with database.reading() as session:
        clips = unheard_clips(session, trimmer=settings.trimmer)
        farms = {clip.visit_id: session.get_one(Visit, clip.visit_id).farm_id for clip in clips}
        rosters = {farm: roster_of(session, farm) for farm in set(farms.values())}
    watcher.stage("hearing", len(clips))
    by_farm = sorted(clips, key=lambda clip: farms[clip.visit_id])
    for farm, group in groupby(by_farm, key=lambda clip: farms[clip.visit_id]):
        yield rosters[farm], list(group)


def listen(engine: Engine, path: Path, *, ended: int = 0) -> SaidInClip:
    """Ask the recogniser, unless the speech gate finds no speech; needs nothing but the file.

    `ended` is how often the program ended while it heard this sound.

    Raises:
        SoundError: the clip cannot be read.
    """
    return notes_in(path, _listen(engine, read_sound(path), ended))


def notes_in(path: Path, listened: Listened) -> SaidInClip:
    """Part what was heard in a clip into its notes."""
    # A clip from a phone is one note, as it came.
    cut_out = "cut_from" in describe(path).tags
    parts = divide(listened) if cut_out else [Part(start=0.0, listened=listened)]
    return SaidInClip(cut_out=cut_out, parts=parts)


def keep_note(database: Database, settings: Settings, clip: Clip, said: SaidInClip) -> str:
    """Write what was heard as the clip's note, unless another program did meanwhile; the text.

    A note cut out of a recording that holds several, without pauses between, becomes several clips.

    Raises:
        SoundError: the kept clip cannot be read.
    """
    others = cut_off(settings, clip, said.parts) if len(said.parts) > 1 else []
    with database.writing() as session:
        if note_of_clip(session, clip.id) is None:
            session.add_all(others)
            session.flush()
            for one, part in zip((clip, *others), said.parts, strict=True):
                session.add(
                    Note(
                        clip_id=one.id,
                        visit_id=clip.visit_id,
                        cut_out=said.cut_out,
                        **asdict(part.listened),
                    )
                )
    first = said.parts[0].listened
    words = [word["text"] for part in said.parts for word in part.listened.words]
    log.info(
        "heard clip=%s seconds=%.1f taken=%.2f words=%d speech=%s",
        clip.sha256[:12], clip.seconds, first.seconds_taken, len(words), first.has_speech,
    )  # fmt: skip
    return " ".join(words)


def _listen(engine: Engine, sound: Sound, ended: int) -> Listened:
    began = time.monotonic()
    speaks = has_speech(sound)
    # What ended the program once may have been anything; after twice it is the sound. After all
    # shifts it becomes a note without words.
    left = SHIFTS[max(0, ended - 1) :]
    heard = None
    if speaks and left:
        heard = engine.hear(replace(sound, samples=np.pad(sound.samples, (left[0], 0))))
    about = engine.describe()
    return Listened(
        words=list(_plain(heard.words if heard else ())),
        alternatives=[list(_plain(words)) for words in _others(heard)],
        fits=[asdict(fit) for fit in heard.fits] if heard else [],
        again={"by": about.engine, "words": list(_plain(heard.again))}
        if heard and heard.again
        else None,
        engine=f"{about.engine} {about.version}",
        model=about.model,
        has_speech=speaks,
        seconds_taken=time.monotonic() - began,
    )


def _hear_one(database: Database, settings: Settings, engine: Engine, clip: Clip) -> ClipHeard:
    try:
        with _counted(settings, clip) as ended:
            said = listen(engine, kept_path(settings, clip), ended=ended)
        text = keep_note(database, settings, clip, said)
    except SoundError as error:
        return ClipHeard(file_name=clip.file_name, fault=error.line)
    return ClipHeard(file_name=clip.file_name, text=text)


@contextmanager
def _counted(settings: Settings, clip: Clip) -> Iterator[int]:
    """How often the program had ended while it heard this clip; known even if it ends now.

    Over a noisy sound in some thousands the recogniser takes the whole program down with it, and
    nothing in Python can catch that. Uncounted, it would do so at every start, and whatever comes
    behind that sound would never be heard.
    """
    ended = times_ended(settings, clip)
    keep_times_ended(settings, clip, ended + 1)
    try:
        yield ended
    finally:
        keep_times_ended(settings, clip, 0)


def times_ended(settings: Settings, clip: Clip) -> int:
    """How often a program ended while it heard this clip, as far as it is kept."""
    with suppress(OSError):
        return _mark(settings, clip).stat().st_size
    return 0


def keep_times_ended(settings: Settings, clip: Clip, times: int) -> None:
    """Keep it for the next attempt, or forget it with 0; a full disk keeps nobody from hearing."""
    mark = _mark(settings, clip)
    with suppress(OSError):
        if times:
            mark.parent.mkdir(exist_ok=True)
            mark.write_bytes(b"." * times)
        else:
            mark.unlink(missing_ok=True)
            mark.parent.rmdir()


def _mark(settings: Settings, clip: Clip) -> Path:
    return settings.home / "hearing" / clip.sha256


def _others(heard: Heard | None) -> Iterator[tuple[Word, ...]]:
    if heard is None:
        return
    for words in heard.alternatives:
        if [word.text for word in words] != [word.text for word in heard.words]:
            yield words


def _plain(words: tuple[Word, ...]) -> Iterator[dict[str, Any]]:
    return (asdict(word) for word in words)
