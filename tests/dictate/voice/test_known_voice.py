"""Notes heard with a learnt voice: fewer slots are wrong, and those that are get a mark sooner."""

import datetime as dt
from dataclasses import asdict, replace
from pathlib import Path

import pytest

from dictate.decoder.model_files import ACOUSTIC, bundled_model, open_folder
from dictate.hearing import Fit, open_engine
from dictate.hearing.certainty import is_unsure, slot_certainties
from dictate.hearing.talk import judge
from dictate.hearing.unsure import doubts_of
from dictate.sound import read_sound
from dictate.voice.model_folder import VoiceCard, write_model
from grammar import Roster, Word, parse
from tests.fake_engine import DEMO

SAID = "cow four twelve left hind outer sole ulcer"
OTHERWISE = SAID.replace("sole ulcer", "abscess")


@pytest.fixture(scope="module")
def voice(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The bundled network as if it had learnt a voice."""
    folder = tmp_path_factory.mktemp("voices") / "voice"
    base = open_folder(bundled_model())
    card = VoiceCard(
        name="Ann", base=base.name, learnt_on=dt.date(2026, 3, 2), recordings=20, seconds=60.0,
        held_words=100, wrong_before=9, wrong_after=2, share=1.0,
    )  # fmt: skip
    write_model(folder, base, base.path / ACOUSTIC, voice=card, version="1, voice of Ann")
    return folder


def _hearing(confidence: float, said: str = SAID) -> list[Word]:
    numbers = {"four", "twelve"}
    return [
        Word(text=text, confidence=1.0 if text in numbers else confidence) for text in said.split()
    ]


def test_a_model_that_knows_the_voice_says_so_with_and_without_a_roster(
    voice: Path, tmp_path: Path
) -> None:
    """The graph of a herd is another folder: it must not forget whose voice it hears."""
    sound = read_sound(DEMO / "20260302_092755.opus")
    herd = Roster(numbers=("412", "77"))

    assert all(fit.voice for fit in open_engine(voice).hear(sound).fits)
    assert all(fit.voice for fit in open_engine(voice, roster=herd, home=tmp_path).hear(sound).fits)
    assert not any(fit.voice for fit in open_engine().hear(sound).fits)


def test_a_term_of_a_known_voice_is_marked_sooner_and_nothing_else_changes() -> None:
    """A lesion that another hearing disputes; the animal and what nobody disputes stay unmarked."""
    words = _hearing(0.95)
    (entry,), (other,) = parse(words).entries, parse(OTHERWISE.split()).entries
    plain, known = (
        slot_certainties(entry, words, others=[other], voice=voice) for voice in (False, True)
    )
    assert [] == [slot.slot for slot in plain if is_unsure(slot)]
    assert ["findings[0].lesion"] == [slot.slot for slot in known if is_unsure(slot)]
    assert [slot.certainty for slot in plain] == [slot.certainty for slot in known]
    surely = slot_certainties(entry, _hearing(0.9999), others=[other], voice=True)
    assert not any(is_unsure(slot) for slot in surely)


def test_the_mark_stays_when_a_stored_note_is_read_again() -> None:
    """Fits are stored as plain data; those of notes from before know of no voice."""
    fit = Fit(start=0.0, end=3.0, fit=0.0, agreement=5.0, voice=True)
    before = {name: value for name, value in asdict(fit).items() if name != "voice"}
    hearings = [_hearing(0.95), _hearing(0.95, OTHERWISE)]
    reading = parse(hearings[0])

    def marks(kept: Fit) -> list[str]:
        (found,) = doubts_of(reading, judge(hearings, [kept]), roster=None, aliases=None)
        return [mark.id for mark in found.marks]

    assert marks(Fit(**asdict(fit))) == ["unsure"]
    assert marks(Fit(**before)) == marks(replace(fit, voice=False)) == []
