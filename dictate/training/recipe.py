"""The numbers of a training run, read from `recipe.toml`, and how they follow its progress."""

import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from importlib import resources

from dictate.training import CorpusError
from dictate.training.augment import Strength
from dictate.training.network import Shape


@dataclass(frozen=True, slots=True, kw_only=True)
class Training:
    """As commented in `recipe.toml`."""

    learning_rate: float
    weight_decay: float
    warm_up: float
    harden_from: float
    harden_until: float
    batch_seconds: float
    join: float
    views: int
    consistency: float
    average: float
    frame_masks: int
    frame_mask_seconds: float
    band_masks: int
    band_mask_bands: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """Everything but the data and the time."""

    shape: Shape
    training: Training
    strength: Strength
    weights: Mapping[str, float]


def read_recipe(changes: Sequence[str] = (), *, outputs: int) -> Recipe:
    """Read the recipe with changes such as `network.width=512` (values as in TOML)."""
    text = resources.files("dictate.training").joinpath("recipe.toml").read_text("utf-8")
    tables = tomllib.loads(text)
    for change in changes:
        key, found, value = change.partition("=")
        section, _, name = key.partition(".")
        if not found or not name:
            raise CorpusError(f"cannot read {change!r}", remedy="Write section.key=value")
        tables.setdefault(section, {})[name] = tomllib.loads(f"value = {value}")["value"]
    network = {**tables["network"], "reaches": tuple(tables["network"]["reaches"])}
    try:
        return Recipe(
            shape=Shape(outputs=outputs, **network),
            training=Training(**tables["training"]),
            strength=Strength(**tables.get("augmentation", {})),
            weights=tables["weights"],
        )
    except TypeError as error:
        raise CorpusError(f"the recipe does not fit: {error}", where="recipe.toml") from error


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """When a run ends."""

    seconds: float
    steps: int
    span: tuple[float, float] = (0.0, 1.0)
    """The part of the whole schedule that this run covers."""

    def progress(self, seconds: float, step: int) -> float:
        """Where in the schedule we are, 0 to 1; `span[1]` or more ends the run."""
        share = max(seconds / self.seconds, step / self.steps)
        return self.span[0] + share * (self.span[1] - self.span[0])


def learning_rate_at(progress: float, warm_up: float) -> float:
    """Linear warm-up, then a cosine down to nearly nothing."""
    if progress < warm_up:
        return progress / warm_up
    return 0.5 * (1 + math.cos(math.pi * min(1.0, (progress - warm_up) / (1 - warm_up)))) + 1e-3


def hardness_at(progress: float, training: Training) -> float:
    reach = (progress - training.harden_from) / (training.harden_until - training.harden_from)
    return min(1.0, max(0.0, reach))
