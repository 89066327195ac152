"""Two listeners: agreement makes sure, contradiction is marked with both readings."""

from types import SimpleNamespace

import numpy as np
import pytest

from dictate.hearing import FakeEngine
from dictate.hearing.agreement import TwoListeners
from dictate.hearing.certainty import certainty_of, slot_certainties
from dictate.hearing.second_listener import _words, prompt_for
from dictate.hearing.talk import Judged
from dictate.hearing.unsure import marked_entries
from dictate.sound import Sound
from grammar import Roster, Word, parse, parse_best

SOUND = Sound.of(np.zeros(16_000, np.int16))
SAID = "cow four twelve left hind outer sole ulcer"


class Hesitant(FakeEngine):
    """A first listener that is half sure of everything."""

    def hear(self, sound):
        heard = super().hear(sound)
        return type(heard)(
            words=tuple(Word(text=w.text, start=w.start, end=w.end, confidence=0.9) for w in heard.words),
            engine="fake", model="none", seconds_audio=1.0, seconds_taken=0.0,
        )  # fmt: skip


def listen(first, second, roster=None):
    engine = TwoListeners(
        first=Hesitant({SOUND.sha256: first}),
        second=FakeEngine({SOUND.sha256: second}),
        roster=roster,
    )
    heard = engine.hear(SOUND)
    hearings = [heard.words, *heard.alternatives]
    return heard, marked_entries(
        parse_best(hearings, roster=roster), Judged.as_they_are(hearings), roster=roster
    )


def test_agreement_makes_slots_more_certain():
    """What both hear alike is surer than what one hears, also when the second writes figures."""
    heard, _ = listen(SAID, "cow 412 left hind outer sole ulcer")

    assert all(word.confidence > 0.9 for word in heard.words)


def test_contradiction_is_marked_with_both_readings():
    """A lesion heard otherwise wants a look, and both readings are shown."""
    heard, (entry,) = listen(SAID, "cow four twelve left hind outer toe ulcer")

    assert [word.text for word in heard.words] == SAID.split()
    assert entry["findings"][0]["lesion"] == "sole ulcer"
    (mark,) = [mark for mark in entry["mark_details"] if mark["id"] == "unsure"]
    assert "sole ulcer" in mark["what"]
    assert "toe ulcer" in mark["what"]


def test_another_animal_is_offered_as_a_candidate():
    """When the second hears another number, both are candidates."""
    _, (entry,) = listen(SAID, "cow four twenty left hind outer sole ulcer")

    assert "unsure-animal" in entry["marks"]
    (mark,) = [mark for mark in entry["mark_details"] if mark["id"] == "unsure-animal"]
    assert mark["candidates"] == ("412", "420") or mark["candidates"] == ["412", "420"]


def test_a_silent_second_listener_changes_nothing():
    """Where one of them hears nothing, the first listener's words stay as they are."""
    heard, _ = listen(SAID, "")

    assert {word.confidence for word in heard.words} == {0.9}


def test_the_prompt_is_capped():
    """Whisper drops the start of a long prompt without a word; ours never gets that long."""
    roster = Roster(numbers=tuple(str(number) for number in range(1000, 3000)))

    assert len(prompt_for(roster)) <= 600
    assert "corium" in prompt_for(roster)
    assert "1000" in prompt_for(roster)


@pytest.mark.parametrize("kind", ["animal", "animal on roster", "said", "disputed", "repaired"])
def test_certainty_rises_with_confidence(kind):
    """More confident words never make a slot less certain, and no chance leaves 0 to 1."""
    chances = [certainty_of(kind, confidence / 20) for confidence in range(21)]

    assert chances == sorted(chances)
    assert 0 < chances[0] < chances[-1] < 1


def test_the_least_sure_word_decides():
    """A slot is as certain as its least confident word."""
    words = [Word(text=text, confidence=0.3 if text == "twelve" else 1.0) for text in SAID.split()]
    (entry,) = parse(words).entries
    certainties = {slot.slot: slot for slot in slot_certainties(entry, words)}

    assert certainties["animal"].confidence == 0.3
    assert certainties["findings[0].lesion"].confidence == 1.0


def test_what_the_next_hearing_has_otherwise_is_disputed():
    """Equally sure words mark a slot only where another hearing reads something else."""
    words = tuple(Word(text=text, confidence=0.5) for text in f"{SAID} zone four".split())
    same = tuple(Word(text=text) for text in f"{SAID}s zone four".split())
    other = tuple(Word(text=text) for text in f"{SAID} zone five".split())

    def marks(second):
        (entry,) = marked_entries(parse(words), Judged.as_they_are([words, second]))
        return [mark["what"] for mark in entry["mark_details"] if mark["id"] == "unsure"]

    assert marks(same) == []
    (what,) = marks(other)
    assert "or 5" in what
    assert "ulcer" not in what


def test_a_reading_of_another_hearing_is_judged_by_that_hearings_words():
    """The likeliest hearing leaves a word over, so the next is read: its doubtful number is marked."""
    likeliest = tuple(Word(text=text, confidence=0.9) for text in f"{SAID} zone".split())
    unsure = dict.fromkeys(("four", "twelve"), 0.2)
    read = tuple(Word(text=text, confidence=unsure.get(text, 0.9)) for text in SAID.split())

    reading = parse_best([likeliest, read])
    (entry,) = marked_entries(reading, Judged.as_they_are([likeliest, read]))

    assert len(reading.words) == len(read)
    assert {"heard-otherwise", "unsure-animal"} <= set(entry["marks"])


def test_another_interval_in_the_next_hearing_is_marked():
    """Two weeks or three: the record keeps the interval as a plain value, and it is judged all the same."""
    said = f"{SAID} zone four look again in three weeks".split()
    words = tuple(Word(text=text, confidence=0.4 if text == "three" else 0.99) for text in said)
    other = tuple(Word(text="two" if text == "three" else text) for text in said)

    (entry,) = marked_entries(parse(words), Judged.as_they_are([words, other]))

    (mark,) = [mark for mark in entry["mark_details"] if mark["id"] == "unsure"]
    assert "in three weeks" in mark["what"]
    assert "or in two weeks" in mark["what"]


def test_words_without_confidence_are_not_judged():
    """Typed notes have no confidences, so nothing about them is unsure."""
    (entry,) = parse(SAID.split()).entries

    assert slot_certainties(entry, parse(SAID.split()).words) == ()


def test_a_text_that_goes_round_in_circles_is_not_heard():
    """Whisper may repeat itself on short sounds; its own measure of that is the compression ratio."""
    said = SimpleNamespace(word=" 412", start=0.0, end=0.4, probability=0.9)

    def heard(ratio):
        return list(_words([SimpleNamespace(words=[said], compression_ratio=ratio)]))

    assert [word.text for word in heard(1.1)] == ["412"]
    assert heard(12.0) == []
