"""What a voice is worth that was learnt from reviewed notes alone, with a reviewer who errs.

    python tests/bench/voice_evening.py NOTES TEST... --out WORK [--base MODEL] [--seed N]

NOTES and each TEST hold one person's sound and a transcripts.tsv.  Through the commands that users
have, in a home of its own: `dictate take-in NOTES`, then a review, `dictate voice learn`, and
`dictate model measure TEST` with the model before and the voice.  The reviewer

- confirms a note that was heard right by its sounds;
- of those misheard types what was said in 70 of 100, confirms 15 as they were misheard, and types
  into 15 what was said in another note;
- adds a remark to one of ten notes, which then must teach nothing.

Prints how many notes were dealt with in which way, how many of them are called certain, what the
learning said, and the figures before and after.
"""

import argparse
import csv
import json
import os
import random
import subprocess
import sys
from collections import Counter
from pathlib import Path
from typing import Any

from dictate.settings import load_settings
from dictate.store.database import open_database
from dictate.voice.confirmed import certain_notes
from dictate.voice.judging import wrong_words
from dictate.voice.kept import model_in_use

_WHO = "Robin Field"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("notes", type=Path)
    parser.add_argument("tests", nargs="+", type=Path)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--base", type=Path)
    parser.add_argument("--seed", type=int, default=0)
    asked = parser.parse_args()
    home = asked.out / "home"
    home.mkdir(parents=True, exist_ok=True)
    settings = f'trimmer = "{_WHO}"\nfarm = "Alder Farm"\n'
    if asked.base:
        settings += f'model = "{asked.base.resolve()}"\n'
    (home / "settings.toml").write_text(settings, "utf-8")
    os.environ["DICTATE_HOME"] = str(home.resolve())
    if not (home / "record.db").exists():
        said = _said(asked.notes)
        sounds = [str(path) for path in sorted(asked.notes.iterdir()) if path.stem in said]
        _dictate("take-in", *sounds, "--date", "2026-03-02")
        print(dict(_reviewed(said, random.Random(asked.seed))), flush=True)
    known = load_settings()
    with open_database(known.database_url) as database:
        print(f"certain: {len(certain_notes(database, known, _WHO))} notes", flush=True)
    learnt = json.loads(_dictate("voice", "learn", "--json"))
    print({name: value for name, value in learnt.items() if name != "left_out"}, flush=True)
    models = ["bundled" if asked.base is None else str(asked.base), str(model_in_use(known))]
    for test in asked.tests:
        told = _dictate(
            "model", "measure", str(test), *(f"--engine={one}" for one in models), "--json"
        )
        for name, one in zip(("before", "after"), json.loads(told), strict=True):
            print(f"{test.name}, {name}: {_figures(one)}", flush=True)


def _reviewed(said: dict[str, list[str]], rng: random.Random) -> Counter[str]:
    done: Counter[str] = Counter()
    seen: set[int] = set()
    for entry in json.loads(_dictate("queue", "--json")):
        if entry["note_id"] in seen:
            continue  # what was typed is read anew, for all entries of the note
        seen.add(entry["note_id"])
        words = said[Path(entry["clip"]).stem]
        number = str(entry["id"])
        if rng.random() < 0.1:
            what, command = "with a remark", ["amend", number, "remark=quiet cow", "--confirm"]
        elif not wrong_words(words, entry["heard"].split()):
            what, command = "confirmed", ["confirm", number]
        elif (chance := rng.random()) < 0.7:
            what, command = "put right", ["amend", number, "--typed", " ".join(words), "--confirm"]
        elif chance < 0.85:
            what, command = "overlooked", ["confirm", number]
        else:
            other = rng.choice([one for one in said.values() if one != words])
            what, command = (
                "typed otherwise",
                ["amend", number, "--typed", " ".join(other), "--confirm"],
            )
        done[what if _done(*command, "--sure") else f"{what}, refused"] += 1
    return done


def _figures(report: dict[str, Any]) -> str:
    found = report["all"]
    return f"{found['word_error_rate']:.1%} of words wrong, {found['exact_entry_rate']:.1%} of entries exact"


def _said(folder: Path) -> dict[str, list[str]]:
    with (folder / "transcripts.tsv").open(encoding="utf-8", newline="") as file:
        rows = csv.DictReader(file, delimiter="\t", quoting=csv.QUOTE_NONE)
        return {row["utterance"]: row["text"].split() for row in rows}


def _run(*arguments: str) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        [sys.executable, "-m", "dictate", *arguments], capture_output=True, text=True, check=False
    )


def _done(*arguments: str) -> bool:
    return not _run(*arguments).returncode


def _dictate(*arguments: str) -> str:
    ran = _run(*arguments)
    if ran.returncode:
        sys.exit(f"dictate {' '.join(arguments)}: {ran.stderr}")
    return ran.stdout


if __name__ == "__main__":
    main()
