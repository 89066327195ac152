"""Build a herd's graph in a process of its own, away from the recogniser.

Besides keeping kaldifst and Vosk apart (`dictate.decoder.finite_state`), the memory that building
takes goes back to the system.
"""

import subprocess
import sys
from pathlib import Path

from pydantic import BaseModel, ConfigDict

from dictate.decoder.model_files import NOTES_MODEL, NUMBERS_MODEL, open_folder, write_card
from dictate.decoder.terms import Term
from dictate.errors import DictateError, ModelError


class Job(BaseModel):
    """What to build."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    model: Path
    """Folder of a model with its language models."""
    target: Path
    """Folder that has the model's `am` and `conf` already; gets `graph` and `model.toml`."""
    spoken: dict[str, list[tuple[str, ...]]]
    """Management number to the ways of saying it."""
    terms: list[Term]
    run_time: bool = False
    """Whether words are chosen at run time, as from ordinary models; for tests of that path."""


def build_apart(job: Job) -> None:
    """Build in a process of its own.

    Raises:
        ModelError: it could not be built; the message is that of the process.
    """
    done = subprocess.run(
        [sys.executable, "-m", __name__],
        input=job.model_dump_json(),
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise ModelError(
            f"the herd's graph cannot be built: {done.stderr.strip() or done.returncode}",
            where=str(job.model),
            remedy="Check the model with `dictate model check`",
        )


def _build(job: Job) -> None:
    from dictate.decoder.build import read_language, write_graph  # noqa: PLC0415
    from dictate.decoder.pronunciation import pronunciations  # noqa: PLC0415
    from dictate.decoder.terms import with_terms  # noqa: PLC0415
    from dictate.decoder.word_graph import HerdNumbers, Weights  # noqa: PLC0415

    card = open_folder(job.model).card
    if card is None:
        raise ModelError("has no card", where=str(job.model), remedy="Use a model of ours")
    write_graph(
        job.target,
        notes=read_language(job.model / NOTES_MODEL),
        herd=HerdNumbers(spoken=job.spoken, any_number=read_language(job.model / NUMBERS_MODEL)),
        pronounced=with_terms(pronunciations(), job.terms),
        weights=Weights.of(card.weights),
        taught={word for term in job.terms for word in term.phrase.split()},
        run_time=job.run_time,
    )
    write_card(
        job.target,
        name=card.name,
        version=card.version,
        lexicon=card.lexicon,
        weights=card.weights,
        outputs=card.outputs,
        voice=card.voice,
    )


if __name__ == "__main__":
    try:
        _build(Job.model_validate_json(sys.stdin.read()))
    except DictateError as error:
        sys.exit(error.line)
