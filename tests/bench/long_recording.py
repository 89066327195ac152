"""Cut a synthetic chute recording into notes and measure what came of it.

    python tests/bench/long_recording.py [--hours 3] [--seed 1] [--kills 10] [--keep FOLDER]

Builds a recording of sixty animals in three hours: one speaker's notes (espeak-ng or flite, one
voice a recording), pauses inside notes, machines that come and go, silences, cattle, and people
who talk to each other two to four metres away. Then finds the notes, and prints how many were found,
false ones an hour, how far off the edges are, memory and speed; then kills itself at random
moments and goes on, and compares. Needs flite and espeak-ng.
"""

import argparse
import csv
import json
import multiprocessing
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import av
import numpy as np

from dictate.sound import RATE, blocks
from dictate.sound.chute_noise import chute_noise, speech_level
from dictate.sound.find_notes import find_notes, near_voice

TALK = (
    "morning how many have you got for us today",
    "the far gate wants shutting before the next lot come through",
    "did you see the match on saturday",
    "they say it will rain again by thursday",
    "put the kettle on we will be half an hour yet",
    "she has been a bit slow in the parlour this week",
    "mind your fingers on that chain",
    "is that the last of this pen or are there two more",
)
LESIONS = (
    "sole ulcer",
    "white line abscess",
    "digital dermatitis",
    "thin sole",
    "heel erosion",
    "clean",
)
DONE = ("wrapped", "rubber block on the inner", "functional trim", "look again in two weeks", "")
DIGITS = "one two three four five six seven eight nine".split()


def main() -> None:
    options = parse()
    rng = np.random.default_rng(options.seed)
    with tempfile.TemporaryDirectory() as scratch:
        folder = options.keep or Path(scratch)
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / f"chute_{options.hours:g}h_{options.seed}.flac"
        if not path.exists():
            build(path, options.hours, rng)
        true = [
            tuple(map(int, row))
            for row in csv.reader(path.with_suffix(".csv").read_text().splitlines())
        ]
        report(path, true, options)
        if options.kills:
            kills(path, options.kills, rng, folder)


def parse() -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--hours", type=float, default=3.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--kills", type=int, default=10)
    parser.add_argument("--keep", type=Path)
    return parser.parse_args()


def build(path: Path, hours: float, rng: np.random.Generator) -> None:
    """Write the recording, and the samples where each note begins and ends beside it."""
    minutes = round(hours * 60)
    notes_voice = str(
        rng.choice(["flite rms", "flite slt", "espeak-ng en-gb-x-rp", "espeak-ng en-us"])
    )
    edges: list[tuple[int, int]] = []
    with av.open(str(path), "w") as out:
        stream = out.add_stream("flac", rate=RATE, layout="mono")
        for block in range(0, minutes, 3):
            samples = animal(notes_voice, rng, edges, block * 60 * RATE)
            frame = av.AudioFrame.from_ndarray(samples.reshape(1, -1), format="s16", layout="mono")
            frame.rate, frame.pts = RATE, block * 60 * RATE
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    with path.with_suffix(".csv").open("w", newline="") as file:
        csv.writer(file).writerows(edges)


def animal(
    voice: str, rng: np.random.Generator, edges: list[tuple[int, int]], offset: int
) -> np.ndarray:
    """Three minutes at the chute: noise, one to four notes, perhaps others talking."""
    seconds = 180
    noise = chute_noise(seconds, rng) * 10 ** (-rng.uniform(32, 44) / 20) * 32768
    if rng.random() < 0.15:  # machines off
        noise *= 0.1
    out = noise.astype(np.float64)
    own = 10 ** (-rng.uniform(20, 24) / 20) * 32768
    for place in sorted(rng.choice(np.arange(5, 150, 20), int(rng.integers(1, 5)), replace=False)):
        said = note(voice, rng)
        at = round((place + rng.uniform(0, 5)) * RATE)
        out[at : at + len(said)] += said * (own / speech_level(said))
        edges.append((offset + at, offset + at + len(said)))
        if rng.random() < 0.5:
            other = far(rng)
            at += len(said) + round(rng.uniform(2.5, 4) * RATE)
            if at + len(other) < offset + seconds * RATE and at + len(other) < len(out):
                quieter = own * 10 ** (-rng.uniform(18, 26) / 20)
                out[at : at + len(other)] += other * (quieter / speech_level(other))
    return np.rint(np.clip(out, -32768, 32767)).astype(np.int16)


def note(voice: str, rng: np.random.Generator) -> np.ndarray:
    """A note in two or three breaths."""
    number = " ".join(rng.choice(DIGITS, 3))
    foot = rng.choice(["left hind outer", "right hind outer", "left front inner", "right front"])
    parts = [f"cow {number}", f"{foot} {rng.choice(LESIONS)}", str(rng.choice(DONE))]
    pieces = []
    for part in filter(None, parts):
        pieces += [say(part, voice), np.zeros(round(rng.uniform(0.1, 0.9) * RATE), np.int16)]
    return np.concatenate(pieces[:-1])


def far(rng: np.random.Generator) -> np.ndarray:
    """Somebody else's sentence, with the sound of the shed on it."""
    voice = str(rng.choice(["espeak-ng en-gb-scotland", "flite kal16", "espeak-ng en-us-nyc"]))
    said = say(str(rng.choice(TALK)), voice).astype(np.float64)
    echo = rng.standard_normal(RATE // 2) * np.exp(-np.arange(RATE // 2) / (0.12 * RATE)) * 0.05
    echo[0] = 1.0
    size = len(said) + len(echo)
    wet = np.fft.irfft(np.fft.rfft(said, size) * np.fft.rfft(echo, size), size)
    return np.rint(wet * (20_000 / np.abs(wet).max())).astype(np.int16)


def say(text: str, voice: str) -> np.ndarray:
    program, name = voice.split()
    with tempfile.NamedTemporaryFile(suffix=".wav") as file:
        if program == "flite":
            command = ["flite", "-voice", name, "-t", text, "-o", file.name]
        else:
            command = ["espeak-ng", "-v", name, "-w", file.name, text]
        subprocess.run(command, check=True)
        samples = np.concatenate(list(blocks(Path(file.name))))
    loud = np.flatnonzero(np.abs(samples.astype(int)) > 300)
    return samples[loud[0] : loud[-1] + 1]


def report(path: Path, true: list[tuple[int, int]], options: argparse.Namespace) -> None:
    began = time.perf_counter()
    with ProcessPoolExecutor(1, multiprocessing.get_context("spawn")) as pool:
        everything, peak = pool.submit(measured, path).result()
    wall = time.perf_counter() - began
    near = near_voice(everything)
    hit = [max(near, key=lambda s: min(s.end, b) - max(s.start, a), default=None) for a, b in true]
    pairs = [
        (stretch, edge)
        for stretch, edge in zip(hit, true, strict=True)
        if stretch
        and min(stretch.end, edge[1]) - max(stretch.start, edge[0]) >= 0.8 * (edge[1] - edge[0])
    ]
    false = [s for s in near if all(min(s.end, b) <= max(s.start, a) for a, b in true)]
    off = np.array([(s.start - a, s.end - b) for s, (a, b) in pairs]) / RATE
    inside = (np.abs(off) <= 0.3).all(axis=1)
    figures = {
        "notes said": len(true),
        "found": len(pairs),
        "found share": round(len(pairs) / len(true), 4),
        "in one piece": sum(
            sum(min(s.end, b) > max(s.start, a) for s in near) == 1 for a, b in true
        ),
        "stretches of speech, all voices": len(everything),
        "false notes an hour": round(len(false) / options.hours, 2),
        "both edges within 0.3 s, share": round(float(inside.mean()), 4),
        "start off, s (5, 50, 95 %)": np.percentile(off[:, 0], [5, 50, 95]).round(3).tolist(),
        "end off, s (5, 50, 95 %)": np.percentile(off[:, 1], [5, 50, 95]).round(3).tolist(),
        "peak memory, MB": round(peak),
        "real-time factor": round(wall / (options.hours * 3600), 4),
    }
    print(json.dumps(figures, indent=1), flush=True)


def measured(path: Path) -> tuple[list, float]:
    """Find the notes in a process of its own; `ru_maxrss` would also count the parent's peak."""
    found = find_notes(path)
    status = Path("/proc/self/status").read_text(encoding="utf-8")
    return found, int(status.split("VmHWM:")[1].split()[0]) / 1024


def kills(path: Path, times: int, rng: np.random.Generator, folder: Path) -> None:
    """Kill the run at random moments, go on, and compare with an undisturbed run."""
    expected = find_notes(path)
    state = folder / "state.json"
    state.unlink(missing_ok=True)
    context = multiprocessing.get_context("spawn")
    for _ in range(times):
        process = context.Process(target=find_notes, args=(path,), kwargs={"state": state})
        process.start()
        process.join(float(rng.uniform(2, 12)))
        process.kill()
        process.join()
    same = find_notes(path, state=state) == expected
    sys.stdout.write(f"killed {times} times and resumed: {'same notes' if same else 'DIFFERENT'}\n")


if __name__ == "__main__":
    main()
