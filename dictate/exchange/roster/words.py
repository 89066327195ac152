"""The words of `headings.toml`, and how words are compared: without case, accents, signs and spaces."""

import re
import tomllib
import unicodedata
from functools import cache
from importlib.resources import files
from typing import Any

_NUMBER_WORDS = frozenset("n no nr num nro nbr number numbers nummer numero numer".split())
_FILLING = frozenset("de del della dei di du des of van der".split())
"""Words of a heading that say nothing: `número de vaca`, `date of calving`."""
_CUT_MIN = 3
"""Letters that have to be left of a word that was cut short."""
_WHOLE = {"fec": "fecha", "fch": "fecha", "dt": "date", "dat": "datum"}
BESIDE = re.compile(r"[(\[].*?[)\]]|\b\d[\d./\-]*|[:.,;!]")
"""A day, an amount or a remark beside a word of a status."""
PARTS = re.compile(r"[/|\n+&]")
"""Between the parts of a heading for several things."""
_GLUED = re.compile(r"(?<=[a-zà-öø-ÿ])(?=[A-Z])")
"""Where words are written as one, `AnimalNo`."""
_LETTERS = str.maketrans({"ø": "o", "æ": "ae", "ł": "l", "œ": "oe", "đ": "d", "°": " ", "º": " "})


@cache
def _data() -> dict[str, Any]:
    text = files("dictate.exchange.roster").joinpath("headings.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def folded(text: str) -> str:
    """Small letters without accents, and single spaces instead of signs."""
    plain = unicodedata.normalize("NFKD", text.casefold().translate(_LETTERS)).casefold()
    letters = "".join(letter for letter in plain if not unicodedata.combining(letter))
    return " ".join(re.sub(r"[^\w]+|_", " ", letters).split())


def same_key(heading: str) -> str:
    """Equal for headings that mean the same: `Kuh-Nr.`, `kuh nr` and `KUHNR`."""
    words = folded(heading.replace("#", " nr ")).split()
    return "".join(
        "nr"
        if word in _NUMBER_WORDS
        else word.removesuffix("nummer") + "nr" * word.endswith("nummer")
        for word in words
    )


def loose_key(heading: str) -> str:
    """Equal also for `AnimalNo` and `Animal No`, `NUM_TRABAJO` and `número de trabajo`, `FEC_PARTO` and `fecha parto`."""
    words = folded(_GLUED.sub(" ", heading)).split()
    return same_key(" ".join(_WHOLE.get(word, word) for word in words if word not in _FILLING))


@cache
def headings() -> dict[str, str]:
    """Key of a heading to the field that it means."""
    loose = {
        loose_key(heading): field
        for field, languages in _data()["fields"].items()
        for words in languages.values()
        for heading in words
    }
    found = loose | {
        same_key(heading): field
        for field, languages in _data()["fields"].items()
        for words in languages.values()
        for heading in words
    }
    # `Vaca nº` and `Nº vaca`, where the list has one of them or the bare word.
    animals = [key for key, field in found.items() if field == "number" and "nr" not in key]
    return {both: "number" for key in animals for both in (f"{key}nr", f"nr{key}")} | found


@cache
def _words_of_headings() -> tuple[tuple[tuple[str, ...], str], ...]:
    """The words of each heading, and the field that it means."""
    return tuple(
        (tuple(folded(heading).split()), field)
        for field, languages in _data()["fields"].items()
        for words in languages.values()
        for heading in words
    )


@cache
def shortened(heading: str) -> str | None:
    """The one field that a heading with words cut short can mean, `Sidste kælv.`, `Ost. wycielenie`; `ID` too."""
    for field, words in _data()["short"].items():
        if folded(heading) in words:
            return str(field)
    cut = [(folded(word), word.endswith(".")) for word in heading.split()]
    if not any(short for _, short in cut) or any(len(word) < _CUT_MIN for word, _ in cut):
        return None
    meant = {
        field
        for words, field in _words_of_headings()
        if len(words) == len(cut)
        and all(
            whole.startswith(word) if short else whole == word
            for whole, (word, short) in zip(words, cut, strict=True)
        )
    }
    return meant.pop() if len(meant) == 1 else None


def is_number_word(word: str) -> bool:
    """Whether a word only says that an animal's number follows: cow, Nr., vaca."""
    return headings().get(same_key(word)) == "number"


@cache
def _countries() -> frozenset[str]:
    return frozenset(same_key(heading) for heading in _data()["cells"]["country"])


def is_country(heading: str) -> bool:
    """Whether a column holds the country of an electronic number, written apart."""
    return same_key(heading) in _countries()


@cache
def statuses() -> dict[str, str]:
    """Folded word of a status column to the status."""
    return {folded(word): status for status, words in _data()["status"].items() for word in words}


def status_word(text: str) -> str | None:
    """The status that a cell says in words; a date or a remark in brackets beside it does not matter."""
    if found := statuses().get(folded(text)):
        return found
    words = folded(BESIDE.sub(" ", text)).split()
    while len(words) > 1 and words[-1] in leaving_words()["day_follows"]:
        words.pop()  # `mort le 03/02/26`
    return statuses().get(" ".join(words))


@cache
def _yes() -> frozenset[str]:
    return frozenset(_data()["cells"]["yes"])


def is_yes(text: str) -> bool:
    """Whether a cell only says yes, or bears a cross."""
    return text.strip().casefold() in _yes()


@cache
def leaving_words() -> dict[str, Any]:
    """The `[leaving]` of `headings.toml`: headings and marks that say who left."""
    return dict(_data()["leaving"])


@cache
def _remarks() -> frozenset[str]:
    return frozenset(same_key(heading) for heading in leaving_words()["remarks"])


def is_remark(heading: str) -> bool:
    """Whether a column is for what has no column, or has no heading."""
    parts = (heading, *PARTS.split(heading))  # `Abgangsgrund / Bemerkung`
    return not heading.strip() or any(same_key(part) in _remarks() for part in parts)


@cache
def _empty() -> frozenset[str]:
    return frozenset(_data()["cells"]["empty"])


@cache
def _no() -> frozenset[str]:
    return frozenset(_data()["cells"]["no"])


def is_no(text: str) -> bool:
    """Whether a cell only says no."""
    return text.strip().casefold() in _no()


def is_empty(text: str) -> bool:
    """Blank, or one of the ways to write that nothing is known."""
    return not text or text.casefold() in _empty()


@cache
def _not_animals() -> frozenset[str]:
    cells = _data()["cells"]
    return frozenset(folded(word) for word in (*cells["sums"], *cells["not_animals"]))


def is_no_animal(text: str) -> bool:
    """Whether a cell names a sum, a mean or the end of a page."""
    said = folded(text)
    return any(said == word or said.startswith(f"{word} ") for word in _not_animals())


@cache
def _groups() -> frozenset[str]:
    return frozenset(folded(word) for word in _data()["cells"]["groups"])


def is_group(text: str) -> bool:
    """Whether words stand above a group of animals: `Pen 4`, `Lot B`."""
    first, _, rest = folded(text).partition(" ")
    return bool(rest) and first in _groups()


@cache
def _sums() -> frozenset[str]:
    return frozenset(folded(word) for word in _data()["cells"]["sums"])


def is_sum(text: str) -> bool:
    """Whether a cell is nothing but the word for a sum or a mean."""
    return folded(text) in _sums()


@cache
def weekdays() -> frozenset[str]:
    """Folded names of the days of the week, whole and short."""
    return frozenset(folded(word) for words in _data()["weekdays"].values() for word in words)


@cache
def months() -> dict[str, int]:
    """Folded name of a month, and its first three letters where they mean one month only."""
    whole: dict[str, int] = {}
    short: dict[str, set[int]] = {}
    for names in _data()["months"].values():
        for at, name in enumerate(names, start=1):
            said = folded(name)
            whole[said] = at
            short.setdefault(said[:3], set()).add(at)
    return {
        **{said: at.copy().pop() for said, at in short.items() if len(at) == 1},
        **whole,
    }
