"""Voices in the home folder: each trimmer's own, the one in use, going back, forgetting."""

import datetime as dt
from pathlib import Path

import pytest

from dictate.decoder.model_files import bundled_model
from dictate.errors import NotFoundError
from dictate.settings import Settings
from dictate.voice.kept import (
    copy_voices,
    forget_voice,
    keep_voice,
    model_in_use,
    use_voice,
    voices,
    voices_folder,
)
from dictate.voice.model_folder import VoiceCard, write_model

DAY = dt.date(2026, 3, 2)


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(home=tmp_path / "home", trimmer="Ann")


def _learnt(small_model: Path, folder: Path) -> Path:
    from dictate.decoder.model_files import open_folder

    base = open_folder(small_model)
    card = VoiceCard(
        name="Ann", base=base.name, learnt_on=DAY, recordings=20, seconds=60.0, held_words=100,
        wrong_before=9, wrong_after=2, share=1.0,
    )  # fmt: skip
    network = small_model / "am" / "final.mdl"
    write_model(folder, base, network, voice=card, version="1, voice of Ann")
    return folder


def test_without_a_voice_everybody_is_heard_alike(settings: Settings, tmp_path: Path) -> None:
    """The bundled model, the one of the settings, or the one that is named."""
    assert bundled_model() == model_in_use(settings)
    own = settings.model_copy(update={"model": tmp_path})
    assert tmp_path == model_in_use(own)
    assert Path("named") == model_in_use(own, Path("named"))


def test_a_kept_voice_hears_its_owner_and_nobody_else(
    settings: Settings, small_model: Path, tmp_path: Path
) -> None:
    """Two trimmers on one computer each have theirs."""
    version = keep_voice(settings, _learnt(small_model, tmp_path / "new"), who="Ann", on=DAY)

    assert voices_folder(settings, "Ann") / version == model_in_use(settings)
    assert bundled_model() == model_in_use(settings, who="Bob")
    assert ["Ann"] == [one.card.name for one in voices(settings) if one.used]


def test_one_may_go_back_to_the_version_before_or_to_none(
    settings: Settings, small_model: Path, tmp_path: Path
) -> None:
    """Two versions are kept; `bundled` means none of them."""
    versions = [
        keep_voice(settings, _learnt(small_model, tmp_path / f"new{n}"), who="Ann", on=DAY)
        for n in range(3)
    ]
    assert versions[1:] == sorted(one.version for one in voices(settings))
    assert versions[2] == model_in_use(settings).name

    use_voice(settings, versions[1])
    assert versions[1] == model_in_use(settings).name
    use_voice(settings, "bundled")
    assert bundled_model() == model_in_use(settings)
    with pytest.raises(NotFoundError):
        use_voice(settings, versions[0])


def test_a_damaged_voice_is_left_aside(
    settings: Settings, small_model: Path, tmp_path: Path
) -> None:
    """Hearing goes on with the model for everybody."""
    version = keep_voice(settings, _learnt(small_model, tmp_path / "new"), who="Ann", on=DAY)
    (voices_folder(settings) / version / "am" / "final.mdl").write_bytes(b"half")

    assert bundled_model() == model_in_use(settings)


def test_forgetting_leaves_nothing(settings: Settings, small_model: Path, tmp_path: Path) -> None:
    """Voice, readings and half-done work go."""
    keep_voice(settings, _learnt(small_model, tmp_path / "new"), who="Ann", on=DAY)

    assert 1 == forget_voice(settings)

    assert not voices_folder(settings).exists()
    assert bundled_model() == model_in_use(settings)
    assert 0 == forget_voice(settings)


def test_names_that_look_alike_in_a_folder_stay_apart(settings: Settings) -> None:
    """Letters of any script make a folder of their own."""
    names = ["Ann", "ann", "Ann!", "Ян", "Åse"]

    assert len(names) == len({voices_folder(settings, name) for name in names})


def test_back_up_covers_voices_and_what_was_read(
    settings: Settings, small_model: Path, tmp_path: Path
) -> None:
    """A copy put into another home hears as before; half-done work is left behind."""
    version = keep_voice(settings, _learnt(small_model, tmp_path / "new"), who="Ann", on=DAY)
    folder = voices_folder(settings)
    for name in ("readings", "learning"):
        (folder / name).mkdir()
        (folder / name / "file").write_text("x")

    copy_voices(settings.home / "voices", tmp_path / "backup" / "voices")
    copy_voices(settings.home / "voices", tmp_path / "backup" / "voices")
    copy_voices(tmp_path / "backup" / "voices", tmp_path / "home2" / "voices")

    other = settings.model_copy(update={"home": tmp_path / "home2"})
    assert voices_folder(other) / version == model_in_use(other)
    assert (voices_folder(other) / "readings" / "file").exists()
    assert not (voices_folder(other) / "learning").exists()


def test_a_name_of_broken_letters_has_a_folder_too(settings) -> None:
    """A terminal may hand over bytes that are no letters; nobody of that name learnt a voice."""
    assert voices_folder(settings, "\udcff\udcfe") != voices_folder(settings, "\udcff")
