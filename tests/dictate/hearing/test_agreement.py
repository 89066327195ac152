"""Two listeners: agreement makes sure, contradiction is marked with both readings."""

from dataclasses import dataclass
from types import SimpleNamespace

import numpy as np
import pytest

from dictate.entry.values import SpokenRemark
from dictate.hearing import Heard
from dictate.hearing.agreement import TwoListeners
from dictate.hearing.certainty import certainty_of, slot_certainties
from dictate.hearing.hear_files import marked_entries
from dictate.hearing.remarks import mark_of_remark
from dictate.hearing.second_listener import _words, prompt_for
from dictate.hearing.talk import Judged, judge
from dictate.hearing.unsure import read_best
from dictate.sound import Sound
from grammar import Roster, Word, parse, parse_best
from tests.fake_engine import FakeEngine

SOUND = Sound.of(np.zeros(16_000, np.int16))
SAID = "cow four twelve left hind outer sole ulcer"


@dataclass(frozen=True)
class Hesitant(FakeEngine):
    """A first listener that is equally sure of every word."""

    sure: float = 0.9

    def hear(self, sound):
        words = tuple(
            Word(text=word.text, start=word.start, end=word.end, confidence=self.sure)
            for word in super().hear(sound).words
        )
        return Heard(words=words, engine="fake", model="none", seconds_audio=1.0, seconds_taken=0.0)


def listen(first, second, roster=None, sure=0.9):
    engine = TwoListeners(
        first=Hesitant({SOUND.sha256: first}, sure=sure), second=FakeEngine({SOUND.sha256: second})
    )
    heard = engine.hear(SOUND)
    hearings = [heard.words, *heard.alternatives]
    judged = judge(hearings, heard.fits, again=heard.again)
    return heard, marked_entries(parse_best(hearings, roster=roster), judged, roster=roster)


def marks_of(entry, check):
    return [mark for mark in entry["mark_details"] if mark["id"] == check]


def test_what_both_heard_loses_its_mark():
    """What both hear alike is surer than what one hears, also when the second writes figures."""
    _, (alone,) = listen(SAID, "", sure=0.5)
    heard, (entry,) = listen(SAID, "cow 412 left hind outer sole ulcer", sure=0.5)

    assert "unsure-animal" in alone["marks"]
    assert entry["marks"] == []
    assert [word.text for word in heard.words] == SAID.split()


def test_contradiction_is_marked_with_both_readings():
    """A lesion heard otherwise wants a look, and both readings are shown."""
    heard, (entry,) = listen(SAID, "cow four twelve left hind outer toe ulcer", sure=0.2)

    assert [word.text for word in heard.words] == SAID.split()
    assert entry["findings"][0]["lesion"] == "sole ulcer"
    (mark,) = marks_of(entry, "unsure")
    assert "sole ulcer" in mark["what"]
    assert "toe ulcer" in mark["what"]


def test_the_seconds_words_can_be_taken():
    """They are a candidate of a mark of their own, which stands first."""
    _, (entry,) = listen(SAID, "Cow 412, left hind outer toe ulcer.", sure=0.3)

    assert entry["mark_details"][0]["id"] == "second-listener"
    assert (
        list(entry["mark_details"][0]["candidates"])
        == ["cow four twelve left hind outer toe ulcer"]
        or "toe ulcer" in entry["mark_details"][0]["candidates"][0]
    )


def test_another_animal_is_offered_as_a_candidate():
    """When the second hears another number, both are candidates."""
    _, (entry,) = listen(SAID, "cow four twenty left hind outer sole ulcer", sure=0.5)

    (mark,) = marks_of(entry, "unsure-animal")
    assert list(mark["candidates"]) == ["412", "420"]


def test_a_silent_second_listener_changes_nothing():
    """Where it hears nothing, the reading is the one without it."""
    alone = marked_entries(parse_best([hesitant(SAID)]), Judged.as_they_are([hesitant(SAID)]))
    _, entries = listen(SAID, "")

    assert entries == alone


def hesitant(text):
    return Hesitant({SOUND.sha256: text}).hear(SOUND).words


def test_a_number_that_both_heard_is_not_doubted_for_other_hearings():
    """The first listener's alternatives have another number; the second heard the likeliest."""
    hearings = [
        tuple(Word(text=text, confidence=0.99) for text in said.split())
        for said in (SAID, SAID.replace("twelve", "twenty"))
    ]
    again = tuple(Word(text=text) for text in SAID.split())
    reading = parse_best(hearings)

    (alone,) = marked_entries(reading, judge(hearings))
    (entry,) = marked_entries(reading, judge(hearings, again=again))

    assert alone["marks"] == ["unsure-animal"]
    assert entry["marks"] == []


@pytest.mark.parametrize("confidence", [0.01, 0.3, 0.9, 0.999])
def test_a_second_opinion_moves_the_chance_the_right_way(confidence):
    """Agreement never lowers it, contradiction never raises it."""
    words = [Word(text=text, confidence=confidence) for text in SAID.split()]
    (entry,) = parse(words).entries

    def chances(borne_out):
        return [one.certainty for one in slot_certainties(entry, words, borne_out=borne_out)]

    alone = chances(None)
    assert all(a >= b for a, b in zip(chances(lambda *_: True), alone, strict=True))
    assert all(a <= b for a, b in zip(chances(lambda *_: False), alone, strict=True))


@pytest.mark.parametrize(
    ("first", "second", "animal", "mark"),
    [
        ("cow for [unk] [unk] ulcer", "cow four twelve left hind sole ulcer", "412", "first-listener"),
        ("cow four twelve", "something about the weather", "412", "unsure-animal"),  # no note
        ("cow four twelve", "left hind sole ulcer", "412", "second-listener"),  # not a whole one
    ],
)  # fmt: skip
def test_the_surer_reading_stands_first(first, second, animal, mark):
    """Only where it is a whole note, and the first's is doubted; the other's words are offered."""
    engine = TwoListeners(
        first=Hesitant({SOUND.sha256: first}, sure=0.1),
        second=Hesitant({SOUND.sha256: second}, sure=0.9),
    )
    heard = engine.hear(SOUND)
    judged = judge([heard.words, *heard.alternatives], heard.fits, again=heard.again)

    reading, judged = read_best(judged)

    (entry,) = marked_entries(reading, judged)
    assert animal == entry["animal"]
    assert mark in entry["marks"]


def test_the_text_of_a_remark_comes_from_the_second_listener():
    """It knows all words; the first knows those of the trade."""
    words = tuple(
        Word(text=text, start=at / 2, end=at / 2 + 0.4, confidence=0.99)
        for at, text in enumerate("cow four twelve all clean remark she two".split())
    )
    again = tuple(Word(text=text) for text in "cow 412 all clean remark she kicks badly".split())

    (entry,) = marked_entries(parse_best([words]), judge([words], again=again), seconds=6.0)

    (mark,) = marks_of(entry, "remark-spoken")
    assert list(mark["candidates"]) == ["she kicks badly"]


def test_where_it_writes_another_word_for_remark_the_times_tell():
    """ "mark the farmer": what it heard after the place of the remark is its text."""
    spoken = SpokenRemark(start=3.4, end=6.0)
    again = [
        Word(text=text, start=start)
        for text, start in (("inner", 2.6), ("mark", 3.0), ("the", 3.35), ("farmer", 3.6))
    ]

    assert mark_of_remark(spoken, again).candidates == ("the farmer",)
    assert mark_of_remark(spoken).candidates == ()


def test_the_prompt_is_capped():
    """Whisper drops the start of a long prompt without a word; ours never gets that long."""
    roster = Roster(numbers=tuple(str(number) for number in range(1000, 3000)))

    assert len(prompt_for(roster)) <= 600
    assert "corium" in prompt_for(roster)
    assert "1000" in prompt_for(roster)


@pytest.mark.parametrize(
    "kind",
    [
        "animal",
        "animal on roster",
        "said",
        "number",
        "repaired",
        "animal agreed",
        "slot agreed",
        "animal contradicted",
        "slot contradicted",
    ],
)
def test_certainty_rises_with_confidence(kind):
    """More confident words never make a slot less certain, and no chance leaves 0 to 1."""
    chances = [certainty_of(kind, confidence / 20) for confidence in range(21)]

    assert chances == sorted(chances)
    assert 0 < chances[0] < chances[-1] < 1
    assert certainty_of(kind, 0.9, disputed=True) <= certainty_of(kind, 0.9)


def test_the_least_sure_word_decides():
    """A slot is as certain as its least confident word."""
    words = [Word(text=text, confidence=0.3 if text == "twelve" else 1.0) for text in SAID.split()]
    (entry,) = parse(words).entries
    certainties = {slot.slot: slot for slot in slot_certainties(entry, words)}

    assert certainties["animal"].confidence == 0.3
    assert certainties["findings[0].lesion"].confidence == 1.0


def test_what_the_next_hearing_has_otherwise_is_disputed():
    """Equally sure words mark a slot only where another hearing reads something else."""
    words = tuple(Word(text=text, confidence=0.9) for text in f"{SAID} zone four".split())
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
    words = tuple(Word(text=text, confidence=0.94 if text == "three" else 1.0) for text in said)
    other = tuple(Word(text="two" if text == "three" else text) for text in said)

    (entry,) = marked_entries(parse(words), Judged.as_they_are([words, other]))

    (mark,) = [mark for mark in entry["mark_details"] if mark["id"] == "unsure"]
    assert "in three weeks" in mark["what"]
    assert "or in two weeks" in mark["what"]


def test_a_hearing_without_the_time_offers_no_empty_choice():
    """It disputes the interval, and has no words to put in its place."""
    said = f"{SAID} zone four look again in three weeks".split()
    words = tuple(Word(text=text, confidence=0.94 if text == "three" else 1.0) for text in said)

    (entry,) = marked_entries(parse(words), Judged.as_they_are([words, words[:-3]]))

    (mark,) = marks_of(entry, "unsure")
    assert "in three weeks" in mark["what"]
    assert "sure, or" not in mark["what"]


def test_another_number_in_an_unlikely_hearing_is_no_mark_of_its_own():
    """Where the number's chance is known, that some hearing has another one asks for nothing more."""
    sure = tuple(Word(text=text, confidence=0.999) for text in SAID.split())
    same = tuple(Word(text=text) for text in SAID.replace("ulcer", "ulcers").split())
    other = tuple(Word(text=text) for text in SAID.replace("twelve", "twenty").split())
    hearings = [sure, same, tuple(Word(text=text) for text in f"{SAID} zone".split()), other]

    (entry,) = marked_entries(parse_best(hearings), Judged.as_they_are(hearings))

    assert entry["marks"] == []
    assert "420" in entry["animal_candidates"]


def test_the_number_of_a_likely_hearing_is_one_mark():
    """A number that the next hearing has otherwise is marked once, with the other to choose."""
    sure = tuple(Word(text=text, confidence=0.9) for text in SAID.split())
    other = tuple(Word(text=text) for text in SAID.replace("twelve", "twenty").split())

    (entry,) = marked_entries(parse_best([sure, other]), Judged.as_they_are([sure, other]))

    assert entry["marks"] == ["unsure-animal"]
    assert entry["mark_details"][0]["candidates"] == ["412", "420"]


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


@pytest.mark.parametrize(
    ("read", "other", "marked"),
    [
        ("five four twelve left hind sole ulcer", SAID, True),
        ("five four twelve left hind sole ulcer", "four twelve left hind sole ulcer", False),
        ("cow five four twelve left hind sole ulcer", SAID, False),
    ],
)
def test_a_first_digit_that_another_hearing_has_as_cow_is_marked(
    read: str, other: str, *, marked: bool
):
    """However surely "five" was heard: a number with a digit too many is another animal."""
    sure = tuple(Word(text=text, confidence=0.999) for text in read.split())
    same = [tuple(Word(text=text) for text in f"{read} {end}".split()) for end in ("block", "trim")]
    hearings = [sure, *same, tuple(Word(text=text) for text in other.split())]

    (entry,) = marked_entries(parse(sure), Judged.as_they_are(hearings))

    marks = marks_of(entry, "unsure-animal")
    assert bool(marks) is marked
    if marked:
        assert "412" in marks[0]["candidates"]
