"""Marks found anew are those that a reading of the same words gives, in its order and on its words."""

import pytest

from dictate.entry.checking import CONTEXT, rechecked
from dictate.entry.values import EntryValues
from dictate.notes.context import Context
from dictate.notes.understanding import understand
from grammar import Carry, Roster, split_text

ROSTER = Roster(numbers=("412", "415", "450", "9", "20"))


def _read(text: str, carry: Carry) -> list[EntryValues]:
    return list(understand([split_text(text)], Context(roster=ROSTER), carry=carry).entries)


@pytest.mark.parametrize(
    ("text", "carry"),
    [
        ("cow nine right hind toe ulcer", Carry(animal="20", seen=("9", "20"))),
        ("cow four fifteen left hind clean", Carry(animal="20", seen=("415", "20"))),
        ("left hind soul elsa banana", Carry(animal="9", seen=("9",))),
        ("same cow left hind clean", Carry(animal="9", seen=("9",), doubted=True)),
    ],
)
def test_context_mark_that_went_comes_back_as_it_was_read(text: str, carry: Carry) -> None:
    """What the notes before say goes and comes again without moving off the words of the number."""
    (read,) = _read(text, carry)
    assert CONTEXT & set(read.marks)
    without = read.with_marks(mark for mark in read.mark_details if mark.id not in CONTEXT)

    assert read == rechecked(without, roster=ROSTER, on=None, carry=carry)


def test_mark_of_a_chosen_number_points_at_no_word() -> None:
    """A number that a person chose was not heard, so that no heard word is doubtful for it."""
    (read,) = _read("cow four twelve left hind clean", Carry())
    chosen = read.model_copy(update={"animal": "9", "by_hand": ("animal",)})

    (mark,) = rechecked(
        chosen, roster=ROSTER, on=None, carry=Carry(animal="20", seen=("9", "20"))
    ).mark_details
    assert ("animal-seen-twice", -1, -1) == (mark.id, mark.first, mark.last)
