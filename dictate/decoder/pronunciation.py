"""How each word sounds: the pronunciation file, and words taught as sounding like known ones."""

import re
import sys
import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from importlib import resources
from pathlib import Path

from dictate.decoder.phones import ARPABET
from dictate.errors import ModelError

Pronunciation = tuple[str, ...]
"""ARPAbet symbols without stress."""
Pronunciations = Mapping[str, tuple[Pronunciation, ...]]
"""Word to its pronunciations, the commonest first."""
_FILE = "pronunciations.toml"
_EVERYDAY_FILE = "everyday_words.txt"
_VARIANTS_MAX = 6
"""Of a taught word: more would slow the search and win nothing."""


@cache
def pronunciations() -> Pronunciations:
    """Every pronunciation of the data file; sections add up.

    Raises:
        ModelError: symbols that are not phones, all of them together.
    """
    text = resources.files("dictate.decoder").joinpath(_FILE).read_text("utf-8")
    sections: dict[str, dict[str, list[str]]] = tomllib.loads(text)
    gathered: dict[str, dict[Pronunciation, None]] = {}
    for section in sections.values():
        for word, spoken in section.items():
            known = gathered.setdefault(word, {})
            known.update(dict.fromkeys(tuple(variant.split()) for variant in spoken))
    faults = [
        f"{word}: {symbol}"
        for word, spoken in gathered.items()
        for variant in spoken
        for symbol in variant or ("nothing",)
        if symbol not in ARPABET
    ]
    if faults:
        raise ModelError(
            f"symbols that are not phones: {'; '.join(faults)}",
            where=_FILE,
            remedy="Use the ARPAbet symbols without stress listed in dictate.decoder.phones",
        )
    return {word: tuple(spoken) for word, spoken in gathered.items()}


@cache
def everyday_words() -> Pronunciations:
    """Words of ordinary talk, which the recogniser hears as the filler."""
    text = resources.files("dictate.decoder").joinpath(_EVERYDAY_FILE).read_text("utf-8")
    lines = [line.split("\t") for line in text.splitlines() if not line.startswith("#")]
    gathered: dict[str, tuple[Pronunciation, ...]] = {}
    for word, sounds in lines:
        gathered[word] = (*gathered.get(word, ()), tuple(sounds.split()))
    return gathered


def words_without(words: Iterable[str], known: Pronunciations | None = None) -> tuple[str, ...]:
    """Return the words that lack a pronunciation, in alphabetical order."""
    have = pronunciations() if known is None else known
    return tuple(sorted({word for word in words if word not in have}))


def pronounce_like(sounds_like: str, known: Pronunciations) -> tuple[Pronunciation, ...]:
    """Pronounce a new word as a run of known words.

    Raises:
        ModelError: words that have no pronunciation themselves.
    """
    words = sounds_like.lower().split()
    missing = words_without(words, known)
    if missing or not words:
        raise ModelError(
            f"no pronunciation for {', '.join(missing) or 'an empty phrase'}",
            where=sounds_like,
            remedy="Spell it with words that `dictate phrases --words` lists",
        )
    runs: list[Pronunciation] = [()]
    for word in words:
        runs = [run + variant for run in runs for variant in known[word]][:_VARIANTS_MAX]
    return tuple(dict.fromkeys(runs))


@cache
def cmu_pronunciations() -> Pronunciations:
    """Every word of the dictionary with all its pronunciations.

    Raises:
        ModelError: the `pocketsphinx` package is not installed.
    """
    try:
        from pocketsphinx import get_model_path  # noqa: PLC0415
    except ImportError as error:
        raise ModelError(
            "the CMU dictionary is not installed",
            where="pocketsphinx",
            remedy="pip install pocketsphinx",
        ) from error
    spoken: dict[str, dict[tuple[str, ...], None]] = {}
    dictionary = Path(get_model_path()) / "en-us" / "cmudict-en-us.dict"
    for line in dictionary.read_text("utf-8").splitlines():
        word, *sounds = line.split()
        spoken.setdefault(re.sub(r"\(\d+\)$", "", word), {})[tuple(sounds)] = None
    return {word: tuple(variants) for word, variants in spoken.items()}


def _lines(words: Iterable[str]) -> Iterable[str]:
    known = cmu_pronunciations()
    for word in sorted(set(words)):
        variants = ", ".join(f'"{" ".join(variant)}"' for variant in known.get(word, ()))
        yield f"{word if word.isalpha() else repr(word)} = [{variants}]".replace("'\"", '"')


if __name__ == "__main__":
    sys.stdout.writelines(f"{line}\n" for line in _lines(sys.argv[1:]))
