"""An animal that only the roster made is doubtful, and what was heard without it is offered."""

import numpy as np
import pytest

from dictate.hearing import Heard, open_engine
from dictate.hearing.certainty import is_unsure, slot_certainties
from dictate.hearing.numbers_again import NumbersAgain
from dictate.sound import RATE, Sound, read_sound
from grammar import Roster, Word, parse

ROSTER = Roster(numbers=("1886", "412"))
SOUND = Sound.of(np.zeros(5 * RATE, np.int16))


def timed(text, pace=0.5):
    """Words of so many seconds each."""
    return tuple(
        Word(text=word, start=at * pace, end=(at + 0.8) * pace, confidence=1.0)
        for at, word in enumerate(text.split())
    )


class Says:
    """An engine that hears the same in every sound, and keeps how long the sounds were."""

    def __init__(self, said, *others, pace=0.5):
        self.words, self.others, self.asked = timed(said, pace), tuple(map(timed, others)), []

    def hear(self, sound):
        self.asked.append(round(sound.seconds, 1))
        return Heard(
            words=self.words, alternatives=self.others, engine="fake", model="none",
            seconds_audio=sound.seconds, seconds_taken=0.1,
        )  # fmt: skip


def animal(words):
    """(number, whether it would be marked) of the first entry."""
    entry = parse(words, roster=ROSTER).entries[0]
    slot = next(one for one in slot_certainties(entry, words, ROSTER) if one.slot == "animal")
    return slot.value, is_unsure(slot)


def test_a_number_that_only_the_roster_made_is_doubtful_and_the_other_is_offered():
    """8086 is on no roster: heard with one it was 1886, as sure as could be."""
    said = "number eighteen eighty six left hind sole ulcer"
    without = Says("number eighty eighty six left")
    heard = NumbersAgain(Says(said, f"{said} clean"), without=without, roster=ROSTER).hear(SOUND)

    assert heard.text == said
    assert animal(timed(said)) == ("1886", False)
    assert animal(heard.words) == ("1886", True)
    assert animal(heard.alternatives[0]) == ("1886", True)
    assert animal(heard.alternatives[-1]) == ("8086", True)
    assert [w.confidence for w in heard.words if w.text in {"left", "ulcer"}] == [1.0, 1.0]
    # With the words beside it: from 0.5 - 0.7 (the start) to 1.9 + 0.7 seconds.
    assert without.asked == [pytest.approx(2.6)]
    assert heard.seconds_taken == pytest.approx(0.2)


@pytest.mark.parametrize(
    ("again", "pace"),
    [
        ("cow four one two left", 0.375),
        ("cow four hundred and twelve", 0.3),
        ("cow four twelve", 0.5),
    ],
)
def test_the_same_number_in_other_words_changes_nothing(again, pace):
    said = "cow four twelve left hind clean"
    heard = NumbersAgain(Says(said), without=Says(again, pace=pace), roster=ROSTER).hear(SOUND)
    assert heard.words == timed(said)
    assert heard.alternatives == ()


def test_a_word_cut_at_the_end_is_no_digit_more():
    """What is heard at the edge of the sound that was cut out lies outside the number."""
    said = "cow four twelve near hind clean"
    heard = NumbersAgain(Says(said), without=Says("cow four twelve oh"), roster=ROSTER)
    assert heard.hear(SOUND).words == timed(said)


def test_no_number_at_all_without_the_roster_is_doubt_too():
    heard = NumbersAgain(Says("cow four twelve clean"), without=Says("[unk] clean"), roster=ROSTER)
    assert animal(heard.hear(SOUND).words) == ("412", True)
    assert heard.hear(SOUND).alternatives == ()


def test_a_number_that_is_on_no_roster_is_not_heard_again():
    without = Says("cow five six seven")
    said = "cow five six seven left hind clean"
    heard = NumbersAgain(Says(said), without=without, roster=ROSTER).hear(SOUND)
    assert (heard.words, without.asked) == (timed(said), [])


def test_each_entry_has_its_number_heard_again():
    said = "cow four twelve clean cow eighteen eighty six clean"
    without = Says("cow four twelve")
    heard = NumbersAgain(Says(said), without=without, roster=ROSTER).hear(SOUND)
    entries = parse(heard.words, roster=ROSTER).entries
    sure = [min(w.confidence for w in heard.words[e.animal.first : e.animal.last]) for e in entries]
    assert sure == [1.0, 0.5]


@pytest.mark.engine
def test_the_bundled_model_is_sure_of_a_number_that_was_said(clips, graphs):
    """A clip of the demo day, whose animal is on the roster: the two hearings agree."""
    alone = open_engine(terms=(), home=graphs).hear(read_sound(clips[0]))
    number = parse(alone.words).entries[0].animal.value
    engine = open_engine(roster=Roster(numbers=(number,)), terms=(), home=graphs)
    heard = engine.hear(read_sound(clips[0]))
    slot = parse(heard.words).entries[0].animal
    assert slot.value == number
    assert all(word.confidence > 0.5 for word in heard.words[slot.first : slot.last])
