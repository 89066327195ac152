"""The process that learns: `python -m dictate.voice.school`, a job on stdin, progress on stdout.

It saves what it has every quarter of a minute and goes on from there, so it may be killed at any
moment; its result appears whole or not at all.
"""

import copy
import itertools
import os
import sys
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import torch

from dictate.decoder.model_files import ACOUSTIC, ModelFolder, open_folder
from dictate.errors import DictateError
from dictate.sound import read_sound
from dictate.training.export import export
from dictate.training.network import Network
from dictate.training.reopen import reopen
from dictate.voice.held_out import versions
from dictate.voice.job import OUTCOME, WEED_STEPS, Job, Outcome, read_speech
from dictate.voice.learner import Course, Learner, Others
from dictate.voice.lessons import Lessons, Listening
from dictate.voice.model_folder import outputs_of
from dictate.voice.recordings import Recording
from dictate.voice.weeding import fits, in_words, misfits

_SAVE_EVERY_SECONDS = 15.0
_DRAFT = f".{os.getpid()}.draft"
"""Of this process alone: one whose parent was killed goes on for a step beside the next."""
_SECONDS_AT_MOST = 100.0
_STEPS_ENOUGH = 30
"""Of a stage on a slow computer: half the steps leave half a wrong word more of a hundred."""
_PACE_AFTER = 5
_SHARES = (0.25, 0.5, 0.75, 1.0)
"""Of the way from the old weights to the learnt ones (Wortsman et al. 2022)."""
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
    base = _open(folder, own, listening)
    said = in_words(base, own, listening)
    own = [one.saying(said[at]) if at in said else one for at, one in enumerate(own)]
    others = Others([read_sound(path).samples for path in job.others], listening)
    room = _Room(job, base, own, noise, others, listening)
    dropped = room.dropped()
    taught = [room.taught(at, dropped) for at in range(job.courses)]
    parts = [[own[at] for at in part if at not in dropped] for part in job.parts]
    share = job.share or _how_far(base, taught, parts, listening)
    mixed = [between(base, network, share) for network in taught]
    for way, outputs in enumerate(job.outputs or [outputs_of(folder)]):
        for path, network in zip(job.written(way), mixed, strict=True):
            draft = path.with_suffix(_DRAFT)
            export([network], draft, **outputs.model_dump())
            draft.replace(path)
    outcome = Outcome(
        share=share, dropped=dropped, said=said, seconds=round(time.monotonic() - began, 1),
        cost=_cost(base, parts, listening),
    )  # fmt: skip
    draft = (job.folder / OUTCOME).with_suffix(_DRAFT)
    draft.write_text(outcome.model_dump_json(), "utf-8")
    draft.replace(job.folder / OUTCOME)
    for path in job.folder.glob("*.pt"):
        path.unlink(missing_ok=True)
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


@dataclass(frozen=True, slots=True)
class _Room:
    """Where courses are held; what each comes to is put away, and taken up after a stop."""

    job: Job
    base: Network
    own: list[Recording]
    noise: list[np.ndarray]
    others: Others
    listening: Listening

    def dropped(self) -> tuple[int, ...]:
        """Recordings whose words do not fit, judged by a network that has met the voice."""
        job = self.job
        if not job.weed:
            return ()
        if (saved := self._saved("weeded")) is not None:
            return saved["dropped"]
        some = [self.own[at] for at in job.learn]
        lessons = Lessons(some, self.noise, self.listening, join=False)
        course = Course(steps=WEED_STEPS, ignored=0.25)
        learner = Learner(self.base, lessons, self.others, course)
        for _ in learner.run():
            self._say(learner.step)
        found = misfits(fits(learner.network, some, self.listening))
        dropped = tuple(sorted(job.learn[at] for at in found))
        self._save("weeded", {"dropped": dropped})
        return dropped

    def taught(self, at: int, dropped: tuple[int, ...]) -> Network:
        """Return what a course comes to."""
        job = self.job
        network = copy.deepcopy(self.base)
        if (done := self._saved(f"{at}")) is not None:
            network.load_state_dict(done)
            return network
        aside = {*dropped, *(job.parts[at] if job.parts else ())}
        learn = [self.own[one] for one in job.learn if one not in aside]
        lessons = Lessons(learn, self.noise, self.listening)
        learner = Learner(self.base, lessons, self.others, Course(steps=job.steps))
        if (begun := self._saved(f"{at}-begun")) is not None:
            learner.take_up(begun)
        self._run(learner, at)
        self._save(f"{at}", learner.network.state_dict())
        return learner.network

    def _run(self, learner: Learner, at: int) -> None:
        began = last = time.monotonic()
        first = learner.step
        ahead = WEED_STEPS * self.job.weed + at * self.job.steps
        for _ in learner.run():
            self._say(ahead + round(self.job.steps * learner.step / learner.course.steps))
            now = time.monotonic()
            if learner.step - first == _PACE_AFTER:
                _shorten(learner, (now - began) / _PACE_AFTER)
            if now - last > _SAVE_EVERY_SECONDS:
                self._save(f"{at}-begun", learner.state())
                last = now

    def _say(self, done: int) -> None:
        job = self.job
        total = WEED_STEPS * job.weed + job.courses * job.steps
        sys.stdout.write(f"{done} {total}\n")
        sys.stdout.flush()

    def _saved(self, name: str) -> dict[str, Any] | None:
        path = self.job.folder / f"{name}.pt"
        return torch.load(path, weights_only=True) if path.exists() else None

    def _save(self, name: str, state: dict[str, Any]) -> None:
        path = self.job.folder / f"{name}.pt"
        draft = path.with_suffix(_DRAFT)
        torch.save(state, draft)
        draft.replace(path)


def _shorten(learner: Learner, pace: float) -> None:
    """Take fewer steps on a slow or busy computer, which costs little; never fewer than enough."""
    affordable = max(_STEPS_ENOUGH, int(_SECONDS_AT_MOST / pace))
    if affordable < learner.course.steps:
        learner.course = replace(learner.course, steps=affordable)


def _cost(base: Network, parts: Sequence[Sequence[Recording]], listening: Listening) -> float:
    """Return what the words of the parts cost a network, as they were recorded: nats a phone."""
    found = fits(base, list(itertools.chain(*parts)), listening)
    return float(np.mean([fit.loss for fit in found])) if found else 0.0


def _how_far(
    base: Network, taught: Sequence[Network], parts: Sequence[Sequence[Recording]],
    listening: Listening,
) -> float:  # fmt: skip
    """Return the share that suits the recordings that a course did not learn from.

    Most people are heard best three quarters or all of the way, so kept-out speech, of which there
    is little, has to speak against going on, not for it.
    """
    costs: list[list[float]] = [[] for _ in _SHARES]
    for network, part in zip(taught, parts, strict=False):
        heard = [
            replace(one, samples=it) for at, one in enumerate(part) for it in versions(one, at)
        ]
        for found, share in zip(costs, _SHARES, strict=True):
            found += [fit.loss for fit in fits(between(base, network, share), heard, listening)]
    return furthest_as_good(dict(zip(_SHARES, costs, strict=True)))


def furthest_as_good(costs: Mapping[float, Sequence[float]]) -> float:
    """Return the largest share whose mean cost is within a standard error of the lowest."""
    if not all(costs.values()):
        return max(costs)
    best = min(costs.values(), key=np.mean)
    most = np.mean(best) + np.std(best) / len(best) ** 0.5
    return max(share for share, cost in costs.items() if np.mean(cost) <= most)


@torch.no_grad()
def between(base: Network, learnt: Network, share: float) -> Network:
    """Return the network a share of the way from one to the other."""
    mixed = copy.deepcopy(base)
    theirs = learnt.state_dict()
    for name, mine in mixed.state_dict().items():
        if mine.is_floating_point():
            mine.lerp_(theirs[name], share)
    return mixed


if __name__ == "__main__":
    try:
        attend(Job.model_validate_json(sys.stdin.read()))
    except DictateError as error:
        sys.exit(error.line)
