"""Learning end to end on a small network: a model comes out, kills cost nothing, wrong words go."""

import datetime as dt
import shutil
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest

from dictate.decoder.model_files import open_folder
from dictate.errors import VoiceError
from dictate.voice.job import Job, learn_apart, read_speech, write_speech
from dictate.voice.learning import Plan, learn
from dictate.voice.model_folder import check_target, put_in_place, read_voice
from dictate.voice.recordings import Material
from tests.dictate.voice.conftest import recording

pytest.importorskip("torch", reason="learning needs the extra [voice]")

TEXTS = [f"{a} {b} {c}" for a, b in (("four", "two"), ("nine", "one"), ("six", "zero"))
         for c in ("three", "eight", "five", "seven")]  # fmt: skip


class Silent:
    """Progress that nobody looks at."""

    def __init__(self) -> None:
        self.stages: list[str] = []

    def stage(self, name: str, total: int) -> None:
        self.stages.append(name)

    def at(self, done: int) -> None: ...


@pytest.fixture
def material() -> Material:
    return Material(own=tuple(recording(text) for text in TEXTS))


def _plan(model: Path, work: Path) -> Plan:
    return Plan(
        name="ann", base=model, now=model, work=work, today=dt.date(2026, 3, 2), steps=4
    )  # fmt: skip


def test_a_voice_comes_out_as_a_whole_model(
    small_model: Path, material: Material, tmp_path: Path
) -> None:
    """The folder opens as a model, says whose voice it is, and has another network."""
    learnt = learn(material, _plan(small_model, tmp_path / "work"), progress=Silent())
    put_in_place(learnt.folder, tmp_path / "mine")

    folder = open_folder(tmp_path / "mine")
    assert "voice of ann 2026-03-02" in folder.name
    card = read_voice(tmp_path / "mine")
    assert card is not None and card.name == "ann" and card.recordings == len(TEXTS)
    before = (small_model / "am" / "final.mdl").read_bytes()
    assert (tmp_path / "mine" / "am" / "final.mdl").read_bytes() != before


def _job(model: Path, folder: Path, *, steps: int) -> Job:
    own = [recording(text) for text in TEXTS]
    folder.mkdir(parents=True, exist_ok=True)
    write_speech(folder / "speech.npz", own, [])
    return Job(
        base=model, speech=folder / "speech.npz", folder=folder / "trial",
        learn=tuple(range(len(TEXTS))), parts=((0, 1), (2, 3)), steps=steps,
    )  # fmt: skip


def test_the_process_that_learns_may_be_killed(small_model: Path, tmp_path: Path) -> None:
    """After a kill there is no result, and the next call goes on from what was saved."""
    job = _job(small_model, tmp_path, steps=4000)
    job.folder.mkdir()
    checkpoint = job.folder / "0-begun.pt"
    with subprocess.Popen(
        [sys.executable, "-m", "dictate.voice.school"], stdin=subprocess.PIPE, text=True,
        stdout=subprocess.DEVNULL,
    ) as process:  # fmt: skip
        assert process.stdin is not None
        process.stdin.write(job.model_dump_json())
        process.stdin.close()
        while not checkpoint.exists() and process.poll() is None:
            time.sleep(0.2)
        process.kill()
    assert checkpoint.exists() and not any(path.exists() for path in job.networks)

    seen: list[int] = []
    fewer = job.model_copy(update={"steps": 3})
    outcome = learn_apart(fewer, progress=lambda done, _of: seen.append(done))

    assert all(path.exists() for path in job.networks) and not checkpoint.exists()
    assert all(done > 20 for done in seen), "the recordings were judged again"
    assert outcome.share > 0


def test_what_is_done_is_not_done_again(small_model: Path, tmp_path: Path) -> None:
    """A finished stage answers from its folder."""
    job = _job(small_model, tmp_path, steps=2)
    first = learn_apart(job, progress=lambda *_: None)

    again = learn_apart(job, progress=lambda *_: pytest.fail("learnt again"))

    assert first == again


def test_a_fault_of_the_process_reaches_the_person(small_model: Path, tmp_path: Path) -> None:
    """A model that does not say how it was sharpened cannot be taught."""
    model = tmp_path / "plain"
    shutil.copytree(small_model, model)
    (model / "model.toml").unlink()
    job = _job(model, tmp_path / "job", steps=2)

    with pytest.raises(VoiceError, match="sharpened"):
        learn_apart(job, progress=lambda *_: None)


def test_speech_goes_to_the_process_unchanged(tmp_path: Path) -> None:
    """Samples, words and pronunciations come back as they were."""
    own = [recording(text) for text in TEXTS[:3]]
    write_speech(tmp_path / "speech.npz", own, [own[0].samples])

    back, noise = read_speech(tmp_path / "speech.npz")

    assert [one.sounded for one in own] == [one.sounded for one in back]
    assert [one.key for one in own] == [one.key for one in back]
    assert (own[0].samples == noise[0]).all()


def test_a_folder_that_holds_something_else_is_left_alone(tmp_path: Path) -> None:
    """Only nothing, an empty folder or an older voice is replaced."""
    (tmp_path / "empty").mkdir()
    check_target(tmp_path / "empty")
    check_target(tmp_path / "new")
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "letters.txt").write_text("mine")

    with pytest.raises(VoiceError, match="something else"):
        check_target(tmp_path / "full")


def test_without_pytorch_it_says_what_to_install(
    material: Material, small_model: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The extra is named before anything is done."""
    monkeypatch.setattr("dictate.voice.needs.find_spec", lambda _: None)

    with pytest.raises(VoiceError, match=r"dictate\[voice\]"):
        learn(material, _plan(small_model, tmp_path / "work"), progress=Silent())

    assert not (tmp_path / "work").exists()


def test_what_cannot_be_compared_is_not_begun(
    small_model: Path, material: Material, tmp_path: Path
) -> None:
    """Minutes of learning that could change nothing are not spent; a model of its own is written."""
    few = Material(own=material.own[:4])
    plan = _plan(small_model, tmp_path / "work")

    with pytest.raises(VoiceError, match="4 recordings tell too little"):
        learn(few, replace(plan, only_better=True), progress=Silent())
    assert not plan.work.exists()
    assert learn(few, plan, progress=Silent()).folder.is_dir()
