"""Learn a voice from recordings: a trial with a fifth held out, a comparison, then the voice itself.

Every stage leaves what it made in a work folder named by everything that goes into it, so that a
call that was stopped, however hard, is taken up by the next one.
"""

import datetime as dt
import hashlib
import json
import shutil
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from dictate.decoder.model_files import ModelFolder, open_folder
from dictate.errors import VoiceError
from dictate.voice.held_out import (
    Comparison,
    compare,
    hear_held,
    held_fifth,
    write_held,
)
from dictate.voice.job import LEARNT, WEED_STEPS, Job, learn_apart, write_speech
from dictate.voice.model_folder import VoiceCard, write_model
from dictate.voice.needs import need_torch
from dictate.voice.recordings import LeftOut, Material

_STEPS = 60
_ENOUGH_SECONDS = 120.0
"""With so much speech the fifth that judged is not learnt from either."""
_COMPARING = 10
"""Steps in whose time two models hear what was kept aside."""
_FEWEST = 4
"""Recordings, under which nothing can be kept aside."""
_CODE = 3
"""Counts changes of what the stages do, so that no other program's half-done work is taken up."""


class Progress(Protocol):
    """Hears how far long work is."""

    def stage(self, name: str, total: int) -> None: ...

    def at(self, done: int) -> None: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What is learnt on top of what, and where."""

    name: str
    """Whose voice."""
    base: Path
    """Model that is taught."""
    now: Path
    """Model that this person uses now, which the new one has to beat."""
    work: Path
    """Folder for what is half done."""
    others: tuple[Path, ...] = ()
    """Other people's recordings, to hold on to."""
    today: dt.date
    steps: int = _STEPS
    gentle: bool = False
    """Let everything else on the computer go first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Learnt:
    """What came of it."""

    folder: Path
    """The new model, in the work folder until it is put in its place."""
    comparison: Comparison
    recordings: int
    seconds: float
    left_out: tuple[LeftOut, ...]
    share: float

    @property
    def worse(self) -> bool:
        return self.comparison.errors_after > self.comparison.errors_before


class _Whole:
    """One count over all stages, so that the time left is that of the whole."""

    def __init__(self, progress: Progress, total: int) -> None:
        self._progress, self._before = progress, 0
        progress.stage("learning your voice", total)

    def part(self, steps: int) -> Callable[[int, int], None]:
        """What tells of the next stage, which is worth so many steps of all."""
        before = self._before
        self._before += steps
        return lambda done, of: self._progress.at(before + round(steps * done / max(of, 1)))


def learn(material: Material, plan: Plan, *, progress: Progress) -> Learnt:
    """Learn a voice; the old one stays in use until the caller puts the new one in its place.

    Raises:
        VoiceError: PyTorch is missing, or there is too little speech.
    """
    need_torch()
    if len(material.own) < _FEWEST:
        raise VoiceError(
            f"{len(material.own)} recordings are too few to learn from",
            remedy="Read at least 20 prompts aloud, or give more recordings",
        )
    base = open_folder(plan.base)
    place = plan.work / _key(material, plan, base)
    _forget_others(plan.work, place)
    place.mkdir(parents=True, exist_ok=True)
    speech = place / "speech.npz"
    if not speech.exists():
        write_speech(speech, material.own, material.noise)
    held = held_fifth(material.own)
    rest = [at for at in range(len(material.own)) if at not in held]
    job = Job(
        base=plan.base, speech=speech, folder=place / "trial", others=plan.others,
        learn=tuple(rest), held=tuple(held), steps=plan.steps,
        gentle=plan.gentle,
    )  # fmt: skip
    little = material.seconds < _ENOUGH_SECONDS and bool(held)
    whole = _Whole(progress, WEED_STEPS + plan.steps * (1 + little) + _COMPARING)
    trial = learn_apart(job, progress=whole.part(WEED_STEPS + plan.steps))
    material = material.saying(trial.said)
    judged = [at for at in held if at not in trial.dropped]
    comparison = _judged(material, judged, plan, base, job.folder, place)
    whole.part(_COMPARING)(1, 1)
    learnt_from = [at for at in rest if at not in trial.dropped]
    network = job.folder / LEARNT
    if little:
        learnt_from = sorted([*learnt_from, *judged])
        final = Job(
            base=plan.base, speech=speech, folder=place / "final", others=plan.others,
            learn=tuple(learnt_from), steps=plan.steps, share=trial.share, weed=False,
            gentle=plan.gentle,
        )  # fmt: skip
        learn_apart(final, progress=whole.part(plan.steps))
        network = final.folder / LEARNT
    seconds = sum(material.own[at].seconds for at in learnt_from)
    card = VoiceCard(
        name=plan.name, base=base.name, learnt_on=plan.today, recordings=len(learnt_from),
        seconds=round(seconds, 1), held_words=comparison.words,
        wrong_before=comparison.errors_before, wrong_after=comparison.errors_after,
        share=trial.share, learnt_from=tuple(sorted({material.own[at].sha256 for at in learnt_from} - {""})),
    )  # fmt: skip
    folder = place / "model"
    shutil.rmtree(folder, ignore_errors=True)
    write_model(folder, base, network, voice=card, version=_version(base, plan))
    dropped = tuple(
        LeftOut(name=material.own[at].name, why="its words do not fit what is heard")
        for at in trial.dropped
    )
    return Learnt(
        folder=folder, comparison=comparison, recordings=len(learnt_from), seconds=seconds,
        left_out=(*material.left_out, *dropped), share=trial.share,
    )  # fmt: skip


def _version(base: ModelFolder, plan: Plan) -> str:
    version = base.card.version if base.card else ""
    return f"{version}, voice of {plan.name} {plan.today}"


def _key(material: Material, plan: Plan, base: ModelFolder) -> str:
    """A name for everything that goes into the stages."""
    parts = {
        "own": [one.key for one in material.own],
        "noise": [hashlib.sha256(one.tobytes()).hexdigest() for one in material.noise],
        "base": base.card.files if base.card else base.name,
        "now": str(plan.now),
        "steps": plan.steps,
        "code": _CODE,
    }
    return hashlib.sha256(json.dumps(parts, sort_keys=True).encode()).hexdigest()[:24]


def _forget_others(work: Path, place: Path) -> None:
    """Drop half-done work on other speech: it will not be taken up again."""
    for path in work.iterdir() if work.is_dir() else ():
        if path != place and len(path.name) == len(place.name):
            shutil.rmtree(path, ignore_errors=True)


def _judged(
    material: Material, judged: Sequence[int], plan: Plan, base: ModelFolder, trial: Path,
    place: Path,
) -> Comparison:  # fmt: skip
    """Compare the model in use with the trial on the held speech."""
    if not judged:
        return compare([], [], [])
    files = write_held(place / "held", [material.own[at] for at in judged])
    paths, said = [path for path, _ in files], [words for _, words in files]
    tried = place / "tried"
    shutil.rmtree(tried, ignore_errors=True)
    write_model(tried, base, trial / LEARNT, voice=None, version="trial")
    with ThreadPoolExecutor(2) as pool:
        before, after = pool.map(lambda model: hear_held(model, paths, place), (plan.now, tried))
    shutil.rmtree(tried)
    return compare(said, before, after)
