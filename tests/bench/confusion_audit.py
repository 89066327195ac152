"""How often misheard words give a wrong record in silence: wrong slots with no mark at all.

    python tests/bench/confusion_audit.py [notes=3000] [seed=1]

Right notes, with words replaced by what recognisers did hear for them (the tables that
learn_confusions.py made: the bundled recogniser's, and an open-vocabulary one's), on a farm of 180
animals.  A note is
silently wrong where its entries are not those said and nothing in it is marked.  A remark's own
words stay as said; a remark where none was said shows, for what is heard of one is always marked
(`remark-spoken`).

A word in its other spelling ("sulphate", "sulfate") is the same word.

Counted apart are silent errors that are made by a thing of the same kind alone ("left" for "right",
"four" for "five"; with only the other words put in, the note is read right): the words show
nothing, and only sound, the roster or a person can tell.  Prints the commonest replacements behind
the silent errors.
"""

import random
import sys
from collections import Counter

from learn_confusions import holds_number
from repair_gain import BUNDLED, HERD, RATE, SECOND, table

from grammar import Roster, as_json, load_lexicon, parse, sample_note
from grammar.say.sample import essence

SHOWN = 15
SPELLINGS = {("sulphate", "sulfate")}
"""One word in two spellings, said and heard."""
_SAME = (
    {"left", "right", "near", "off", "nearside", "offside"},
    {"hind", "rear", "back", "front", "fore"},
)


def corrupt(words, confusions, rng):
    """Return the note in stretches: the words said and those heard, the same where nothing changed."""
    stretches, at = [], 0
    end = words.index("remark") if "remark" in words else len(words)
    while at < len(words):
        size = next((n for n in (3, 2, 1) if tuple(words[at : at + n]) in confusions), 0)
        said = list(words[at : at + max(size, 1)])
        changes = size and at + size <= end and rng.random() < RATE
        heard = rng.choice(confusions[tuple(said)]) if changes else said
        stretches.append((said, heard))
        at += len(said)
    return stretches


def says_another(said, heard):
    """Whether the words heard are a value of the same kind as those said."""
    terms = load_lexicon().terms
    if holds_number(said.split()) and holds_number(heard.split()):
        return True
    if any(said in words and heard in words for words in _SAME):
        return True
    units = load_lexicon().numbers.time_units
    if said in units and heard in units:
        return True
    one, other = terms.get(said), terms.get(heard)
    return one is not None and other is not None and one.tag == other.tag


def judge(words, said, roster):
    """Return whether a note is read right, and whether it shows a doubt (or nothing at all)."""
    reading = as_json(parse(words, roster=roster))
    right = [essence(entry) for entry in reading["entries"]] == list(said.entries)
    marked = reading["marks"] or any(e["marks"] for e in reading["entries"])
    spoken = any(e["remark"] for e in reading["entries"]) and "remark" not in said.words
    return right, bool(marked) or spoken or not reading["entries"]


def is_silent(words, said, roster):
    """Whether a reading is wrong and shows nothing."""
    return judge(words, said, roster) == (False, False)


def cause(stretches, said, roster):
    """Return the replacements that tell of themselves; none where only another value did the harm."""
    telling = [
        (before, after)
        for before, after in stretches
        if before != after and not says_another(" ".join(before), " ".join(after))
    ]
    words = [
        word
        for before, after in stretches
        for word in (after if (before, after) in telling else before)
    ]
    return [] if judge(words, said, roster)[0] else telling


def main():
    """Print the silent errors of each table."""
    roster = Roster(HERD)
    count, seed = (int(x) for x in (*sys.argv[1:], *("3000", "1")[len(sys.argv) - 1 :]))
    for name, path in (("bundled recogniser", BUNDLED), ("open vocabulary", SECOND)):
        rng = random.Random(seed)
        confusions = {
            said: [heard for heard in all_heard if (*said, *heard) not in SPELLINGS]
            for said, all_heard in table(path, numbers=True).items()
        }
        confusions = {said: all_heard for said, all_heard in confusions.items() if all_heard}
        kinds, causes, notes = Counter(), Counter(), 0
        while notes < count:
            said = sample_note(rng, roster=roster)
            stretches = corrupt(said.words, confusions, rng)
            words = [word for _, heard in stretches for word in heard]
            if words == list(said.words) or not said.entries:
                continue
            notes += 1
            if is_silent(words, said, roster):
                telling = cause(stretches, said, roster)
                kinds["telling" if telling else "another value"] += 1
                if telling and kinds["telling"] <= SHOWN:
                    print(f"  {telling}: {' '.join(words)}")
                causes.update((" ".join(was), " ".join(now)) for was, now in telling)
        print(f"{name}: {notes} notes with misheard words")
        for kind in ("telling", "another value"):
            print(f"  silently wrong, {kind}: {kinds[kind]} ({100 * kinds[kind] / notes:.2f} %)")
        for (was, now), times in causes.most_common(SHOWN):
            print(f"    {times:4} {was!r} heard as {now!r}")


if __name__ == "__main__":
    main()
