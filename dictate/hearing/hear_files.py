"""Hear single files outside any database: the object that `dictate hear --json` prints."""

from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

from dictate.errors import SoundError
from dictate.hearing.engine import Engine, Heard
from dictate.hearing.talk import judge
from dictate.hearing.unsure import marked_entries, read_best
from dictate.sound import has_speech, read_sound
from grammar import Roster


def hear_file(
    engine: Engine,
    path: Path,
    *,
    roster: Roster | None = None,
    aliases: Mapping[str, str] | None = None,
) -> dict[str, Any]:
    """Hear and read one file; a file that cannot be heard gives its `error` and no words.

    The keys are fixed: file, text, words, entries, talk, engine, model, seconds_audio,
    seconds_taken, error.
    """
    about = engine.describe()
    answer: dict[str, Any] = {
        "file": str(path),
        "text": "",
        "words": [],
        "entries": [],
        "talk": [],
        "engine": f"{about.engine} {about.version}",
        "model": about.model,
        "seconds_audio": 0.0,
        "seconds_taken": 0.0,
        "error": None,
    }
    try:
        sound = read_sound(path)
    except SoundError as error:
        return answer | {"error": error.line}
    answer["seconds_audio"] = round(sound.seconds, 3)
    if not has_speech(sound):
        return answer
    heard = engine.hear(sound)
    return answer | _read(heard, roster, aliases)


def _read(heard: Heard, roster: Roster | None, aliases: Mapping[str, str] | None) -> dict[str, Any]:
    judged = judge([heard.words, *heard.alternatives], heard.fits, again=heard.again)
    reading, judged = read_best(judged, roster=roster, aliases=aliases)
    words = judged.as_heard(reading.words)
    return {
        "text": " ".join(word.text for word in words),
        "words": [
            {"word": word.text, "start": word.start, "end": word.end, "confidence": word.confidence}
            for word in words
        ],
        "talk": [asdict(talk) for talk in judged.talk],
        "entries": marked_entries(
            reading, judged, roster=roster, aliases=aliases, seconds=heard.seconds_audio
        ),
        "seconds_taken": round(heard.seconds_taken, 3),
    }
