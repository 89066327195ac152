"""Live at the chute: notes are taken in as they end, and answered by ear."""

import queue
import threading
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from dictate.entry.spoken import spoken_line, taken_back_line
from dictate.entry.values import EntryValues
from dictate.errors import DictateError
from dictate.sound.live import Listener, LiveNote
from dictate.sound.microphone import Chunk
from dictate.sound.say_back import Player, Tone, Voice, make_tone


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenBack:
    """What "scratch that" took out of the queue."""

    entries: tuple[EntryValues, ...]


Understand = Callable[[Path], Sequence[EntryValues] | TakenBack]
"""Takes a note's file in and gives the entries that it put into the queue, or changed there."""

Prepare = Callable[[np.ndarray], None]
"""Hears samples that will probably be a note's, so that the answer comes sooner."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What was understood of one note."""

    note: LiveNote
    tone: Tone
    line: str
    seconds: float
    """From the end of the note (after its pause) to the answer being ready."""


def answer_to(entries: Sequence[EntryValues] | TakenBack) -> tuple[Tone, str]:
    """Choose the tone and the line for a note's entries."""
    if isinstance(entries, TakenBack):
        return Tone.UNDERSTOOD, taken_back_line(entries.entries)
    understood = [one for one in entries if one.findings or one.actions or one.locomotion]
    if not understood and not any(one.animal for one in entries):
        return Tone.NOT_UNDERSTOOD, spoken_line(())
    marked = any(one.marks for one in entries) or not understood
    return (Tone.LOOK if marked else Tone.UNDERSTOOD), spoken_line(entries)


def listen(
    chunks: Iterable[Chunk],
    listener: Listener,
    understand: Understand,
    *,
    player: Player,
    voice: Voice | None = None,
    prepare: Prepare = lambda _: None,
    on_answer: Callable[[Answer], None] = lambda _: None,
    on_fault: Callable[[DictateError], None] = lambda _: None,
) -> None:
    """Listen until the sound ends, and answer each note by ear.

    Understanding runs beside listening, so no sound waits for it. Answers are held back while
    somebody talks, and one that is being spoken falls silent when the next note begins.

    Args:
        chunks: Sound as it comes.
        listener: Keeps the sound and finds the notes.
        understand: See `Understand`; called in one other thread, in order.
        player: Where tones and lines go.
        voice: Speaks the lines; None for tones alone.
        prepare: See `Prepare`; called in the same other thread.
        on_answer: Told each answer, from the other thread.
        on_fault: Told why a note could not be taken in; its file stays, and listening goes on.
    """
    worker = _Worker(
        listener=listener,
        understand=understand,
        prepare=prepare,
        player=player,
        voice=voice,
        on_answer=on_answer,
        on_fault=on_fault,
    )
    worker.start()
    listener.on_draft = worker.put_draft
    try:
        for note in listener.notes(_hushing(chunks, listener, player, worker)):
            worker.put(note)
    finally:
        worker.finish()
    worker.check()


class _Worker(threading.Thread):
    """Understands one note after another, and speaks."""

    def __init__(
        self,
        *,
        listener: Listener,
        understand: Understand,
        prepare: Prepare,
        player: Player,
        voice: Voice | None,
        on_answer: Callable[[Answer], None],
        on_fault: Callable[[DictateError], None],
    ) -> None:
        super().__init__(daemon=True)
        self._listener, self._understand, self._prepare = listener, understand, prepare
        self._player, self._voice = player, voice
        self._on_answer, self._on_fault = on_answer, on_fault
        self._waiting: queue.SimpleQueue[tuple[LiveNote, float] | np.ndarray | None] = (
            queue.SimpleQueue()
        )
        self._broken: BaseException | None = None

    def put(self, note: LiveNote) -> None:
        self._waiting.put((note, time.monotonic()))

    def put_draft(self, samples: np.ndarray) -> None:
        self._waiting.put(samples)

    def finish(self) -> None:
        """Understand what is waiting, then end."""
        self._waiting.put(None)
        self.join()

    def check(self) -> None:
        """Raise, in the caller's thread, what broke this one."""
        if self._broken:
            raise self._broken

    def run(self) -> None:
        try:
            while (item := self._waiting.get()) is not None:
                if isinstance(item, np.ndarray):
                    self._prepare(item)
                else:
                    self._answer(*item)
        except BaseException as error:  # noqa: BLE001 (raised again by `check`)
            self._broken = error

    def _answer(self, note: LiveNote, ended: float) -> None:
        try:
            tone, line = answer_to(self._understand(note.path))
        except DictateError as error:
            self._on_fault(error)
            return
        sounds = [make_tone(tone)] + ([self._voice.speak(line)] if self._voice else [])
        if not self._listener.talking:
            self._player.play(np.concatenate(sounds))
        self._on_answer(Answer(note=note, tone=tone, line=line, seconds=time.monotonic() - ended))


def _hushing(
    chunks: Iterable[Chunk], listener: Listener, player: Player, worker: _Worker
) -> Iterator[Chunk]:
    """Pass sound on, and stop the answer that is playing when somebody begins to talk."""
    talking = False
    for chunk in chunks:
        worker.check()
        yield chunk
        if listener.talking and not talking:
            player.stop()
        talking = listener.talking
