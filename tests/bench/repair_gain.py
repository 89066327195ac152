"""What repair is worth: entries right with and without it, on notes with mis-heard terms.

    python tests/bench/repair_gain.py [notes=3000] [seed=1]

Sampled notes are corrupted with `confusions_heard.toml` (see make_confusions.py); numbers are left
as they are said.  Every note counted holds at least one corruption.  Two kinds are told apart: the
slips that the lexicon's own table lists, and words that merely sound alike and stand in no table.
A third table is what the bundled recogniser did hear (learn_confusions.py), numbers and all.
"""

import random
import sys
import tomllib
from pathlib import Path

from grammar import Roster, as_json, parse, sample_note, vocabulary
from grammar.say import essence

TABLE = Path(__file__).with_name("confusions_heard.toml")
MEASURED = Path(__file__).with_name("confusions_measured.toml")
RATE = 0.12
"""Share of words corrupted."""
HERD = tuple(str(number) for number in random.Random(7).sample(range(1, 2000), 180))


def table(path, *, listed=False):
    """Said words -> the words heard for them, as often as they were heard."""
    found = {}
    for row in tomllib.loads(path.read_text(encoding="utf-8"))["confusion"]:
        if row.get("listed", False) is listed:
            heard = found.setdefault(tuple(row["said"].split()), [])
            heard += [row["heard"].split()] * row["times"]
    return found


def corrupt(words, confusions, rng, *, force):
    """Replace stretches of words as the table says; the first fit always where `force`."""
    result, at, done = [], 0, False
    while at < len(words):
        size = next((n for n in (3, 2, 1) if tuple(words[at : at + n]) in confusions), 0)
        if size and (rng.random() < RATE or (force and not done and rng.random() < 0.5)):
            result += rng.choice(confusions[tuple(words[at : at + size])])
            at, done = at + size, True
        else:
            result.append(words[at])
            at += 1
    return result, done


def score(words, said, roster, *, repair):
    """Return (every entry exactly right, an animal that was not said, a lesion that was not said)."""
    entries = as_json(parse(words, roster=roster, repair=repair))["entries"]
    exact = [essence(entry) for entry in entries] == list(said.entries)
    wanted = {entry["animal"] for entry in said.entries}
    wrong = any(entry["animal"] is not None and entry["animal"] not in wanted for entry in entries)
    said_lesions = {f["lesion"] for entry in said.entries for f in entry["findings"]}
    other = any(f["lesion"] not in said_lesions for entry in entries for f in entry["findings"])
    return exact, wrong, other


def chatter(count, rng):
    """Print how often six everyday words, none of the trade, are taken for a finding or action."""
    path = Path(__file__).parents[2] / "dictate/hearing/everyday_words.txt"
    lines = path.read_text("utf-8").splitlines()
    words = [line.split("\t")[0] for line in lines if line and not line.startswith("#")]
    words = [word for word in words if word not in vocabulary()]
    taken = {True: 0, False: 0}
    for _ in range(count):
        talk = rng.choices(words, k=6)
        for repair in taken:
            entries = parse(talk, repair=repair).entries
            taken[repair] += any(e.findings or e.actions for e in entries)
    print(f"everyday talk taken for a finding or action (always marked): "
          f"repair on {100 * taken[True] / count:.1f} %, off {100 * taken[False] / count:.1f} %")  # fmt: skip


def main():
    count, seed = (int(x) for x in (*sys.argv[1:], *("3000", "1")[len(sys.argv) - 1 :]))
    rng = random.Random(seed)
    roster = Roster(HERD)
    for name, confusions in (
        ("slips of the lexicon's table", table(TABLE, listed=True)),
        ("sound-alikes in no table", table(TABLE)),
        ("heard by the bundled recogniser", table(MEASURED)),
    ):
        totals, corrupted = {True: [0, 0, 0], False: [0, 0, 0]}, 0
        while corrupted < count:
            said = sample_note(rng, roster=roster)
            words, done = corrupt(said.words, confusions, rng, force=True)
            if not done or not said.entries:
                continue
            corrupted += 1
            for repair in (True, False):
                found = score(words, said, roster, repair=repair)
                totals[repair] = [a + b for a, b in zip(totals[repair], found, strict=True)]
        print(f"{name}: {corrupted} corrupted notes")
        for repair, (exact, wrong, other) in totals.items():
            print(f"  repair {'on ' if repair else 'off'}: exact {100 * exact / corrupted:5.1f} %, "
                  f"wrong animal {100 * wrong / corrupted:.2f} %, "
                  f"another lesion {100 * other / corrupted:.1f} %")  # fmt: skip
    chatter(count, rng)


if __name__ == "__main__":
    main()
