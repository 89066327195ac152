"""Step 3: train the network: `python -m dictate.training.train OUT PACK…`; goes on where it stopped.

What is learnt from is what `views` makes of every batch. Progress runs from 0 to 1 by
steps or by minutes, whichever ends first; learning rate and augmentation follow it.
"""

import argparse
import copy
import json
import logging
import os
import random
import time
from collections.abc import Sequence
from pathlib import Path

import torch
from torch import Tensor, distributed

from dictate.training.augment import Augmenter
from dictate.training.batches import Sampler, gather
from dictate.training.corpus import RATE
from dictate.training.evaluate import table
from dictate.training.features import Mfcc
from dictate.training.network import Network, load_network, save_network
from dictate.training.packs import PHONES, Example, Pack, load_packs
from dictate.training.recipe import Budget, Recipe, learning_rate_at, read_recipe
from dictate.training.views import Views

logger = logging.getLogger(__name__)
_SAVE_EVERY_SECONDS = 60.0
_DRAWN_AT_ONCE = 4000
_GENTLE_STEPS = 150
"""A new optimiser knows nothing of the gradients' size yet, whatever the schedule says."""


class Trainer:
    """One training run on one device."""

    def __init__(
        self, recipe: Recipe, pack: Pack, device: torch.device, *, seed: int = 0, rank: int = 0
    ) -> None:
        """`rank` tells the processes of one run apart: the same first weights, other batches."""
        torch.manual_seed(seed)
        self.recipe, self.pack, self.device, self.rank = recipe, pack, device, rank
        self.rng = random.Random(seed)
        self.network = Network(recipe.shape).to(device)
        self.mfcc = Mfcc().to(device)
        self.sampler = Sampler(pack.train, recipe.weights)
        recorded = [pack.audio[p.start : p.start + p.length] for p in pack.noise]
        each = 48 if device.type == "cuda" else 2
        augment = Augmenter(recorded, device, strength=recipe.strength, each=each)
        self._measure_features()
        self.average = copy.deepcopy(self.network)
        self.optimiser = torch.optim.AdamW(
            self._groups(), lr=recipe.training.learning_rate, betas=(0.9, 0.98),
            fused=device.type == "cuda",
        )  # fmt: skip
        self.step = 0
        self.rng = random.Random(f"{seed}/{rank}")
        self.views = Views(recipe, pack.audio, self.mfcc, augment, self.rng)
        torch.manual_seed(seed + 1000 * rank)

    def _groups(self) -> list[dict]:
        """Matrices decay, norms and biases do not."""
        named = list(self.network.named_parameters())
        matrices = [p for _, p in named if p.ndim > 1]
        others = [p for _, p in named if p.ndim <= 1]
        decay = self.recipe.training.weight_decay
        return [
            {"params": matrices, "weight_decay": decay},
            {"params": others, "weight_decay": 0.0},
        ]

    def _measure_features(self) -> None:
        some = self.rng.choices(self.pack.train, k=300 if self.device.type == "cuda" else 8)
        long_enough = [one for one in some if one.length >= RATE // 4]
        frames = [
            self.mfcc(gather(self.pack.audio, [one], self.rng, vary=False).signals)[0]
            for one in long_enough
        ]
        # Pauses of exact zeros would dominate the mean.
        features = torch.cat([f[f[:, 0] > f[:, 0].max() - 60] for f in frames])
        self.network.mean.copy_(features.mean(0))
        self.network.deviation.copy_(features.std(0))

    def start_from(self, network: Network) -> None:
        """Go on from the weights of another run."""
        self.network.load_state_dict(network.state_dict())
        self.average.load_state_dict(network.state_dict())

    def run(self, budget: Budget, folder: Path) -> None:
        """Train until the budget is spent; the averaged network is `folder/network.pt`."""
        start = saved = time.monotonic()
        first = self.step
        training = self.recipe.training
        losses: list[Tensor] = []
        while True:
            batches = self.sampler.batches(
                self.rng,
                samples=int(training.batch_seconds * RATE),
                count=_DRAWN_AT_ONCE,
                join=training.join,
            )
            for examples in batches:
                mine = budget.progress(time.monotonic() - start, self.step - first)
                progress = self._agreed(mine)
                if progress >= budget.span[1]:
                    self._save(folder, progress)
                    return
                losses.append(self._learn(examples, progress))
                if time.monotonic() - saved > _SAVE_EVERY_SECONDS:
                    saved = time.monotonic()
                    self._save(folder, progress)
                    mean = torch.stack(losses).mean(0).tolist()
                    if not self.rank:
                        logger.info(
                            "step %d progress %.3f ctc %.4f consistency %.4f",
                            self.step,
                            progress,
                            *mean,
                        )
                    losses.clear()

    def _learn(self, examples: Sequence[Example], progress: float) -> Tensor:
        training = self.recipe.training
        self.network.train()
        gentle = min(1.0, (self.step + 1) / _GENTLE_STEPS)
        for group in self.optimiser.param_groups:
            group["lr"] = (
                training.learning_rate * learning_rate_at(progress, training.warm_up) * gentle
            )
        ctc, pull, frames = self.views.losses(self.network, examples, progress)
        loss = (ctc + training.consistency * pull) / frames
        self.optimiser.zero_grad(set_to_none=True)
        loss.backward()
        self._share_gradients()
        norm = torch.nn.utils.clip_grad_norm_(self.network.parameters(), 2.0)
        if torch.isfinite(norm):
            self.optimiser.step()
        self.step += 1
        self._follow()
        return torch.stack([ctc.detach() / frames, pull.detach() / frames])

    def _share_gradients(self) -> None:
        """Average the gradients over the processes of a run on several GPUs."""
        if not distributed.is_initialized():
            return
        gradients = [p.grad for p in self.network.parameters()]
        flat = torch.cat([g.flatten() for g in gradients])
        distributed.all_reduce(flat, distributed.ReduceOp.AVG)
        for gradient, part in zip(
            gradients, flat.split([g.numel() for g in gradients]), strict=True
        ):
            gradient.copy_(part.view_as(gradient))

    def _agreed(self, progress: float) -> float:
        """Return the first process's progress, so that all stop at the same step."""
        if not distributed.is_initialized():
            return progress
        shared = torch.tensor([progress], device=self.device, dtype=torch.float64)
        distributed.broadcast(shared, 0)
        return shared.item()

    @torch.no_grad()
    def _follow(self) -> None:
        """Move the average towards the weights, faster while young."""
        keep = min(self.recipe.training.average, (1 + self.step) / (10 + self.step))
        theirs = self.network.state_dict()
        for name, mine in self.average.state_dict().items():
            if mine.is_floating_point():
                mine.lerp_(theirs[name], 1 - keep)

    def _save(self, folder: Path, progress: float) -> None:
        if self.rank:
            return
        save_network(folder / "network.pt", self.average)
        state = {"network": self.network.state_dict(), "average": self.average.state_dict(),
                 "optimiser": self.optimiser.state_dict(), "step": self.step, "progress": progress}  # fmt: skip
        torch.save(state, folder / "checkpoint.draft")
        (folder / "checkpoint.draft").replace(folder / "checkpoint.pt")

    def resume(self, folder: Path) -> float:
        """Take up the last checkpoint in `folder`, if any; return its progress."""
        path = folder / "checkpoint.pt"
        if not path.is_file():
            return 0.0
        state = torch.load(path, map_location=self.device, weights_only=True)
        self.network.load_state_dict(state["network"])
        self.average.load_state_dict(state["average"])
        self.optimiser.load_state_dict(state["optimiser"])
        self.step = state["step"]
        return state["progress"]


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("out", type=Path, help="folder of the run")
    parser.add_argument("packs", type=Path, nargs="+")
    parser.add_argument("--minutes", type=float, default=float("inf"))
    parser.add_argument("--steps", type=int, default=10**9)
    parser.add_argument("--from-network", type=Path, help="start from these weights")
    parser.add_argument("--variants", type=Path, help="pronunciations chosen by alignment")
    parser.add_argument("--until", type=float, default=1.0, help="stop at this progress")
    parser.add_argument("--since", type=float, help="begin at this progress")
    parser.add_argument("--set", action="append", default=[], dest="changes", metavar="KEY=VALUE")
    parser.add_argument("--seed", type=int, default=0)
    options = parser.parse_args(arguments)
    logging.basicConfig(level=logging.INFO, format="%(asctime)s %(message)s")
    rank = int(os.environ.get("LOCAL_RANK", "0"))
    device = torch.device(f"cuda:{rank}" if torch.cuda.is_available() else "cpu")
    if "LOCAL_RANK" in os.environ:
        torch.cuda.set_device(device)
        distributed.init_process_group("nccl")
    recipe = read_recipe(options.changes, outputs=1 + len(PHONES))
    variants = (
        json.loads(options.variants.read_text(encoding="utf-8")) if options.variants else None
    )
    pack = load_packs(options.packs, device, variants=variants)
    options.out.mkdir(parents=True, exist_ok=True)
    trainer = Trainer(recipe, pack, device, seed=options.seed, rank=rank)
    if options.from_network:
        trainer.start_from(load_network(options.from_network))
    begun = trainer.resume(options.out)
    span = (begun if options.since is None else options.since, options.until)
    hours = sum(one.length for one in pack.train) / RATE / 3600
    logger.info("%.2f h, %d parameters, progress %.3f", hours,
                sum(p.numel() for p in trainer.network.parameters()), span[0])  # fmt: skip
    budget = Budget(seconds=options.minutes * 60, steps=options.steps, span=span)
    trainer.run(budget, options.out)
    if distributed.is_initialized():
        distributed.destroy_process_group()
    if rank or options.until < 1:
        return
    result = table(trainer.average, pack)
    (options.out / "phone_errors.json").write_text(json.dumps(result, indent=1), encoding="utf-8")
    print(json.dumps(result))  # noqa: T201


if __name__ == "__main__":
    main()
