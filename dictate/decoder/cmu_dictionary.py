"""The CMU pronouncing dictionary, as the `pocketsphinx` package carries it.

Only a source at build time: `python -m dictate.decoder.cmu_dictionary WORD…` prints lines for
`pronunciations.toml`, and measuring on open transcripts needs words beyond the trade.
"""

import re
import sys
from collections.abc import Iterable
from functools import cache
from pathlib import Path

from dictate.decoder.pronunciation import Pronunciations
from dictate.errors import ModelError


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
