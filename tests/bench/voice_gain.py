"""What learning a voice is worth, through the commands that users have.

    python tests/bench/voice_gain.py PEOPLE --out WORK [--wrong 0.1]

PEOPLE holds a folder for each person with `learn/` and `test/`, each with sound and a
`transcripts.tsv`.  For each: `dictate voice learn learn --out MODEL`, then the bundled model and
MODEL side by side on `test`.  `--wrong` gives so many of the transcripts another recording's words
first.  Prints a line a person; figures are in docs/explanation/voice.md.
"""

import argparse
import csv
import json
import random
import shutil
import subprocess
import sys
import time
from pathlib import Path


def _dictate(*arguments: str) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "dictate", *arguments], check=True, stdout=subprocess.PIPE, text=True
    )
    return done.stdout


def _with_wrong_words(folder: Path, target: Path, share: float) -> Path:
    shutil.copytree(folder, target, dirs_exist_ok=True)
    table = target / "transcripts.tsv"
    with table.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file, delimiter="\t", quoting=csv.QUOTE_NONE))
    rng = random.Random(0)
    for row in rng.sample(rows, round(share * len(rows))):
        row["text"] = rng.choice([one["text"] for one in rows if one["text"] != row["text"]])
    with table.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0].keys(), delimiter="\t", lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
    return target


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("people", type=Path)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--wrong", type=float, default=0.0)
    options = parser.parse_args()
    options.out.mkdir(parents=True, exist_ok=True)
    for person in sorted(path for path in options.people.iterdir() if path.is_dir()):
        learn, model = person / "learn", options.out / person.name
        if options.wrong:
            learn = _with_wrong_words(learn, options.out / f"{person.name}-learn", options.wrong)
        began = time.monotonic()
        told = json.loads(_dictate("voice", "learn", str(learn), "--out", str(model), "--json"))
        took = time.monotonic() - began
        both = _dictate(
            "model", "measure", str(person / "test"), "--json", "--engine", "bundled",
            "--engine", str(model),
        )  # fmt: skip
        old, new = (one["all"] for one in json.loads(both))
        print(
            f"{person.name}: word error {old['word_error_rate']:.1%} -> {new['word_error_rate']:.1%},"
            f" exact entries {old['exact_entry_rate']:.1%} -> {new['exact_entry_rate']:.1%},"
            f" {told['seconds']:.0f} s learnt in {took:.0f} s, left out {len(told['left_out'])}",
            flush=True,
        )


if __name__ == "__main__":
    main()
