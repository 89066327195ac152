"""Every number below 10,000 in every usual spoken form: is it the animal that is read?

    python tests/bench/numbers_said.py [disturbed=20000] [seed=1] [below=10000]

First all forms as they are, behind "cow" and before a foot and a lesion; then DISTURBED of them with
hesitations inside and with words that sound alike in place of number words; last, long numbers in
groups of three.  A form is right where
the first reading is the number; where it is not, it must be offered among the candidates.
The forms: one by one (zero, oh or nought; double and treble or not), in pairs, and in full, with and
without "and".  Forms that people read as another number ("twenty two" for 202) are not among them.
"""

import itertools
import random
import sys

from grammar import load_lexicon, parse
from grammar.hear.identifiers import identifier_readings
from grammar.say.say_numbers import ONES, say_quantity

SHOWN = 10
ZEROS = ("zero", "oh", "nought")
SOUNDS = {
    "four": ("for",), "two": ("to", "too"), "eight": ("ate",), "one": ("won",), "oh": ("owe",),
    "three": ("tree",), "nought": ("ought", "aught"), "nine": ("niner",),
}  # fmt: skip
PAUSES = ("um", "uh", "er")


def singly(number):
    """Yield the digits one by one, equal neighbours also doubled and trebled."""
    for zero in ZEROS:
        names = [zero if digit == "0" else ONES[int(digit)] for digit in number]
        yield tuple(names)
        said, at = [], 0
        while at < len(names):
            count = 3 if names[at : at + 3] == [names[at]] * 3 else 2
            if names[at : at + count] == [names[at]] * count:
                said += [{2: "double", 3: "treble"}[count], names[at]]
                at += count
            else:
                said.append(names[at])
                at += 1
        yield tuple(said)


def in_pairs(number):
    """Yield pairs, the first digit alone where the count is odd; a pair such as 06 as oh six."""
    if len(number) < 2:
        return
    start = len(number) % 2
    for zero in ZEROS:
        said = [ONES[int(number[0])]] if start else []
        for at in range(start, len(number), 2):
            pair = number[at : at + 2]
            if pair[0] != "0":
                said += say_quantity(int(pair))
            else:
                said += [zero, zero if pair[1] == "0" else ONES[int(pair[1])]]
        yield tuple(said)


def in_full(number):
    """Yield four hundred and twelve, twelve hundred and four, one thousand two hundred and four."""
    value = int(number)
    ways = [say_quantity(value)]
    if value > 1000 and 0 < value // 100 % 10:
        head, tail = divmod(value, 100)
        ways.append(
            (*say_quantity(head), "hundred", *(("and", *say_quantity(tail)) if tail else ()))
        )
    for way in ways:
        yield way
        yield tuple(word for word in way if word != "and")


def forms(number):
    """Return every form of a number, without doubles."""
    return dict.fromkeys(itertools.chain(singly(number), in_pairs(number), in_full(number)))


def read(said):
    """Return the animal and its candidates, and whether the note is marked."""
    entry = parse(["cow", *said, "left", "hind", "sole", "ulcer"]).entries[0]
    animal = entry.animal.value if entry.animal else None
    return animal, entry.animal_candidates, bool(entry.marks)


def disturb(said, rng):
    """Put hesitations inside, and words that sound alike in place of number words."""
    words = [rng.choice(SOUNDS[w]) if w in SOUNDS and rng.random() < 0.4 else w for w in said]
    if len(words) > 1 and rng.random() < 0.6:
        words.insert(rng.randrange(1, len(words)), rng.choice(PAUSES))
    return words


def three(digits, way, rng):
    """Say a group of three digits: one by one, doubled, in pairs, in full, or as it comes."""
    ways = {"singly": singly, "doubled": singly, "pairs": in_pairs, "full": in_full}
    name = rng.choice(list(ways)) if way == "mixed" else way
    if name == "full" and digits[0] == "0":
        name = "singly"
    said = list(ways[name](digits))
    return said[
        {"singly": 2, "doubled": 1, "pairs": 1, "full": 0}[name]
    ]  # zeros are "oh" but in full


def in_threes(count, rng):
    """Print how long numbers in groups of three are read: first reading, offered."""
    numbers = load_lexicon().numbers
    for length in (6, 9, 12, 15):
        for way in ("singly", "doubled", "pairs", "full", "mixed"):
            first = offered = 0
            for _ in range(count):
                number = rng.choice("123456789") + "".join(rng.choices("0123456789", k=length - 1))
                groups = [number[at : at + 3] for at in range(0, length, 3)]
                readings = identifier_readings(
                    [word for group in groups for word in three(group, way, rng)], numbers
                )
                first += readings[:1] == (number,)
                offered += number in readings
            print(f"{length} digits in threes, {way}: {count}, first {first}, offered {offered}")


def main():
    """Print the counts of all parts."""
    given = [int(text) for text in sys.argv[1:]]
    disturbed, seed, below = (*given, *(20000, 1, 10000)[len(given) :])
    said = [(str(n), way) for n in range(below) for way in forms(str(n))]
    first = offered = 0
    for number, way in said:
        animal, candidates, _ = read(way)
        first += animal == number
        offered += number in candidates
        if number not in candidates:
            print(f"{number}: {' '.join(way)}: {candidates}")
    print(
        f"{len(said)} forms of the numbers below {below}: first reading {first}, offered {offered}"
    )
    rng = random.Random(seed)
    right = marked = silent = 0
    for number, way in rng.choices(said, k=disturbed):
        words = disturb(way, rng)
        animal, _, doubt = read(words)
        right += animal == number
        marked += animal != number and doubt
        if animal != number and not doubt:
            silent += 1
            if silent <= SHOWN:
                print(f"{number}: {' '.join(words)}: {animal}")
    print(f"{disturbed} disturbed: right {right}, wrong and marked {marked}, silent {silent}")
    in_threes(400, rng)


if __name__ == "__main__":
    main()
