"""What passes between the program and the process that learns: a job in, lines of progress out."""

import json
import os
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import numpy as np
from pydantic import BaseModel, ConfigDict

from dictate.decoder.model_files import Outputs
from dictate.errors import VoiceError
from dictate.voice.recordings import Recording

OUTCOME = "outcome.json"
WEED_STEPS = 20
"""By then the voice is known well enough to tell wrong words from a strange accent."""


class Job(BaseModel):
    """One course, or one for each part that is kept aside: from which network, on which speech."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    base: Path
    """Folder of the model that is taught."""
    speech: Path
    """What `write_speech` wrote."""
    folder: Path
    """Where checkpoints and what comes of it lie; a job that was stopped goes on from there."""
    others: tuple[Path, ...] = ()
    """Recordings of other people."""
    learn: tuple[int, ...]
    """Which of the recordings teach."""
    parts: tuple[tuple[int, ...], ...] = ()
    """For each part a course in which it teaches nothing; together they choose how far to go."""
    steps: int
    """Of each course."""
    outputs: tuple[Outputs, ...] = ()
    """Ways to write the outputs of each network; none: as those of the base."""
    share: float | None = None
    """How far to go from the old weights to the learnt ones; None: what suits the parts best."""
    weed: bool = True
    """Drop recordings whose words do not fit their sound."""
    threads: int = 1
    """Two would win a third on an idle computer, and wait for each other on a busy one."""
    gentle: bool = False
    """Let everything else go first: nobody waits for it."""

    @property
    def courses(self) -> int:
        """How many networks are learnt."""
        return max(1, len(self.parts))

    def written(self, way: int = 0) -> list[Path]:
        """The network of each course, with its outputs written in one of the ways."""
        return [self.folder / f"{at}-{way}.mdl" for at in range(self.courses)]

    @property
    def networks(self) -> list[Path]:
        """Everything that is written."""
        ways = range(max(1, len(self.outputs)))
        return [path for way in ways for path in self.written(way)]


class Outcome(BaseModel):
    """What came of a job, beside its networks."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    share: float
    dropped: tuple[int, ...]
    """Recordings whose words do not fit."""
    said: dict[int, tuple[str, ...]] = {}
    """Words of the recordings in whose transcripts numbers stand in figures."""
    seconds: float
    cost: float = 0.0
    """Nats a phone that the words of the parts cost the network before: how badly it hears them."""


def write_speech(path: Path, own: Sequence[Recording], noise: Sequence[np.ndarray]) -> None:
    """Write sound and pronunciations for the process that learns; whole or not at all."""
    said = [{"name": one.name, "words": one.words, "sounded": one.sounded} for one in own]
    arrays: dict[str, Any] = {f"own{at}": one.samples for at, one in enumerate(own)}
    arrays |= {f"noise{at}": one for at, one in enumerate(noise)}
    draft = path.with_suffix(".draft")
    with draft.open("wb") as file:
        np.savez(file, said=np.array(json.dumps(said)), **arrays)
    draft.replace(path)


def read_speech(path: Path) -> tuple[list[Recording], list[np.ndarray]]:
    """Read what `write_speech` wrote."""
    with np.load(path) as arrays:
        said = json.loads(str(arrays["said"]))
        own = [
            Recording(
                name=one["name"], samples=arrays[f"own{at}"], words=tuple(one["words"]),
                sounded=tuple(tuple(map(tuple, ways)) for ways in one["sounded"]), prompt="",
            )
            for at, one in enumerate(said)
        ]  # fmt: skip
        noise = [arrays[name] for name in sorted(arrays.files) if name.startswith("noise")]
    return own, noise


def learn_apart(job: Job, *, progress: Callable[[int, int], None]) -> Outcome:
    """Run a job in a process of its own; `progress` gets steps done and steps in all.

    What the process leaves when it is stopped is taken up by the next call with the same job.

    Raises:
        VoiceError: it could not be done; the message is that of the process.
    """
    done = job.folder / OUTCOME
    if done.exists() and all(path.exists() for path in job.networks):
        return Outcome.model_validate_json(done.read_text("utf-8"))
    job.folder.mkdir(parents=True, exist_ok=True)
    with subprocess.Popen(
        [sys.executable, "-m", "dictate.voice.school"],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        env=os.environ | {"OMP_WAIT_POLICY": "PASSIVE"},  # threads that wait leave the processor
    ) as process:  # fmt: skip
        try:
            fault = _followed(process, job, progress)
        except BaseException:
            process.kill()
            raise
    if process.returncode:
        raise VoiceError(
            f"learning stopped: {fault or process.returncode}",
            where=str(job.folder),
            remedy="Call again: it goes on where it stopped",
        )
    return Outcome.model_validate_json(done.read_text("utf-8"))


def _followed(
    process: "subprocess.Popen[str]", job: Job, progress: Callable[[int, int], None]
) -> str:
    """Give the job, pass progress on; the last line that the process had to say against it."""
    if process.stdin is None or process.stdout is None or process.stderr is None:
        return "no pipe to it"
    process.stdin.write(job.model_dump_json())
    process.stdin.close()
    for line in process.stdout:
        done, of = map(int, line.split())
        progress(done, of)
    return "".join(process.stderr.read().strip().splitlines()[-1:])
