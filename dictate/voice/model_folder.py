"""A learnt voice on disk: a complete Vosk model, with `voice.toml` to say whose it is and how good."""

import datetime as dt
import shutil
from pathlib import Path

import tomlkit
from pydantic import BaseModel, ConfigDict, Field

from dictate.decoder.model_files import (
    ACOUSTIC,
    CARD,
    ModelFolder,
    Outputs,
    open_folder,
    write_card,
)
from dictate.errors import VoiceError

VOICE = "voice.toml"
_SURER = 1.5
"""Times as sharp: a network that knows its speaker may outvote the language model sooner."""
_LESS_PENALTY = 1.0
"""Taken off what blank loses: a voice that is known passes over fewer short words, and breaths
between digits became an "eight". Some people's "one" then becomes an "on"."""


class VoiceCard(BaseModel):
    """Whose voice a model knows, what it was learnt from, and what that was worth."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    name: str
    base: str
    """Name and version of the model that it was taught to."""
    learnt_on: dt.date
    recordings: int
    seconds: float
    """Of speech that was learnt from."""
    held_words: int
    """Words of held-out speech, as recorded and under machines."""
    wrong_before: int
    wrong_after: int
    share: float
    """How far the weights went from the old ones to the learnt ones."""
    learnt_from: tuple[str, ...] = Field(default=())
    """SHA-256 of the files of sound."""


def outputs_of(base: ModelFolder) -> Outputs:
    """How a model's outputs were sharpened.

    Raises:
        VoiceError: it does not say.
    """
    if base.card is None or base.card.outputs is None:
        raise VoiceError(
            "its card does not say how its outputs were sharpened", where=str(base.path),
            remedy="Use the bundled model, or one that `dictate model build` made with --sharpen",
        )  # fmt: skip
    return base.card.outputs


def outputs_tried(base: ModelFolder) -> tuple[Outputs, ...]:
    """Ways to write the outputs of a voice that is learnt on a model, the one as before first."""
    own = outputs_of(base)
    if read_voice(base.path):
        return (own,)
    surer = Outputs(
        sharpen=round(_SURER * own.sharpen, 3),
        blank_penalty=max(0.0, own.blank_penalty - _LESS_PENALTY),
    )
    return own, surer


def write_model(
    target: Path,
    base: ModelFolder,
    network: Path,
    *,
    voice: VoiceCard | None,
    version: str,
    outputs: Outputs | None = None,
) -> None:
    """Write a model folder that is `base` with a network that was learnt on it.

    In a folder that holds such a model already only the network and the card are written anew.
    `outputs` is how the network was written, if otherwise than that of `base`.
    """
    if base.card is None:
        raise VoiceError("has no card", where=str(base.path), remedy="Use the bundled model")
    written = {CARD, ACOUSTIC, VOICE}
    for path in sorted(base.path.rglob("*")):
        name = path.relative_to(base.path)
        if path.is_file() and name.as_posix() not in written and not (target / name).exists():
            (target / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(path, target / name)
    (target / ACOUSTIC).parent.mkdir(parents=True, exist_ok=True)
    shutil.copyfile(network, target / ACOUSTIC)
    if voice:
        (target / VOICE).write_text(tomlkit.dumps(voice.model_dump(mode="json")), "utf-8")
    card = base.card
    write_card(
        target, name=card.name, version=version, lexicon=card.lexicon, weights=card.weights,
        outputs=outputs or outputs_of(base), voice=True if voice else None,
    )  # fmt: skip
    open_folder(target)


def check_target(target: Path) -> None:
    """Raise VoiceError unless a model may be put there: nothing yet, an empty folder, an older voice."""
    empty = not target.exists() or (target.is_dir() and not any(target.iterdir()))
    if not empty and read_voice(target) is None:
        raise VoiceError("holds something else", where=str(target), remedy="Name a new folder")


def put_in_place(draft: Path, target: Path) -> None:
    """Give a finished folder its name; an older voice there is kept until the new one stands."""
    check_target(target)
    old = target.with_name(f"{target.name}.old")
    shutil.rmtree(old, ignore_errors=True)
    target.parent.mkdir(parents=True, exist_ok=True)
    if target.exists():
        target.rename(old)
    draft.rename(target)
    shutil.rmtree(old, ignore_errors=True)


def read_voice(folder: Path) -> VoiceCard | None:
    """The card of a voice; None where the folder holds no learnt voice."""
    path = folder / VOICE
    if not path.is_file():
        return None
    return VoiceCard.model_validate(tomlkit.parse(path.read_text("utf-8")).unwrap())
