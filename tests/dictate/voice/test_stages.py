"""The stages of learning, with what learns and what hears replaced: who is judged, what is kept."""

import datetime as dt
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from dictate.decoder.model_files import bundled_model, open_folder
from dictate.errors import VoiceError
from dictate.voice import judging, learning
from dictate.voice.held_out import Held
from dictate.voice.job import Job, Outcome
from dictate.voice.judging import Wrong
from dictate.voice.learning import Learnt, Plan, learn
from dictate.voice.model_folder import VoiceCard, outputs_tried, read_voice, write_model
from dictate.voice.recordings import LeftOut, Material
from dictate.voice.report import in_words
from tests.dictate.voice.conftest import recording

DIGITS = "one two three four five six seven eight".split()
TEXTS = [f"{a} {b}" for a in DIGITS for b in DIGITS[:3] if a != b]


class Nobody:
    """Progress that nobody looks at."""

    def stage(self, name: str, total: int) -> None: ...

    def at(self, done: int) -> None: ...


@pytest.fixture
def jobs(monkeypatch: pytest.MonkeyPatch) -> list[Job]:
    """Every job that is given; each leaves the network that it was to teach."""
    given: list[Job] = []

    def learn_apart(job: Job, *, progress: Callable[[int, int], None]) -> Outcome:
        given.append(job)
        job.folder.mkdir(parents=True, exist_ok=True)
        for path in job.networks:
            shutil.copyfile(job.base / "am" / "final.mdl", path)
        progress(1, 1)
        return Outcome(share=0.75, dropped=(job.learn[0],) if job.weed else (), seconds=1.0)

    monkeypatch.setattr(learning, "learn_apart", learn_apart)
    monkeypatch.setattr(learning, "need_torch", lambda: None)
    return given


def _hearing(monkeypatch: pytest.MonkeyPatch, *, new: bool, old: bool) -> None:
    """Let the new and the old model hear everything right, or nothing."""

    def hear_held(model: Path, held: list[Held]) -> list[Wrong]:
        right = old if model == bundled_model() else new
        counts = [0 if right else len(one.words) for one in held]
        return [Wrong(count, count) for count in counts]

    _hear_by(monkeypatch, hear_held)


def _hear_by(
    monkeypatch: pytest.MonkeyPatch, hear_held: Callable[[Path, list[Held]], list[Wrong]]
) -> None:
    monkeypatch.setattr(learning, "hear_held", hear_held)
    monkeypatch.setattr(judging, "hear_held", hear_held)


def _plan(tmp_path: Path) -> Plan:
    bundled = bundled_model()
    return Plan(
        name="Ann", base=bundled, now=bundled, work=tmp_path / "work", today=dt.date(2026, 3, 2)
    )  # fmt: skip


def _learnt(tmp_path: Path) -> Learnt:
    own = tuple(recording(text) for text in TEXTS)
    return learn(Material(own=own), _plan(tmp_path), progress=Nobody())


def test_a_little_speech_is_judged_in_parts_and_learnt_whole(
    jobs: list[Job], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What did not fit teaches nothing, how far to go is what the held ones said."""
    _hearing(monkeypatch, old=False, new=True)

    learnt = _learnt(tmp_path)

    trial, final = jobs
    assert set(trial.learn) == set(range(len(TEXTS)))
    judged = [at for part in trial.parts for at in part]
    assert 3 == len(trial.parts) and len(judged) == len(set(judged)) >= 0.9 * len(TEXTS)
    dropped = len(TEXTS[trial.learn[0]].split())
    assert learnt.comparison.words == 2 * (sum(len(TEXTS[at].split()) for at in judged) - dropped)
    assert set(final.learn) == set(range(len(TEXTS))) - {trial.learn[0]}
    assert final.share == 0.75 and not final.weed
    assert learnt.comparison.better
    card = read_voice(learnt.folder)
    assert card is not None and card.wrong_before > 0 == card.wrong_after
    assert "voice of Ann 2026-03-02" in open_folder(learnt.folder).name
    assert any("of 100 words of yours, 100 were" in line.lower() for line in in_words(learnt, used=True))  # fmt: skip


@pytest.mark.parametrize(("cost", "steps"), [(0.1, 60), (2.0, 150)])
def test_who_is_heard_badly_is_learnt_for_longer(
    jobs: list[Job], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, cost: float, steps: int
) -> None:
    """The steps of the last course follow what the words cost before; all steps are counted."""
    _hearing(monkeypatch, old=False, new=True)
    given = learning.learn_apart

    def learn_apart(job: Job, *, progress: Callable[[int, int], None]) -> Outcome:
        return given(job, progress=progress).model_copy(update={"cost": cost})

    monkeypatch.setattr(learning, "learn_apart", learn_apart)
    counted: list[tuple[str, int]] = []

    class Progress:
        def stage(self, name: str, total: int) -> None:
            counted.append(("of", total))

        def at(self, done: int) -> None:
            counted.append(("at", done))

    own = tuple(recording(text) for text in TEXTS)
    learn(Material(own=own), _plan(tmp_path), progress=Progress())

    trial, final = jobs
    assert steps == final.steps and 30 == trial.steps
    total = [number for what, number in counted if what == "of"][-1]
    done = [number for what, number in counted if what == "at"]
    assert done == sorted(done) and total == done[-1]


def test_too_few_recordings_are_counted_and_those_left_out_named(tmp_path: Path) -> None:
    """Who has a folder of recordings on which nobody speaks is told so, and which they are."""
    why = "nobody is heard speaking on it"
    left = tuple(LeftOut(name=f"{at}.wav", why=why) for at in range(7))
    material = Material(own=(recording("one two"),), left_out=left)

    with pytest.raises(VoiceError, match=rf"1 recordings.*0\.wav, .*4\.wav and 2 more: {why}"):
        learn(material, _plan(tmp_path), progress=Nobody())


def test_what_is_tried_goes_into_one_folder_one_network_after_another(
    jobs: list[Job], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The graph is copied once; half a model that a stopped call left is not taken for one."""
    graphs: list[tuple[Path, int]] = []

    def hear_held(model: Path, held: list[Held]) -> list[Wrong]:
        if model != bundled_model():
            assert open_folder(model).card is not None
            graphs.append((model, (model / "graph" / "HCLG.fst").stat().st_ctime_ns))
        return [Wrong(1, 1) for _ in held]

    _hear_by(monkeypatch, hear_held)
    first = _learnt(tmp_path)
    tried = graphs[0][0]
    (tried / "graph").mkdir(parents=True)
    (tried / "graph" / "HCLG.fst").write_bytes(b"half")
    again = _learnt(tmp_path)

    assert first.comparison == again.comparison
    assert len(jobs) >= 1 and len(graphs) > 2
    assert len(set(graphs)) == 2  # one graph a call
    assert not tried.exists()


def test_with_enough_speech_what_judged_is_not_learnt_from(
    jobs: list[Job], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The network that was judged is the one that is used."""
    _hearing(monkeypatch, old=False, new=True)
    monkeypatch.setattr(learning, "_ENOUGH_SECONDS", 1.0)

    learnt = _learnt(tmp_path)

    assert 1 == len(jobs)
    (part,) = jobs[0].parts
    assert learnt.recordings == len(TEXTS) - len({*part, 0})


def test_what_the_voice_in_use_has_learnt_from_is_no_judge(
    jobs: list[Job], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It knows those recordings by heart: only newer ones can tell which is better."""
    _hearing(monkeypatch, old=False, new=True)
    own = tuple(replace(recording(text), sha256=text) for text in TEXTS)
    old, new = own[:8], own[8:]
    base = open_folder(bundled_model())
    card = VoiceCard(
        name="Ann", base=base.name, learnt_on=dt.date(2026, 3, 1), recordings=8, seconds=9.0,
        held_words=20, wrong_before=9, wrong_after=2, share=1.0,
        learnt_from=tuple(one.sha256 for one in old),
    )  # fmt: skip
    network = base.path / "am" / "final.mdl"
    write_model(tmp_path / "now", base, network, voice=card, version="1, voice")
    plan = replace(_plan(tmp_path), now=tmp_path / "now")

    learnt = learn(Material(own=own), plan, progress=Nobody())
    again = learn(Material(own=old), plan, progress=Nobody())

    judged = {own[at].name for part in jobs[0].parts for at in part}
    assert judged <= {one.name for one in new} and len(judged) > len(new) / 2
    assert set(jobs[1].learn) == set(range(len(own))) - {0}, "learnt from is all of it"
    assert learnt.comparison.words
    assert not again.comparison.words
    assert "learnt all of this already" in " ".join(in_words(again, used=False))


def test_what_hears_no_better_is_not_called_better(
    jobs: list[Job], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Right before and right after is no gain, and the person is told."""
    _hearing(monkeypatch, old=True, new=True)

    learnt = _learnt(tmp_path)

    assert not learnt.comparison.better
    assert "try it on more" in " ".join(in_words(learnt, used=True))
    assert "Nothing changed: not a word" in " ".join(in_words(learnt, used=False))


def test_a_worse_model_is_called_worse(
    jobs: list[Job], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A model that was asked for by name is written, and hears as before."""
    _hearing(monkeypatch, old=True, new=False)

    learnt = _learnt(tmp_path)

    assert 1 == len(jobs), "what is not wanted is not learnt"
    assert "hears as before" in " ".join(in_words(learnt, used=True))
    assert "would hear you worse" in " ".join(in_words(learnt, used=False))
    written, before = open_folder(learnt.folder), open_folder(bundled_model())
    assert written.card is not None and before.card is not None
    assert before.card.outputs == written.card.outputs
    card = read_voice(learnt.folder)
    assert card is not None and 0 == card.share


@pytest.mark.parametrize("plain_is_right", [True, False])
def test_outputs_are_sharpened_only_for_whom_it_helps(
    jobs: list[Job], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, *, plain_is_right: bool
) -> None:
    """Written as before, unless more is heard right with surer ones."""
    plain, surer = outputs_tried(open_folder(bundled_model()))

    def hear_held(model: Path, held: list[Held]) -> list[Wrong]:
        card = open_folder(model).card
        right = card is not None and (card.outputs == surer or plain_is_right)
        wrong = model == bundled_model() or not right
        return [Wrong(int(wrong), float(wrong)) for _ in held]

    _hear_by(monkeypatch, hear_held)

    _learnt(tmp_path)

    assert (plain if plain_is_right else surer,) == jobs[-1].outputs
