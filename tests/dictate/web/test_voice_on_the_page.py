"""The page says how a person is heard, and goes back to the model for everybody."""

import datetime as dt

from dictate.decoder.model_files import bundled_model, open_folder
from dictate.voice.kept import keep_voice, model_in_use
from dictate.voice.model_folder import VoiceCard, write_model


def test_a_voice_is_shown_and_can_be_left(browser, desk, tmp_path):
    """What it is worth in words; one button stops using it."""
    base = open_folder(bundled_model())
    card = VoiceCard(
        name=desk.settings.trimmer, base=base.name, learnt_on=dt.date(2026, 3, 2), recordings=20,
        seconds=60.0, held_words=100, wrong_before=9, wrong_after=2, share=1.0,
    )  # fmt: skip
    write_model(
        tmp_path / "new", base, base.path / "am" / "final.mdl", voice=card, version="1, voice"
    )
    keep_voice(desk.settings, tmp_path / "new", who=card.name, on=card.learnt_on)

    assert "9 were wrong before and 2 are now" in browser.get("/learnt").text
    browser.post("/learnt/use-voice", {"version": "bundled", "whose": card.name})

    assert bundled_model() == model_in_use(desk.settings)
