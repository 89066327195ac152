"""Learn what a recogniser writes for trade words; say how repair fares on other voices.

    python tests/bench/learn_confusions.py hear heard.jsonl [--listener bundled]
             [--notes 600] [--ratios 18 12 9 6 3 0] [--seed 5]
    python tests/bench/learn_confusions.py learn heard.jsonl [--listener bundled]
    python tests/bench/learn_confusions.py measure heard.jsonl

`hear` lets flite and espeak-ng voices say sampled notes, adds chute noise, and writes what the
listener hears: `bundled`, or the folder of a faster-whisper model (Debian packages flite and
espeak-ng).  A stopped run goes on where it was.
`learn` prints rows for the lexicon's confusions.toml from the voices in LEARNT, and writes a table
beside this file from the other voices, which repair_gain.py corrupts with.
`measure` reads the other voices' notes: as heard, repaired, the best of all alternatives repaired,
and with every word but numbers put right, which is the most that repair can reach.
"""

import argparse
import json
import os
import random
import sys
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
from confusions_learnt import Confusion, as_toml, learn_confusions, usable
from rapidfuzz.distance import Levenshtein

from grammar import Reading, as_json, load_lexicon, parse, parse_best, sample_note
from grammar.say.sample import essence

LEARNT = ("flite slt", "flite kal16", "espeak-ng en-us", "espeak-ng en-gb")
MEASURED = ("flite rms", "espeak-ng en-gb-x-rp", "espeak-ng en-gb-scotland")
TIMES_MIN = 3
"""A confusion heard less often is chance and not learnt."""


def hear(path: Path, listener: str, count: int, ratios: list[int], seed: int) -> None:
    """Write one JSON line for each note: said, heard, other hearings, voice, ratio."""
    os.environ.setdefault("OMP_NUM_THREADS", "1")
    from long_recording import say

    from dictate.hearing import open_engine
    from dictate.hearing.second_listener import SecondListener
    from dictate.sound import RATE, Sound
    from dictate.sound.chute_noise import add_noise, chute_noise

    engine = open_engine() if listener == "bundled" else SecondListener(Path(listener))
    done = {json.loads(line)["note"] for line in path.open()} if path.exists() else set()
    voices = LEARNT + MEASURED
    for number in range(count):
        if number in done:
            continue
        chance, rng = random.Random(f"{seed}/{number}"), np.random.default_rng((seed, number))
        note = sample_note(chance)
        voice, ratio = voices[number % len(voices)], chance.choice(ratios)
        samples = np.pad(say(" ".join(note.words), voice), 8000)
        samples = add_noise(samples, chute_noise(len(samples) / RATE + 0.1, rng), snr_db=ratio)
        heard = engine.hear(Sound.of(samples))
        texts = [[word.text for word in words] for words in (heard.words, *heard.alternatives)]
        with path.open("a") as file:
            line = {"note": number, "voice": voice, "ratio": ratio, "said": note.words,
                    "heard": texts[0], "others": texts[1:]}  # fmt: skip
            file.write(json.dumps(line) + "\n")


def table(rows: list[dict]) -> list[Confusion]:
    """Return every confusion of the rows."""
    return learn_confusions((row["said"], row["heard"]) for row in rows)


def learn(path: Path, listener: str) -> None:
    """Print rows for confusions.toml; write the table of the other voices, whole."""
    rows = [json.loads(line) for line in path.open()]
    lexicon = load_lexicon()
    other = [row for row in rows if row["voice"] in MEASURED]
    found = table([row for row in rows if row["voice"] in LEARNT])
    learnt = _one_meaning([c for c in found if c.count >= TIMES_MIN and usable(c, lexicon)])
    print(as_toml(learnt, "HEARD"))
    print(f"# {len(found)} confusions in {len(rows) - len(other)} notes, {len(learnt)} to keep")
    measured = [
        f'[[confusion]]\nsaid = "{c.said}"\nheard = "{c.heard}"\ntimes = {c.count}\n'
        for c in table(other)
        if c.said and c.heard
    ]
    name = "bundled" if listener == "bundled" else "second"
    head = (
        f"# Made by learn_confusions.py: what the {name} listener heard in {len(other)} notes\n"
        "# of voices that nothing was learnt from.\n\n"
    )
    Path(__file__).with_name(f"confusions_{name}.toml").write_text(
        head + "".join(measured), "utf-8"
    )


def _one_meaning(confusions: list[Confusion]) -> list[Confusion]:
    """Keep the commonest meaning of each heard stretch, where it is the commonest by far."""
    times = Counter[str]()
    for one in confusions:
        times[one.heard] += one.count
    return [one for one in confusions if 2 * one.count > times[one.heard]]


def measure(path: Path) -> None:
    """Print how the notes of the voices not learnt from are read."""
    rows = [row for row in map(json.loads, path.open()) if row["voice"] in MEASURED]
    ways: dict[str, Callable[[dict], Reading]] = {
        "as heard": lambda row: parse(row["heard"], repair=False),
        "repaired": lambda row: parse(row["heard"]),
        "best alternative, repaired": lambda row: parse_best([row["heard"], *row["others"]]),
        "all but numbers put right": lambda row: parse(put_right(row["said"], row["heard"])),
    }
    for way, read in ways.items():
        exact = wrong = other = 0
        for row in rows:
            said = as_json(parse(row["said"]))["entries"]
            animals = {entry["animal"] for entry in said}
            lesions = {f["lesion"] for entry in said for f in entry["findings"]}
            got = as_json(read(row))["entries"]
            exact += [essence(e) for e in got] == [essence(e) for e in said]
            wrong += any(e["animal"] not in {*animals, None} for e in got)
            other += any(f["lesion"] not in lesions for e in got for f in e["findings"])
        print(f"{way}: of {len(rows)} notes {100 * exact / len(rows):5.1f} % exact, "
              f"{100 * wrong / len(rows):5.1f} % with a wrong animal, "
              f"{100 * other / len(rows):5.1f} % with another lesion")  # fmt: skip


def put_right(said: list[str], heard: list[str]) -> list[str]:
    """Return the heard words with every stretch put right that holds no number."""
    words: list[str] = []
    for op in Levenshtein.opcodes(said, heard):
        meant, got = said[op.src_start : op.src_end], heard[op.dest_start : op.dest_end]
        words += got if holds_number([*meant, *got]) else meant
    return words


def holds_number(words: Sequence[str]) -> bool:
    """Whether a number is among the words."""
    return any(word in load_lexicon().number_words or word.isdecimal() for word in words)


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("step", choices=("hear", "learn", "measure"))
    parser.add_argument("file", type=Path)
    parser.add_argument("--listener", default="bundled")
    parser.add_argument("--notes", type=int, default=600)
    parser.add_argument("--ratios", type=int, nargs="+", default=[18, 12, 9, 6, 3, 0])
    parser.add_argument("--seed", type=int, default=5)
    options = parser.parse_args()
    if options.step == "hear":
        hear(options.file, options.listener, options.notes, options.ratios, options.seed)
    elif options.step == "learn":
        learn(options.file, options.listener)
    else:
        measure(options.file)


if __name__ == "__main__":
    sys.exit(main())
