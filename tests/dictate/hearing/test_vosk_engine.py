"""The real recogniser with the bundled model."""

import itertools
import json
import logging
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import vosk
from typer.testing import CliRunner

from dictate.cli.main import app
from dictate.decoder.model_files import bundled_model
from dictate.decoder.terms import Term
from dictate.errors import ModelError
from dictate.hearing import open_engine
from dictate.hearing.inspecting import check_model
from dictate.hearing.vosk_engine import VoskEngine
from dictate.sound import Sound, read_sound
from dictate.sound.chute_noise import add_noise, chute_noise
from grammar import Roster, vocabulary

pytestmark = pytest.mark.engine

run = CliRunner().invoke


@pytest.fixture(scope="module")
def engine(graphs):
    return open_engine(home=graphs)


@pytest.fixture(scope="module")
def first(clips):
    return read_sound(clips[0])


SAID = "cow two ninety left hind foul severe refer to the vet"
"""What the first clip says, by demo_audio/notes.toml."""


def test_the_bundled_model_hears_every_word_of_the_grammar(engine):
    """No trade word is missing from the model that is shipped."""
    assert engine.missing_words(vocabulary()) == ()
    assert check_model(None).fit


def test_the_bundled_model_is_small():
    """The model stays under 20 MB."""
    size = sum(file.stat().st_size for file in bundled_model().rglob("*") if file.is_file())

    assert size < 20e6


def test_the_same_sound_always_gives_the_same_words(engine, first):
    """Words, times, confidences and alternatives are repeated to the last digit."""
    once, again = engine.hear(first), engine.hear(first)

    assert (once.words, once.alternatives) == (again.words, again.alternatives)
    assert once.text == SAID


def test_a_sound_that_vosk_fails_on_is_heard_a_little_shifted(engine, first, monkeypatch):
    """Vosk's own failure in determinising, which hangs on the place of every frame, costs no note."""
    whole, lengths = vosk.KaldiRecognizer.AcceptWaveform, []

    def fails_once(self, data):
        lengths.append(len(data))
        if len(lengths) == 1:
            raise Exception("Failed to process waveform")  # noqa: TRY002 (as the binding does)
        return whole(self, data)

    monkeypatch.setattr(vosk.KaldiRecognizer, "AcceptWaveform", fails_once)

    assert " ".join(word.text for word in engine.hear(first).words) == SAID
    assert 2 == len(set(lengths))


def test_words_have_times_and_confidences(engine, first):
    """Words follow each other inside the sound; confidences are shares."""
    words = engine.hear(first).words

    assert all(0 <= word.start < word.end <= first.seconds + 0.1 for word in words)
    assert all(a.end <= b.start + 0.031 for a, b in itertools.pairwise(words))
    assert all(0 < word.confidence <= 1 for word in words)


def test_hearings_have_chances_and_what_was_heard_comes_first(bundled, first):
    """All that a stretch may be adds up to everything; nothing stands there twice."""
    engine = VoskEngine(bundled)
    stretches = engine.hearings(first)

    heard = [word.text for word in engine.hear(first).words if word.text != "[unk]"]
    assert heard == [word for hearings in stretches for word in hearings[0][0]]
    for hearings in stretches:
        assert sum(chance for _, chance in hearings) == pytest.approx(1.0)
        assert len({words for words, _ in hearings}) == len(hearings)


def test_a_word_ends_before_the_pause_after_it(engine, first):
    """A pause belongs to no word: put a second of hiss in, and the word before stays short."""
    words = engine.hear(first).words
    cut = int((words[2].end + words[3].start) / 2 * 16_000)
    hiss = np.random.default_rng(1).normal(0, 3, 16_000).astype(np.int16)
    paused = Sound.of(np.concatenate([first.samples[:cut], hiss, first.samples[cut:]]))

    again = engine.hear(paused).words

    assert [word.text for word in again[:4]] == [word.text for word in words[:4]]
    assert again[2].end - again[2].start < 0.9
    assert again[3].start - again[2].end > 0.7


def test_a_long_pause_does_not_lose_what_follows(engine, clips):
    """Vosk ends a result at a long silence; both parts are joined, with times that go on."""
    sounds = [read_sound(clip) for clip in clips[:2]]
    gap = np.random.default_rng(2).normal(0, 3, 8 * 16_000).astype(np.int16)
    both = Sound.of(np.concatenate([sounds[0].samples, gap, sounds[1].samples]))

    heard = engine.hear(both)

    assert heard.text.split()[:3] == engine.hear(sounds[0]).text.split()[:3]
    assert heard.text.split()[-1] == engine.hear(sounds[1]).text.split()[-1]
    assert heard.words[-1].start > sounds[0].seconds + 8


def test_silence_gives_no_words(engine):
    """Exact digital silence, faint hiss and no sound at all have no words in them."""
    hiss = np.random.default_rng(3).normal(0, 2, 32_000).astype(np.int16)

    for samples in (np.zeros(32_000, np.int16), hiss, np.zeros(0, np.int16)):
        assert engine.hear(Sound.of(samples)).text in {"", "[unk]"}


def test_every_stretch_says_how_well_it_fits(bundled, engine, first):
    """A note fits about as the model says notes do; beside a better fit it is worse, words and all."""
    card = bundled.card.model_copy(update={"weights": {"good_fit": 0.0}})

    (fit,) = engine.hear(first).fits
    (strict,) = VoskEngine(replace(bundled, card=card)).hear(first).fits

    assert fit.fit > -15
    assert strict.fit == pytest.approx(fit.fit + bundled.card.weights["good_fit"], abs=0.02)
    assert fit.agreement == strict.agreement > 3
    assert 0 <= fit.start < 1 < fit.end <= first.seconds + 0.1


def test_words_under_machines_are_less_sure(engine, first):
    """A hearing that fits the sound badly claims less, whatever its alternatives are."""
    machines = chute_noise(first.seconds, np.random.default_rng(2))
    noisy = Sound.of(add_noise(first.samples, machines, snr_db=3))

    quiet_words, noisy_words = engine.hear(first).words, engine.hear(noisy).words

    assert min(word.confidence for word in quiet_words) > min(w.confidence for w in noisy_words)
    assert all(0 < word.confidence < 1 for word in (*quiet_words, *noisy_words))


def test_the_words_of_other_hearings_have_confidences_too(engine, clips):
    """Whichever hearing is read, it is known how sure its words are; what only it has is less sure."""
    for clip in clips:
        heard = engine.hear(read_sound(clip))
        first = {word.text for word in heard.words}
        for other in heard.alternatives:
            assert all(0 < word.confidence < 1 for word in other)
            own = [word.confidence for word in other if word.text not in first]
            assert not own or max(own) < max(word.confidence for word in heard.words)


def test_the_model_is_loaded_once(graphs):
    """A second engine of the same model shares what is loaded."""
    one, other = open_engine(home=graphs), open_engine(home=graphs)

    assert other.engine._model is one.engine._model


def test_a_herd_graph_is_built_once_and_never_stale(graphs, first):
    """The same roster finds its graph; another roster or term gets another one."""
    roster = Roster(numbers=tuple(str(number) for number in range(200, 600)))
    began = time.monotonic()
    engine = open_engine(roster=roster, home=graphs)
    built = {path.name: path.stat().st_mtime for path in (graphs / "graphs").iterdir()}
    assert time.monotonic() - began < 60  # the bar is 10 s; a busy machine must not fail the test

    open_engine(roster=roster, home=graphs)
    assert {path.name for path in (graphs / "graphs").iterdir()} == set(built)
    assert engine.hear(first).text == SAID

    open_engine(roster=Roster(numbers=("3", "4")), home=graphs)  # a herd of this test alone
    assert len(list((graphs / "graphs").iterdir())) == len(built) + 1


def test_a_damaged_graph_is_built_again(graphs):
    """A kept graph that was altered is noticed by its checksum and replaced."""
    roster = Roster(numbers=("7", "8"))
    open_engine(roster=roster, home=graphs)
    for graph in (graphs / "graphs").glob("*/graph/words.txt"):
        graph.write_text("<eps> 0\n")

    assert open_engine(roster=roster, home=graphs).missing_words(["cow"]) == ()


def test_a_taught_word_can_be_heard(graphs, first):
    """A word that sounds like known ones is in the vocabulary from now on."""
    term = Term(phrase="klorvet", sounds_like="claw vet", means="foul")

    engine = open_engine(terms=[term], home=graphs)

    assert engine.missing_words(["klorvet", "cow"]) == ()
    assert engine.hear(first).text == SAID


def test_a_static_model_cannot_be_told_words(bundled):
    """Vosk would only log it; here it is an error that says what to do."""
    with pytest.raises(ModelError, match="its vocabulary is fixed"):
        VoskEngine(bundled, phrases=["cow four twelve"])


def test_an_ordinary_model_is_told_the_trade_at_run_time(run_time_model, graphs, first):
    """A model with HCLr and Gr takes the grammar's notes as its words."""
    engine = open_engine(run_time_model, home=graphs)

    heard = engine.hear(first)

    assert heard.model == "ordinary-model"
    assert heard.text.startswith("cow two ninety left hind")


def test_a_run_time_model_hears_its_own_words_untold(run_time_model, first):
    """Its Gr.fst and words.txt number the words alike."""
    from dictate.decoder.model_files import open_folder

    heard = VoskEngine(open_folder(run_time_model)).hear(first)

    assert heard.text.startswith("cow two ninety left hind")


def test_words_that_a_model_lacks_are_named(run_time_model):
    """Told a word that the model does not know, Vosk would only log it."""
    from dictate.decoder.model_files import open_folder

    with pytest.raises(ModelError, match="it does not know zebra"):
        VoskEngine(open_folder(run_time_model), phrases=["cow zebra", "[unk]"])


def test_only_told_words_are_heard(run_time_model, first):
    """With a few words told, everything else is the filler."""
    from dictate.decoder.model_files import open_folder

    engine = VoskEngine(open_folder(run_time_model), phrases=["cow", "four", "[unk]"])

    assert set(engine.hear(first).text.split()) <= {"cow", "four", "[unk]"}


def test_a_model_that_lacks_words_is_reported(run_time_model, tmp_path, graphs, caplog):
    """What stays missing is said in the log and by `model check`."""
    import shutil

    poor = tmp_path / "poor-model"
    shutil.copytree(run_time_model, poor)
    table = poor / "graph" / "words.txt"
    table.write_text(table.read_text().replace("corium ", "korium ").replace("interdigital ", "x "))

    with caplog.at_level(logging.WARNING, logger="dictate"):
        open_engine(poor, home=graphs)

    assert "corium" in caplog.text
    found = check_model(poor)
    assert "corium" in found.missing
    assert found.spelt_out["interdigital"] == "inter digital"


def test_whisper_hears_a_clip_again(whisper, first):
    """The second listener reads its own words through the same grammar."""
    from dictate.hearing.second_listener import SecondListener
    from grammar import parse

    heard = SecondListener(whisper).hear(first)

    (entry, *_) = parse(heard.words).entries
    assert entry.animal.value == "290"
    assert all(word.start is not None for word in heard.words)


def test_a_folder_without_weights_is_no_second_listener(tmp_path):
    """The message says where to read how to get a model."""
    from dictate.hearing.second_listener import SecondListener

    with pytest.raises(ModelError, match=r"model\.bin missing"):
        SecondListener(tmp_path)


# --- commands ------------------------------------------------------------------------------


def test_hear_prints_one_object_a_file(clips, home, tmp_path):
    """In order, bad files among them; the exit code tells."""
    bad = tmp_path / "bad.wav"
    bad.write_bytes(b"RIFF")

    result = run(app, ["hear", str(clips[0]), str(bad), str(clips[1]), "--json"])

    objects = [json.loads(line) for line in result.stdout.splitlines()]
    assert [Path(answer["file"]).name for answer in objects] == [
        clips[0].name,
        "bad.wav",
        clips[1].name,
    ]
    assert {"file", "text", "words", "entries", "engine", "model", "seconds_audio", "seconds_taken",
            "error"} <= set(objects[0])  # fmt: skip
    assert set(objects[0]["words"][0]) == {"word", "start", "end", "confidence"}
    assert objects[0]["entries"][0]["animal"] == "290"
    assert objects[0]["error"] is None
    assert objects[1]["words"] == objects[1]["entries"] == []
    assert "bad.wav" in objects[1]["error"]
    assert "bad.wav" in result.stderr
    assert result.exit_code == 3


def test_model_info_and_check(home):
    """The bundled model describes itself and is fit."""
    about = json.loads(run(app, ["model", "info", "--json"]).stdout)
    found = run(app, ["model", "check"])

    assert about["made_by_dictate"]
    assert about["repeatable"]
    assert "every trade word can be heard" in found.stdout
    assert found.exit_code == 0


def test_terms_are_taught_listed_and_forgotten(home):
    """`term add` builds the graph at once; `term list` and `term forget` follow."""
    added = run(app, ["term", "add", "klorvet", "--sounds-like", "claw vet", "--means", "foul"])
    assert added.exit_code == 0, added.output
    assert list((home / "graphs").glob("graph-*"))
    (term,) = json.loads(run(app, ["term", "list", "--json"]).stdout)
    assert term["phrase"] == "klorvet"

    assert run(app, ["term", "forget", "klorvet"]).exit_code == 0
    assert json.loads(run(app, ["term", "list", "--json"]).stdout) == []


def test_measure_compares_engines(home, clips, tmp_path):
    """Figures of the engines asked for, side by side."""
    import shutil

    shutil.copy(clips[0], tmp_path)
    (tmp_path / "transcripts.tsv").write_text(
        f"utterance\ttext\tcondition\n{clips[0].name}\t{SAID}\tclean\n"
    )

    result = run(app, ["model", "measure", str(tmp_path), "--json"])

    (report,) = json.loads(result.stdout)
    assert report["all"]["notes"] == 1
    assert report["all"]["word_error_rate"] == 0
    assert report["real_time_factor"] > 0
    assert report["peak_memory_mb"] > 50
