"""What a person said, as learning takes it: sound, words, and where the prompt ended."""

import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Self

import numpy as np

from dictate.errors import SoundError, VoiceError
from dictate.measuring.tables import Utterance
from dictate.sound import RATE, Sound, has_speech, read_sound
from dictate.voice.folder_table import read_folder_table
from dictate.voice.sounds import Sounded, plain_words, sounds_of

_LONGEST = 30.0
_SHORTEST = 0.15
"""Seconds; a note is shorter than the one, a word longer than the other."""

_NAMED = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Recording:
    """One prompt or note of one person."""

    name: str
    """As a person finds it: the file, or the note."""
    samples: np.ndarray = field(repr=False)
    """int16 at 16 kHz."""
    words: tuple[str, ...]
    sounded: Sounded
    """The ways of saying each word."""
    prompt: str
    """What is kept out of learning together: recordings of one prompt, or of one day."""
    sha256: str = ""
    """Of the file's bytes."""

    @property
    def seconds(self) -> float:
        return len(self.samples) / RATE

    def saying(self, words: tuple[str, ...]) -> Self:
        """The same recording with other words."""
        return replace(self, words=words, sounded=sounds_of(words)[0])

    @property
    def key(self) -> str:
        """Names sound and words together."""
        said = " ".join(self.words).encode()
        return hashlib.sha256(self.samples.tobytes() + b"\0" + said).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A recording that is not learnt from, and why."""

    name: str
    why: str


def by_reason(left_out: Iterable[LeftOut]) -> Iterator[tuple[str, str]]:
    """Names and reason, each reason once; of many names the first are given and the rest counted."""
    names: dict[str, list[str]] = {}
    for one in left_out:
        names.setdefault(one.why, []).append(one.name)
    for why, some in names.items():
        more = f" and {len(some) - _NAMED} more" if len(some) > _NAMED else ""
        yield f"{', '.join(some[:_NAMED])}{more}", why


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """Everything that one voice is learnt from."""

    own: tuple[Recording, ...]
    noise: tuple[np.ndarray, ...] = ()
    """The person's own machines, nobody speaking; int16 at 16 kHz."""
    left_out: tuple[LeftOut, ...] = ()

    def saying(self, words: Mapping[int, tuple[str, ...]]) -> Self:
        """The same with other words for some recordings, by their place."""
        own = tuple(
            one.saying(words[at]) if at in words else one for at, one in enumerate(self.own)
        )
        return replace(self, own=own)

    @property
    def seconds(self) -> float:
        return sum(one.seconds for one in self.own)


def of_folder(folder: Path, *, split: str | None = None, speaker: str | None = None) -> Material:
    """Read a folder of sound with a `transcripts.tsv`; lines without words are machine noise.

    Raises:
        SoundError: no table that can be read, or none of its files.
        VoiceError: the lines of several people, or nothing to learn from.
    """
    table = read_folder_table(folder)
    rows = [row for row in table.rows if split is None or row.split == split]
    people = sorted({row.speaker for row in rows if row.speaker})
    if speaker is not None:
        rows = [row for row in rows if row.speaker == speaker]
    elif len(people) > 1:
        raise VoiceError(
            f"{len(people)} people speak ({', '.join(people[:4])} …)",
            where=str(folder),
            remedy="A voice is one person's: name one with --speaker",
        )
    material = gather_recordings(rows)
    absent = tuple(LeftOut(name=name, why="there is no such file") for name in table.missing)
    material = replace(material, left_out=(*absent, *material.left_out))
    if not material.own:
        reasons = "; ".join(map(": ".join, by_reason(material.left_out))) or "no lines"
        raise VoiceError(f"nothing to learn from: {reasons}", where=str(folder))
    return material


def gather_recordings(rows: Iterable[Utterance]) -> Material:
    """Read the sound of each row, leaving out what cannot be learnt from.

    Rows of one `condition` (a day of notes) are kept out of learning together, others by their words.
    """
    own: list[Recording] = []
    noise: list[np.ndarray] = []
    left: list[LeftOut] = []
    for row in rows:
        try:
            sound = read_sound(row.path)
        except SoundError as error:
            left.append(LeftOut(name=row.path.name, why=error.what))
            continue
        words = plain_words(row.words)
        if not words:
            noise.append(sound.samples)
            continue
        sounded, unknown = sounds_of(words)
        why = _unfit(sound, unknown)
        if why:
            left.append(LeftOut(name=row.path.name, why=why))
            continue
        own.append(
            Recording(
                name=row.path.name,
                samples=sound.samples,
                words=words,
                sounded=sounded,
                prompt=row.condition or " ".join(words),
                sha256=sound.sha256,
            )
        )
    return Material(own=tuple(own), noise=tuple(noise), left_out=tuple(left))


def _unfit(sound: Sound, unknown: Sequence[str]) -> str:
    if unknown:
        return f"no pronunciation is known for {', '.join(unknown)}"
    if sound.silent:
        return "there is nothing on it"
    if sound.seconds < _SHORTEST:
        return "it is too short"
    if sound.seconds > _LONGEST:
        return f"it is longer than {_LONGEST:.0f} s"
    return "" if has_speech(sound) else "nobody is heard speaking on it"
