"""What repair is worth: entries right with and without it, on notes with mis-heard terms.

    python tests/bench/repair_gain.py [notes=3000] [seed=1]

Sampled notes are corrupted with the words of a table in place of what was said; every note counted
holds at least one corruption.  The tables: slips that the lexicon's own table lists, and words that
merely sound alike and stand in no table (confusions_heard.toml, see make_confusions.py); what the
bundled recogniser and an open-vocabulary one did hear (learn_confusions.py), once with numbers left
as they were said, since those are never repaired, and once with the numbers misheard too.  Beside
them stands the most that repair can reach: every word but the numbers put right.
"""

import random
import sys
import tomllib
from pathlib import Path

from learn_confusions import holds_number

from grammar import Roster, as_json, parse, sample_note, vocabulary
from grammar.say.sample import essence

HEARD, BUNDLED, SECOND = (
    Path(__file__).with_name(f"confusions_{name}.toml") for name in ("heard", "bundled", "second")
)
RATE = 0.12
"""Share of words corrupted."""
HERD = tuple(str(number) for number in random.Random(7).sample(range(1, 2000), 180))


def table(path, *, listed=False, numbers=False):
    """Said words -> the words heard for them, as often as they were heard."""
    found = {}
    for row in tomllib.loads(path.read_text(encoding="utf-8"))["confusion"]:
        said, heard = row["said"].split(), row["heard"].split()
        if row.get("listed", False) is listed and (numbers or not holds_number(said + heard)):
            found.setdefault(tuple(said), []).extend([heard] * row["times"])
    return found


def corrupt(words, confusions, rng, *, force):
    """Replace stretches of words as the table says; the first fit always where `force`.

    Returns the words, the same with only the numbers misheard, and whether any was replaced.
    """
    result, numbers, at, done = [], [], 0, False
    while at < len(words):
        size = next((n for n in (3, 2, 1) if tuple(words[at : at + n]) in confusions), 0)
        if size and (rng.random() < RATE or (force and not done and rng.random() < 0.5)):
            said = words[at : at + size]
            heard = rng.choice(confusions[tuple(said)])
            result += heard
            numbers += heard if holds_number([*said, *heard]) else said
            at, done = at + size, True
        else:
            result.append(words[at])
            numbers.append(words[at])
            at += 1
    return result, numbers, done


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
    path = Path(__file__).parents[2] / "dictate/decoder/everyday_words.txt"
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
        ("slips of the lexicon's table", table(HEARD, listed=True)),
        ("sound-alikes in no table", table(HEARD)),
        ("bundled recogniser, numbers as said", table(BUNDLED)),
        ("bundled recogniser, numbers misheard too", table(BUNDLED, numbers=True)),
        ("open vocabulary, numbers as said", table(SECOND)),
        ("open vocabulary, numbers misheard too", table(SECOND, numbers=True)),
    ):
        totals, corrupted = {}, 0
        while corrupted < count:
            said = sample_note(rng, roster=roster)
            words, numbers, done = corrupt(said.words, confusions, rng, force=True)
            if not done or not said.entries:
                continue
            corrupted += 1
            for way, heard, repair in (
                ("repair off", words, False),
                ("repair on", words, True),
                ("most possible", numbers, True),
            ):
                found = score(heard, said, roster, repair=repair)
                before = totals.get(way, (0, 0, 0))
                totals[way] = [a + b for a, b in zip(before, found, strict=True)]
        print(f"{name}: {corrupted} corrupted notes")
        for way, (exact, wrong, other) in totals.items():
            print(f"  {way:13}: exact {100 * exact / corrupted:5.1f} %, "
                  f"wrong animal {100 * wrong / corrupted:.2f} %, "
                  f"another lesion {100 * other / corrupted:.1f} %", flush=True)  # fmt: skip
    chatter(count, rng)


if __name__ == "__main__":
    main()
