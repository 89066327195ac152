"""The process that learns: `python -m dictate.voice.school`, a job on stdin, progress on stdout.

It saves what it has every quarter of a minute and goes on from there, so it may be killed at any
moment; its result appears whole or not at all.
"""

import copy
import os
import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
import torch

from dictate.decoder.model_files import ACOUSTIC, ModelFolder, open_folder
from dictate.errors import DictateError
from dictate.sound import read_sound
from dictate.training.export import export
from dictate.training.network import Network
from dictate.training.reopen import reopen
from dictate.voice.figures import in_words
from dictate.voice.held_out import versions
from dictate.voice.job import LEARNT, OUTCOME, WEED_STEPS, Job, Outcome, read_speech
from dictate.voice.learner import Course, Learner, Others
from dictate.voice.lessons import Lessons, Listening
from dictate.voice.model_folder import outputs_for_voice, outputs_of
from dictate.voice.recordings import Recording
from dictate.voice.weeding import fits, misfits

_SAVE_EVERY_SECONDS = 15.0
_CHECKPOINT = "checkpoint.pt"
_SECONDS_AT_MOST = 100.0
_STEPS_ENOUGH = 30
"""Of a stage on a slow computer: half the steps leave half a wrong word more of a hundred."""
_PACE_AFTER = 5
_SHARES = (0.0, 0.5, 0.75, 1.0)
"""Of the way from the old weights to the learnt ones (Wortsman et al. 2022); 0 is the old network."""
_SOME_SECONDS = 3.0
_SOME = 12
"""Recordings that the normalisations are measured on; what they are changes nothing at first."""


def attend(job: Job) -> Outcome:
    """Do a job, from where it stopped if it did."""
    began = time.monotonic()
    if job.gentle and hasattr(os, "nice"):
        os.nice(10)
    torch.set_num_threads(job.threads)
    own, noise = read_speech(job.speech)
    listening = Listening()
    folder = open_folder(job.base)
    outputs = outputs_for_voice(folder)
    base = _open(folder, own, listening)
    said = in_words(base, own, listening)
    own = [one.saying(said[at]) if at in said else one for at, one in enumerate(own)]
    others = Others([read_sound(path).samples for path in job.others], listening)
    dropped: tuple[int, ...] = ()
    saved = _saved(job.folder)
    if job.weed:
        dropped = saved["dropped"] if saved else _weeded(job, base, own, noise, others, listening)
    learn = [own[at] for at in job.learn if at not in dropped]
    held = [own[at] for at in job.held if at not in dropped]
    course = Course(steps=job.steps)
    learner = Learner(base, Lessons(learn, noise, listening), others, course)
    if saved and saved["learner"]:
        learner.take_up(saved["learner"])
    _run(job, learner, dropped, ahead=_ahead(job))
    share, before, after = _how_far(job, base, learner.network, held, listening)
    network = between(base, learner.network, share)
    export([network], job.folder / "draft.mdl", **outputs.model_dump())
    (job.folder / "draft.mdl").replace(job.folder / LEARNT)
    outcome = Outcome(
        share=share, dropped=dropped, said=said, loss_before=before, loss_after=after,
        seconds=round(time.monotonic() - began, 1),
    )  # fmt: skip
    draft = job.folder / "outcome.draft"
    draft.write_text(outcome.model_dump_json(), "utf-8")
    draft.replace(job.folder / OUTCOME)
    (job.folder / _CHECKPOINT).unlink(missing_ok=True)
    return outcome


def _open(folder: ModelFolder, own: list[Recording], listening: Listening) -> Network:
    size = int(_SOME_SECONDS * 16_000)
    signals = torch.zeros(2 * _SOME, size)
    for row in range(_SOME):
        part = torch.from_numpy(own[row % len(own)].samples[:size]).float()
        signals[row, : len(part)] = signals[_SOME + row, : len(part)] = part
    noise = torch.randn(signals.shape, generator=torch.Generator().manual_seed(0))
    noise[:_SOME] *= 3
    noise[_SOME:] *= 300
    lengths = torch.full((len(signals),), size)
    features, _ = listening.features((signals + noise).round().clamp(-32768, 32767), lengths)
    return reopen(folder.path / ACOUSTIC, features, **outputs_of(folder).model_dump())


def _ahead(job: Job) -> int:
    return WEED_STEPS if job.weed else 0


def _weeded(
    job: Job,
    base: Network,
    own: list[Recording],
    noise: list[np.ndarray],
    others: Others,
    listening: Listening,
) -> tuple[int, ...]:
    """Recordings whose words do not fit, judged by a network that has met the voice."""
    which = [*job.learn, *job.held]
    some = [own[at] for at in which]
    course = Course(steps=WEED_STEPS, ignored=0.25)
    lessons = Lessons([own[at] for at in job.learn], noise, listening, join=False)
    learner = Learner(base, lessons, others, course)
    for _ in learner.run():
        _say(learner.step, WEED_STEPS + job.steps)
    found = misfits(fits(learner.network, some, listening))
    dropped = tuple(sorted(which[at] for at in found))
    _save(job.folder, {"dropped": dropped, "learner": None})
    return dropped


def _run(job: Job, learner: Learner, dropped: tuple[int, ...], *, ahead: int) -> None:
    began = last = time.monotonic()
    first = learner.step
    for _ in learner.run():
        _say(ahead + learner.step, ahead + learner.course.steps)
        now = time.monotonic()
        if learner.step - first == _PACE_AFTER:
            _shorten(learner, (now - began) / _PACE_AFTER)
        if now - last > _SAVE_EVERY_SECONDS:
            _save(job.folder, {"dropped": dropped, "learner": learner.state()})
            last = now


def _shorten(learner: Learner, pace: float) -> None:
    """Take fewer steps on a slow or busy computer, which costs little; never fewer than enough."""
    affordable = max(_STEPS_ENOUGH, int(_SECONDS_AT_MOST / pace))
    if affordable < learner.course.steps:
        learner.course = replace(learner.course, steps=affordable)


def _how_far(
    job: Job, base: Network, learnt: Network, held: list[Recording], listening: Listening
) -> tuple[float, float | None, float | None]:
    """The share that suits the held recordings best, and what their words cost before and after."""
    if job.share is not None or not held:
        return job.share or 1.0, None, None
    heard = [
        replace(one, samples=samples)
        for at, one in enumerate(held)
        for samples in versions(one, at)
    ]
    losses = {
        share: float(np.mean([fit.loss for fit in fits(between(base, learnt, share), heard, listening)]))
        for share in _SHARES
    }  # fmt: skip
    best = min(_SHARES[1:], key=lambda share: losses[share])
    return best, losses[0.0], losses[best]


@torch.no_grad()
def between(base: Network, learnt: Network, share: float) -> Network:
    """Return the network a share of the way from one to the other."""
    mixed = copy.deepcopy(base)
    theirs = learnt.state_dict()
    for name, mine in mixed.state_dict().items():
        if mine.is_floating_point():
            mine.lerp_(theirs[name], share)
    return mixed


def _saved(folder: Path) -> dict | None:
    path = folder / _CHECKPOINT
    return torch.load(path, weights_only=True) if path.exists() else None


def _save(folder: Path, state: dict[str, object]) -> None:
    draft = folder / "checkpoint.draft"
    torch.save(state, draft)
    draft.replace(folder / _CHECKPOINT)


def _say(done: int, of: int) -> None:
    sys.stdout.write(f"{done} {of}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    try:
        attend(Job.model_validate_json(sys.stdin.read()))
    except DictateError as error:
        sys.exit(error.line)
