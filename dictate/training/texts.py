"""What the synthetic voices say: notes, numbers, single words and ordinary English.

Everything is a plain list of lower-case words; commas may be put between them so that a voice
pauses. Which notes there are is the grammar's business: `note` is passed in.
"""

import random
from collections.abc import Callable, Sequence

DIGITS = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"]
_TEENS = ("ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen").split()
_TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
_SHARES = (
    ("note", 0.34),
    ("numbers", 0.26),
    ("single", 0.14),
    ("shuffled", 0.1),
    ("english", 0.16),
)

Note = Callable[[random.Random], Sequence[str]]


def _digit(rng: random.Random) -> str:
    return rng.choice([*DIGITS, "oh"])


def _two(rng: random.Random) -> list[str]:
    kind = rng.random()
    if kind < 0.3:
        return [rng.choice(_TEENS)]
    if kind < 0.8:
        return [rng.choice(_TENS), rng.choice(DIGITS[1:])]
    if kind < 0.9:
        return [rng.choice(_TENS)]
    return ["oh", rng.choice(DIGITS[1:])]


def _hundreds(rng: random.Random) -> list[str]:
    rest = [word for word in _two(rng) if word != "oh"]
    return [rng.choice(DIGITS[1:]), "hundred", *rng.choice([[], ["and"]]), *rest]


def _thousands(rng: random.Random) -> list[str]:
    return [
        rng.choice(DIGITS[1:]),
        "thousand",
        *rng.choice([_hundreds(rng), [], ["and", *_two(rng)]]),
    ]


def _repeats(rng: random.Random) -> list[str]:
    """Digits of which one is said as a double or triple: "four double seven two"."""
    words = [_digit(rng) for _ in range(rng.randint(0, 2))]
    words += [rng.choice(["double", "double", "triple"]), _digit(rng)]
    return words + [_digit(rng) for _ in range(rng.randint(0, 2))]


def _long(rng: random.Random) -> list[str]:
    """As in a tag or a telephone number: 6 to 11 digits."""
    words = [_digit(rng) for _ in range(rng.randint(6, 11))]
    if rng.random() < 0.2:
        words.insert(rng.randrange(len(words)), "double")
    return words


def number_words(rng: random.Random) -> list[str]:
    """Draw a number in one of its usual spoken forms: one to five places, or a long run of digits."""
    forms: list[Callable[[random.Random], list[str]]] = [
        lambda r: [_digit(r) for _ in range(r.randint(1, 5))],
        lambda r: [r.choice(DIGITS[1:]), *_two(r)],
        lambda r: [*_two(r), *_two(r)],
        _two,
        _hundreds,
        _thousands,
        _repeats,
        _long,
    ]
    return rng.choices(forms, weights=[33, 19, 16, 7, 9, 4, 4, 8])[0](rng)


def say(
    rng: random.Random, *, note: Note, vocabulary: Sequence[str], english: Sequence[str],
    notes_only: bool = False,
) -> list[str]:  # fmt: skip
    """One thing to say, of a kind drawn by the fixed shares above, or a note.

    `english` holds ordinary sentences, so that the network also hears sounds in contexts the trade
    does not have; half of them are broken up into random words.
    """
    kind = rng.choices([name for name, _ in _SHARES], weights=[share for _, share in _SHARES])[0]
    if notes_only or kind == "note":
        return list(note(rng))
    if kind == "numbers":
        return [word for _ in range(rng.choice([1, 1, 2])) for word in number_words(rng)]
    if kind == "single":
        return [rng.choice(vocabulary) for _ in range(rng.choice([1, 1, 1, 2]))]
    if kind == "shuffled":
        words = list(note(rng))[:12]
        rng.shuffle(words)
        return words
    words = rng.choice(english).split()[:12]
    if rng.random() < 0.5:
        words = [rng.choice(rng.choice(english).split()) for _ in words]
    return words


def with_pauses(words: Sequence[str], rng: random.Random) -> str:
    """Return the text for a voice: commas (pauses) after about one word in eight."""
    return " ".join(w + ("," if rng.random() < 0.12 else "") for w in words)
