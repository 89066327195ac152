"""Live notes: what is answered, when, and when not."""

import threading
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np
import pytest

from dictate.entry.spoken import say_number, spoken_line
from dictate.entry.values import EntryValues
from dictate.errors import SoundError
from dictate.notes.listening import Answer, answer_to, listen
from dictate.sound.live import Listener
from dictate.sound.microphone import Chunk, FileMicrophone
from dictate.sound.say_back import SilentPlayer, Tone
from tests.fake_engine import DEMO

CLIPS = [DEMO / f"20260302_{time}.opus" for time in ("082117", "084733", "105537")]
WHOLE = EntryValues.model_validate(
    {
        "animal": "412",
        "findings": [{"foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer"}],
        "actions": [{"kind": "block", "foot": "LH", "claw": "inner", "material": "rubber"}],
        "follow_ups": [{"kind": "look again", "in_days": 14}],
    }
)


def test_the_line_of_a_whole_note() -> None:
    """The answer is short, in plain words, in the order of the note."""
    expected = "4 12, left hind outer, sole ulcer, zone 4, block inner; look again 2 weeks"

    assert spoken_line([WHOLE]) == expected


@pytest.mark.parametrize(
    ("number", "said"),
    [("7", "7"), ("20", "20"), ("412", "4 12"), ("207", "2 oh 7"), ("300", "3 hundred"),
     ("4100", "41 hundred"), ("1234", "12 34"), ("12345", "1 2 3 4 5")],
)  # fmt: skip
def test_numbers_are_said_as_trimmers_say_them(number: str, said: str) -> None:
    """Numbers are split the way they are spoken (common practice)."""
    assert said == say_number(number)


def test_what_is_missing_is_asked_for() -> None:
    """A finding without a foot asks for the foot; nothing at all asks for the note."""
    footless = EntryValues.model_validate(
        {"animal": "412", "findings": [{"lesion": "sole ulcer"}], "marks": ["foot-missing"]}
    )

    assert answer_to([footless]) == (Tone.LOOK, "4 12, sole ulcer; say the foot again")
    assert answer_to([EntryValues()]) == (Tone.NOT_UNDERSTOOD, "say it again")
    assert answer_to([]) == (Tone.NOT_UNDERSTOOD, "say it again")
    assert answer_to([WHOLE])[0] == Tone.UNDERSTOOD


class OneWord:
    """A voice that takes no time."""

    def speak(self, text: str) -> np.ndarray:
        return np.full(160, len(text), np.int16)


def run(
    folder: Path, chunks: Iterator[Chunk], understand, player: SilentPlayer
) -> tuple[list[Answer], list[str]]:
    answers: list[Answer] = []
    faults: list[str] = []
    listen(
        chunks,
        Listener(folder),
        understand,
        player=player,
        voice=OneWord(),
        on_answer=answers.append,
        on_fault=lambda error: faults.append(error.line),
    )
    return answers, faults


def test_every_note_is_answered_in_order(tmp_path: Path) -> None:
    """Each note's file goes through understanding once, in order, and is answered aloud."""
    understood: list[str] = []

    def understand(path: Path) -> Sequence[EntryValues]:
        understood.append(path.name)
        return [WHOLE]

    player = SilentPlayer()
    answers, faults = run(tmp_path, FileMicrophone(CLIPS, speed=0).chunks(), understand, player)

    assert [answer.note.path.name for answer in answers] == understood == sorted(understood)
    assert len(answers) == 3
    assert faults == []


def test_nobody_is_talked_over(tmp_path: Path) -> None:
    """An answer that is ready only when the next note has begun is not played into it."""
    talking, answered = threading.Event(), threading.Event()
    answers: list[Answer] = []
    player = SilentPlayer()

    def chunks() -> Iterator[Chunk]:
        for number, chunk in enumerate(FileMicrophone(CLIPS[:2], speed=0).chunks()):
            if number == 100:  # in the middle of the second note
                talking.set()
                assert answered.wait(20)
            yield chunk

    def understand(_: Path) -> Sequence[EntryValues]:
        assert talking.wait(20)
        return [WHOLE]

    def on_answer(answer: Answer) -> None:
        answers.append(answer)
        answered.set()

    listen(chunks(), Listener(tmp_path), understand, player=player, on_answer=on_answer)

    assert len(answers) == 2
    assert len(player.played) == 1
    assert player.stopped == 2


def test_a_fault_does_not_end_the_day(tmp_path: Path) -> None:
    """A note that cannot be taken in is told, its file stays, and listening goes on."""

    def understand(path: Path) -> Sequence[EntryValues]:
        if "_0000" in path.name:
            raise SoundError("no room", where=path.name)
        return [WHOLE]

    answers, faults = run(
        tmp_path, FileMicrophone(CLIPS[:2], speed=0).chunks(), understand, SilentPlayer()
    )

    assert len(answers) + len(faults) == 2
    assert len(faults) == 1
    assert len(list(tmp_path.glob("*.flac"))) == 2


def test_a_bug_is_not_swallowed(tmp_path: Path) -> None:
    """Anything but a fault of the sound ends listening with its own error."""

    def understand(_: Path) -> Sequence[EntryValues]:
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        run(tmp_path, FileMicrophone(CLIPS, speed=0).chunks(), understand, SilentPlayer())
