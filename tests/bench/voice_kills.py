"""Kill learning a voice at random moments: the voice in use must stand, and the next call go on.

    python tests/bench/voice_kills.py FOLDER --out WORK [--base MODEL] [--kills 20] [--most 60]

FOLDER is what `dictate voice learn FOLDER` takes.  A voice is in use before (a copy of the base).
Learning is started again and again and killed with everything it started (SIGKILL) after up to
`--most` seconds; after each kill the voice in use must be the old one or the whole new one, and
open with every file as its card says; at the end a call that nobody kills must finish.  Prints a
line a kill with the stages that stood by then, and the faults.
"""

import argparse
import datetime as dt
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

from dictate.decoder.model_files import ACOUSTIC, bundled_model, open_folder
from dictate.settings import load_settings
from dictate.voice.kept import base_model, keep_voice, model_in_use, work_folder
from dictate.voice.model_folder import VoiceCard, read_voice, write_model

_WHO = "Robin Field"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--base", type=Path, default=bundled_model())
    parser.add_argument("--kills", type=int, default=20)
    parser.add_argument("--most", type=float, default=60.0)
    parser.add_argument("--seed", type=int, default=0)
    asked = parser.parse_args()
    shutil.rmtree(asked.out, ignore_errors=True)
    home = asked.out / "home"
    home.mkdir(parents=True)
    (home / "settings.toml").write_text(
        f'trimmer = "{_WHO}"\nmodel = "{asked.base.resolve()}"\n', "utf-8"
    )
    os.environ["DICTATE_HOME"] = str(home.resolve())
    _voice_before(asked.out)
    rng = random.Random(asked.seed)
    faults = killed = 0
    while killed < asked.kills:
        seconds = rng.uniform(0.2, asked.most)
        ended = _run(asked.folder, seconds)
        killed += ended is None
        fault = _fault()
        faults += bool(fault)
        what = "killed" if ended is None else f"ended with {ended}"
        print(
            f"{killed}: {what} at {seconds:.1f} s; {_stages()}; {fault or 'in order'}", flush=True
        )
    ended = _run(asked.folder, 7200.0)
    print(
        f"left alone: ended with {ended}; {_fault() or 'in order'}; {faults} faults in {killed} kills"
    )
    sys.exit(1 if faults or ended or _fault() else 0)


def _voice_before(out: Path) -> None:
    settings = load_settings()
    base = open_folder(base_model(settings))
    day = dt.date(2026, 1, 1)
    card = VoiceCard(
        name=_WHO, base=base.name, learnt_on=day, recordings=20, seconds=60.0, held_words=100,
        wrong_before=9, wrong_after=2, share=1.0,
    )  # fmt: skip
    write_model(out / "old", base, base.path / ACOUSTIC, voice=card, version="1, voice before")
    keep_voice(settings, out / "old", who=_WHO, on=day)


def _run(folder: Path, seconds: float) -> int | None:
    """The exit status; None when it was killed."""
    process = subprocess.Popen(
        [sys.executable, "-m", "dictate", "voice", "learn", str(folder.resolve())],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True,
    )  # fmt: skip
    try:
        return process.wait(seconds)
    except subprocess.TimeoutExpired:
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()
        time.sleep(0.3)
        return None


def _fault() -> str:
    settings = load_settings()
    used = model_in_use(settings)
    if read_voice(used) is None:
        return f"no voice is in use: {used}"
    open_folder(used)  # every file is as its card says
    return ""


def _stages() -> str:
    place = next(iter(work_folder(load_settings()).glob("*/")), None)
    found = sorted(path.name for path in place.rglob("*.*")) if place else []
    return (
        ", ".join(name for name in found if name.endswith((".pt", ".mdl", ".json", ".npz")))
        or "nothing yet"
    )


if __name__ == "__main__":
    main()
