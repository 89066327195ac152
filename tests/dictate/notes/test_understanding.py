"""What the queue adds to the grammar's reading of one note."""

import pytest

from dictate.entry.values import SpokenRemark
from dictate.notes.context import Context
from dictate.notes.understanding import understand
from grammar import Word


def _words(text: str) -> tuple[Word, ...]:
    return tuple(Word(text=word) for word in text.split())


def _marks(*hearings: str) -> set[str]:
    (entry,) = understand([_words(text) for text in hearings], Context()).entries
    return set(entry.marks)


def test_less_likely_hearing_is_marked() -> None:
    """A reading that is not of the likeliest words wants a look, however smooth it is."""
    likeliest = "cow four twelve left hind sole ulcer [unk] [unk]"

    assert "heard-otherwise" in _marks(likeliest, "cow four twelve left hind sole ulcer")
    assert "heard-otherwise" not in _marks("cow four twelve left hind sole ulcer")


def _timed(text: str) -> tuple[Word, ...]:
    return tuple(
        Word(text=word, start=at / 2, end=at / 2 + 0.4) for at, word in enumerate(text.split())
    )


NOTE = "cow four twelve left hind sole ulcer remark"


def test_a_remark_is_kept_as_sound_and_not_as_text() -> None:
    """What the recogniser made of it stands beside; the entry wants somebody to type it."""
    heard = [_timed(f"{NOTE} two [unk] [unk] next time")]

    (entry,) = understand(heard, Context(), seconds=8.0).entries

    assert entry.findings
    assert entry.remark is None
    assert entry.spoken_remark == SpokenRemark(start=3.9, end=8.0, heard="two next time")
    assert entry.remark_to_tell == "spoken remark"
    assert entry.marks == ("remark-spoken",)


def test_a_remark_of_unknown_words_makes_an_entry() -> None:
    """The animal and the sound are kept, whatever was said."""
    (entry,) = understand(
        [_timed("cow seven nineteen remark [unk] [unk]")], Context(), seconds=9.0
    ).entries

    assert (entry.animal, entry.remark) == ("719", None)
    assert entry.spoken_remark
    assert entry.spoken_remark.end == 9.0


def test_nothing_but_the_word_remark_keeps_the_sound_too() -> None:
    """A remark of which no word was heard waits with its place."""
    (entry,) = understand([_timed("remark")], Context(), seconds=4.0).entries

    assert entry.spoken_remark
    assert "remark-spoken" in entry.marks


@pytest.mark.parametrize(
    ("typed", "remark", "marked", "kept"),
    [
        (f"{NOTE} two next time", None, True, True),  # another word was put right
        (f"{NOTE} two men next time", "two men next time", False, True),
        (NOTE, None, True, True),
        ("cow four twelve left hind sole ulcer", None, False, False),  # it was none
    ],
)
def test_typing_the_remark_makes_text_of_it(
    typed: str, remark: str | None, marked: bool, kept: bool
) -> None:
    """Typing the note's other words leaves the remark as sound; the sound stays in any case."""
    spoken = SpokenRemark(start=3.9, end=8.0, heard="two next time")

    (entry,) = understand([_words(typed)], Context(), spoken=spoken).entries

    assert entry.remark == remark
    assert ("remark-spoken" in entry.marks) is marked
    assert (entry.spoken_remark is not None) is kept


def test_a_typed_remark_is_text() -> None:
    """Without sound there is nothing to keep but words."""
    (entry,) = understand([_words(f"{NOTE} kicks")], Context()).entries

    assert (entry.remark, entry.spoken_remark, entry.marks) == ("kicks", None, ())


def test_marks_have_words_for_a_person() -> None:
    """Every mark says what, why and how to clear it."""
    for text in ("", "did you see the match", "cow seven", "end of note"):
        for entry in understand([_words(text)], Context()).entries:
            for mark in entry.mark_details:
                assert mark.what
                assert mark.why
                assert mark.clear
