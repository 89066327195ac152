"""Hear single files outside any database: the object that `dictate hear --json` prints, and its entries."""

from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

from dictate.entry.values import SPOKEN_REMARK
from dictate.errors import SoundError
from dictate.hearing.engine import Engine, Heard
from dictate.hearing.remarks import mark_of_remark, remark_in
from dictate.hearing.talk import Judged, judge
from dictate.hearing.unsure import doubts_of, read_best
from dictate.sound import has_speech, read_sound
from grammar import Reading, Roster, as_json


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


def marked_entries(
    reading: Reading,
    judged: Judged,
    *,
    roster: Roster | None = None,
    aliases: Mapping[str, str] | None = None,
    seconds: float | None = None,
) -> list[dict[str, Any]]:
    """Return a reading's entries as plain data, with the marks of unsure slots among theirs.

    With the length of the sound a remark says where in it it lies; its text is only what was heard.
    """
    doubts = doubts_of(reading, judged, roster=roster, aliases=aliases)
    marks = [found.marks for found in doubts]
    spoken = remark_in(judged.as_heard(reading.words), seconds) if marks else None
    remarks: list[dict[str, Any]] = [{"spoken_remark": None} for _ in marks]
    if spoken:
        marks[-1] = (*marks[-1], mark_of_remark(spoken, judged.again))
        remarks[-1] = {
            "remark": spoken.heard or SPOKEN_REMARK,
            "spoken_remark": spoken.model_dump(mode="json"),
        }
    settled = [found.settled for found in doubts]
    return [
        entry
        | remark
        | {
            "marks": [*(m for m in entry["marks"] if m not in gone), *(mark.id for mark in found)],
            "mark_details": [
                *(mark for mark in entry["mark_details"] if mark["id"] not in gone),
                *(mark.model_dump(mode="json") for mark in found),
            ],
        }
        for entry, remark, found, gone in zip(
            as_json(reading)["entries"], remarks, marks, settled, strict=True
        )
    ]
