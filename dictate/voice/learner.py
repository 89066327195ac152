"""Teach a network one voice: a few dozen steps from the bundled weights, held back by other people.

CTC on the person's own speech; on other people's the learning network is pulled to what the
bundled one makes of it (Yu et al. 2013, "KL-divergence regularized deep neural network adaptation",
there on the own speech), so that words this person has not said yet are not forgotten.
Normalisations stay as they are.
"""

import copy
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import torch
from torch import Tensor, nn
from torch.nn import functional

from dictate.sound import RATE
from dictate.training.batches import Batch
from dictate.training.network import Network
from dictate.voice.lessons import Lessons, Listening


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """How a voice is learnt; the choices are compared in docs/explanation/voice.md."""

    steps: int = 60
    rate: float = 2e-4
    """Of AdamW at the first step; falls to nothing along a cosine."""
    rows: int = 8
    """Own utterances a step."""
    others: int = 4
    """Stretches of other people's speech a step."""
    pull: float = 1.0
    """Weight of staying with the bundled network on them."""
    ignored: float = 0.0
    """Share of each step's rows, those that fit worst, which teach nothing (Han et al. 2018)."""


class Others:
    """Other people's speech, without words: what the network must go on hearing as before."""

    _SECONDS = 3.0

    def __init__(self, sounds: Sequence[np.ndarray], listening: Listening) -> None:
        self._sounds = [torch.from_numpy(one) for one in sounds if len(one) > RATE]
        self._listening = listening

    def __bool__(self) -> bool:
        return bool(self._sounds)

    def next(self, rows: int) -> tuple[Tensor, Tensor]:
        """Features and output frames of stretches drawn at random, with a faint floor."""
        samples = int(self._SECONDS * RATE)
        signals = torch.zeros(rows, samples)
        lengths = torch.zeros(rows, dtype=torch.long)
        for row in range(rows):
            sound = self._sounds[int(torch.randint(len(self._sounds), ()))]
            start = int(torch.randint(max(1, len(sound) - samples), ()))
            part = sound[start : start + samples]
            signals[row, : len(part)] = part.float() * 10 ** (-torch.rand(()))
            lengths[row] = len(part)
        signals += torch.randn_like(signals) * 10 ** (2 * torch.rand(rows, 1))
        return self._listening.features(signals.round().clamp(-32768, 32767), lengths)


class Learner:
    """One course on one person's lessons; its state can be put away and taken up."""

    def __init__(
        self, base: Network, lessons: Lessons, others: Others, course: Course, *, seed: int = 0
    ) -> None:
        self.base = base.eval()
        self.network = copy.deepcopy(base).eval()  # normalisations as they are, nothing dropped out
        self.lessons, self.others, self.course = lessons, others, course
        self.step = 0
        torch.manual_seed(seed)
        self._optimiser = torch.optim.AdamW(
            self.network.parameters(), lr=course.rate, betas=(0.9, 0.98), weight_decay=0.0
        )

    def run(self) -> Iterator[float]:
        """Learn to the end of the course; yields each step's loss (nats a frame)."""
        while self.step < self.course.steps:
            yield self._learn()

    def _learn(self) -> float:
        course = self.course
        for group in self._optimiser.param_groups:
            group["lr"] = course.rate * _share(self.step, course.steps)
        features, frames, batch = self.lessons.next(course.rows)
        loss = self._own_loss(self.network(features), frames, batch)
        total = loss
        if course.pull and self.others:
            total = loss + course.pull * self._pull()
        self._optimiser.zero_grad(set_to_none=True)
        total.backward()
        norm = nn.utils.clip_grad_norm_(self.network.parameters(), 2.0)
        if torch.isfinite(norm):
            self._optimiser.step()
        self.step += 1
        return float(loss.detach())

    def _own_loss(self, outputs: Tensor, frames: Tensor, batch: Batch) -> Tensor:
        losses = functional.ctc_loss(
            outputs.transpose(0, 1), batch.targets, frames, batch.target_lengths,
            reduction="none", zero_infinity=True,
        )  # fmt: skip
        kept = torch.ones(len(losses), dtype=torch.bool, device=losses.device)
        if drop := int(self.course.ignored * len(losses)):
            kept[(losses / batch.target_lengths).detach().topk(drop).indices] = False
        return losses[kept].sum() / frames[kept].sum()

    def _pull(self) -> Tensor:
        features, frames = self.others.next(self.course.others)
        with torch.no_grad():
            wanted = self.base(features)
        heard = self.network(features)
        counts = torch.arange(heard.shape[1], device=heard.device)[None] < frames[:, None]
        apart = functional.kl_div(heard, wanted, reduction="none", log_target=True).sum(-1)
        return (apart * counts).sum() / counts.sum()

    def state(self) -> dict[str, Any]:
        """All that going on needs."""
        return {
            "network": self.network.state_dict(),
            "optimiser": self._optimiser.state_dict(),
            "step": self.step,
            "steps": self.course.steps,
            "torch": torch.get_rng_state(),
            "drawn": self.lessons.state(),
        }

    def take_up(self, state: dict[str, Any]) -> None:
        """Go on from a state that was put away."""
        self.network.load_state_dict(state["network"])
        self._optimiser.load_state_dict(state["optimiser"])
        self.step = state["step"]
        self.course = replace(self.course, steps=min(self.course.steps, state["steps"]))
        torch.set_rng_state(state["torch"])
        self.lessons.take_up(state["drawn"])


def _share(step: int, steps: int) -> float:
    """A short warm-up, then a cosine to nothing."""
    gentle = min(1.0, (step + 1) / 5)
    return gentle * 0.5 * (1 + math.cos(math.pi * step / steps))
