"""What a note hands to the next one."""

import pytest

from dictate.notes.following import carry_after
from dictate.store.states import EntryState
from dictate.store.tables import Entry, Reading
from grammar import Carry

CARRY = Carry(animal="412", seen=("412",), doubted=True)


def _reading(**content: object) -> Reading:
    return Reading(
        note_id=1, origin="heard", who="dictate", lexicon="x", content=content, entries=[]
    )


@pytest.mark.parametrize(("content", "handed"), [({}, "412"), ({"leftover": ["banana"]}, None)])
def test_reading_without_entries_names_no_animal(content: dict, handed: str | None) -> None:
    """The animal goes on past it, unless words that were not understood may have named another."""
    after = carry_after(_reading(**content), [], CARRY)
    assert (handed, ("412",)) == (after.animal, after.seen)


def test_entry_beside_a_reading_without_entries_hands_on_its_animal() -> None:
    """What stands in the queue counts, whatever the reading kept."""
    entry = Entry(
        note_id=1, visit_id=1, position=0, state=EntryState.WAITING, content={"animal": "9"}
    )
    assert "9" == carry_after(_reading(), [entry], CARRY).animal
