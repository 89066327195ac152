"""How often misheard words give a wrong record in silence: wrong slots with no mark at all.

    python tests/bench/confusion_audit.py [notes=3000] [seed=1]

Right notes, with words replaced by what recognisers did hear for them (the tables that
learn_confusions.py made: the bundled recogniser's, and an open-vocabulary one's), on a farm of 180
animals.  A note is
silently wrong where its entries are not those said and nothing in it is marked.  Counted apart are
notes where every word put in says another thing of the same kind ("left" for "right", "four" for
"five"): the words show nothing, and only sound, the roster or a person can tell.  Prints the
commonest replacements behind the silent errors.
"""

import random
import sys
from collections import Counter

from learn_confusions import holds_number
from repair_gain import BUNDLED, HERD, RATE, SECOND, table

from grammar import Roster, as_json, load_lexicon, parse, sample_note
from grammar.say.sample import essence

SHOWN = 15
_SAME = (
    {"left", "right", "near", "off", "nearside", "offside"},
    {"hind", "rear", "back", "front", "fore"},
)


def corrupt(words, confusions, rng):
    """Return the words with some replaced, and what was replaced by what."""
    result, done, at = [], [], 0
    while at < len(words):
        size = next((n for n in (3, 2, 1) if tuple(words[at : at + n]) in confusions), 0)
        if size and rng.random() < RATE:
            said = words[at : at + size]
            heard = rng.choice(confusions[tuple(said)])
            result += heard
            done.append((" ".join(said), " ".join(heard)))
            at += size
        else:
            result.append(words[at])
            at += 1
    return result, done


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


def is_silent(words, said, roster):
    """Whether a reading is wrong and shows nothing."""
    reading = as_json(parse(words, roster=roster))
    marked = reading["marks"] or reading["leftover"] or any(e["marks"] for e in reading["entries"])
    right = [essence(entry) for entry in reading["entries"]] == list(said.entries)
    return not right and not marked and bool(reading["entries"])


def main():
    """Print the silent errors of each table."""
    roster = Roster(HERD)
    count, seed = (int(x) for x in (*sys.argv[1:], *("3000", "1")[len(sys.argv) - 1 :]))
    for name, path in (("bundled recogniser", BUNDLED), ("open vocabulary", SECOND)):
        rng = random.Random(seed)
        confusions = table(path, numbers=True)
        kinds, causes, notes = Counter(), Counter(), 0
        while notes < count:
            said = sample_note(rng, roster=roster)
            words, done = corrupt(said.words, confusions, rng)
            if not done or not said.entries:
                continue
            notes += 1
            if is_silent(words, said, roster):
                telling = [pair for pair in done if not says_another(*pair)]
                kinds["telling" if telling else "another value"] += 1
                if telling and kinds["telling"] <= SHOWN:
                    print(f"  {done}: {' '.join(words)}")
                causes.update(telling)
        print(f"{name}: {notes} notes with misheard words")
        for kind in ("telling", "another value"):
            print(f"  silently wrong, {kind}: {kinds[kind]} ({100 * kinds[kind] / notes:.2f} %)")
        for (was, now), times in causes.most_common(SHOWN):
            print(f"    {times:4} {was!r} heard as {now!r}")


if __name__ == "__main__":
    main()
