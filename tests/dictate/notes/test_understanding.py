"""What the queue adds to the grammar's reading of one note."""

from dictate.notes.understanding import Context, understand
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


def test_unclear_remark_is_marked() -> None:
    """Words of a remark that the recogniser does not know are not confirmed unseen."""
    assert "remark-unclear" in _marks("cow four twelve left hind sole ulcer remark [unk] [unk]")


def test_marks_have_words_for_a_person() -> None:
    """Every mark says what, why and how to clear it."""
    for text in ("", "did you see the match", "cow seven", "end of note"):
        for entry in understand([_words(text)], Context()).entries:
            for mark in entry.mark_details:
                assert mark.what
                assert mark.why
                assert mark.clear
