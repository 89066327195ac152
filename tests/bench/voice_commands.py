"""What learning a voice is worth through the commands that users have, for a folder of people.

    python tests/bench/voice_commands.py PEOPLE --out WORK [--base MODEL] [--labels KIND] [--at-once N]

PEOPLE holds a folder for each person with `learn/` and `test/`, each with sound and a
`transcripts.tsv` (voice_people.py makes it), and other tests `test-…/` if you like.  For each:
`dictate hear test`, `dictate voice learn learn --out MODEL`, `dictate hear test --model MODEL`.  `--base` is the model before (else the bundled one): one that
has never met these people.  Labels are as written, or

- `wrong`: one of ten recordings gets another recording's words;
- `confirmed`: only recordings that the model before hears right, as when nothing is ever put right;
- `overlooked`: those, and half of the others as they are misheard, confirmed all the same.

Prints a line a person and keeps it in WORK; a second call goes on after the last.  Memory is the
most that all processes of the command held together (Linux).  Figures: docs/explanation/voice.md.
"""

import argparse
import csv
import json
import os
import random
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor, as_completed
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryFile

from dictate.measuring.scoring import score_words

TABLE = "transcripts.tsv"


@dataclass(frozen=True, slots=True)
class Ran:
    """What a command printed and what it took."""

    lines: list[dict]
    seconds: float
    processor: float
    megabytes: float


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("people", type=Path)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--base", type=Path)
    parser.add_argument(
        "--labels", choices=("written", "wrong", "confirmed", "overlooked"), default="written"
    )
    parser.add_argument("--at-once", type=int, default=1)
    options = parser.parse_args()
    home = options.out / "home"
    home.mkdir(parents=True, exist_ok=True)
    model = f'model = "{options.base.resolve()}"\n' if options.base else ""
    (home / "settings.toml").write_text(model, "utf-8")
    kept = options.out / "results.jsonl"
    known = kept.read_text("utf-8").splitlines() if kept.exists() else []
    rows = {row["person"]: row for row in map(json.loads, known)}
    left = [
        path for path in sorted(options.people.iterdir()) if path.is_dir() and path.name not in rows
    ]
    for row in rows.values():
        print(_line(row), flush=True)
    with ThreadPoolExecutor(options.at_once) as pool:
        tried = [pool.submit(_measured, one, options.out, home, options.labels) for one in left]
        for done in as_completed(tried):
            row = done.result()
            rows[row["person"]] = row
            with kept.open("a", encoding="utf-8") as file:
                file.write(json.dumps(row) + "\n")
            print(_line(row), flush=True)
    for test in sorted({test for row in rows.values() for test in row["tests"]}):
        words, before, after = map(
            sum,
            zip(
                *(row["tests"][test] for row in rows.values() if test in row["tests"]), strict=True
            ),
        )
        print(
            f"{test}: {before} wrong of {words} ({before / words:.2%}) -> {after} ({after / words:.2%})"
        )


def _measured(person: Path, out: Path, home: Path, labels: str) -> dict:
    model = out / person.name
    learn = _labelled(person / "learn", out / f"{person.name}-learn", home, labels)
    tests = sorted(path for path in person.glob("test*") if path.is_dir())
    before = {test: _dictate(home, "hear", str(test), "--json") for test in tests}
    learnt = _dictate(home, "voice", "learn", str(learn), "--out", str(model), "--json")
    counted = {}
    for test in tests:
        after = _dictate(home, "hear", str(test), "--model", str(model), "--json")
        said = _said(test)
        words = sum(map(len, said.values()))
        counted[test.name] = words, _wrong(before[test], said), _wrong(after, said)
    told = learnt.lines[0]
    return {
        "person": person.name,
        "tests": counted,
        "share": told["share"],
        "speech": told["seconds"],
        "left_out": len(told["left_out"]),
        "held": [told["wrong_before"], told["wrong_after"], told["held_words"]],
        "better": told["better_by_more_than_chance"],
        "seconds": round(learnt.seconds),
        "processor": round(learnt.processor),
        "megabytes": round(learnt.megabytes),
    }


def _line(row: dict) -> str:
    heard = ", ".join(
        f"{test} {before} -> {after} wrong of {words}"
        for test, (words, before, after) in row["tests"].items()
    )
    return (
        f"{row['person']}: {heard}; {row['speech']:.0f} s learnt in"
        f" {row['seconds']} s ({row['processor']} s of processor time, {row['megabytes']} MB),"
        f" left out {row['left_out']}; kept aside {row['held'][0]} -> {row['held'][1]}"
        f" of {row['held'][2]}, {'better' if row['better'] else 'not surely better'}"
    )


def _labelled(folder: Path, target: Path, home: Path, labels: str) -> Path:
    """The folder with the labels that are asked for."""
    if labels == "written":
        return folder
    said = _said(folder)
    rng = random.Random(0)
    if labels == "wrong":
        for name in rng.sample(sorted(said), round(len(said) / 10)):
            said[name] = rng.choice([words for words in said.values() if words != said[name]])
    else:
        heard = _heard(_dictate(home, "hear", str(folder), "--json"))
        overlooked = {name for name in sorted(said) if heard[name] and rng.random() < 0.5}
        if labels == "confirmed":
            overlooked = set()
        said = {
            name: heard[name]
            for name, words in said.items()
            if heard[name] == words or name in overlooked
        }
    shutil.copytree(folder, target, dirs_exist_ok=True)
    with (target / TABLE).open("w", encoding="utf-8") as file:
        file.write("utterance\ttext\n")
        file.writelines(f"{name}\t{' '.join(words)}\n" for name, words in said.items())
    return target


def _said(folder: Path) -> dict[str, list[str]]:
    with (folder / TABLE).open(encoding="utf-8", newline="") as file:
        rows = csv.DictReader(file, delimiter="\t", quoting=csv.QUOTE_NONE)
        return {row["utterance"]: row["text"].split() for row in rows}


def _heard(ran: Ran) -> dict[str, list[str]]:
    return {Path(line["file"]).stem: line["text"].split() for line in ran.lines}


def _wrong(ran: Ran, said: dict[str, list[str]]) -> int:
    heard = _heard(ran)
    return sum(score_words(words, heard[name]).word_errors for name, words in said.items())


def _dictate(home: Path, *arguments: str) -> Ran:
    """Run a command as a user does, in a home of its own; watch what its processes hold."""
    began, most = time.monotonic(), 0.0
    with TemporaryFile("w+", encoding="utf-8") as out:
        process = subprocess.Popen(
            [sys.executable, "-m", "dictate", *arguments],
            stdout=out, env=os.environ | {"DICTATE_HOME": str(home.resolve())},
        )  # fmt: skip
        while True:
            most = max(most, sum(map(_megabytes, _family(process.pid))))
            done, status, usage = os.wait4(process.pid, os.WNOHANG)
            if done:
                break
            time.sleep(0.5)
        if status:
            sys.exit(f"dictate {' '.join(arguments)}: status {os.waitstatus_to_exitcode(status)}")
        out.seek(0)
        text = out.read()
    lines = (
        [json.loads(text)] if arguments[0] == "voice" else list(map(json.loads, text.splitlines()))
    )
    return Ran(lines, time.monotonic() - began, usage.ru_utime + usage.ru_stime, most)


def _family(process: int) -> Iterator[int]:
    yield process
    try:
        children = Path(f"/proc/{process}/task/{process}/children").read_text("ascii").split()
    except OSError:
        return
    for child in map(int, children):
        yield from _family(child)


def _megabytes(process: int) -> float:
    """Memory of its own and its part of what is shared."""
    try:
        rollup = Path(f"/proc/{process}/smaps_rollup").read_text("ascii")
    except OSError:
        return 0.0
    return (
        next(float(line.split()[1]) for line in rollup.splitlines() if line.startswith("Pss:"))
        / 1024
    )


if __name__ == "__main__":
    main()
