"""Step 0: how every word of the corpora sounds: `python -m dictate.training.lexicon …`.

The project's own pronunciations come first, then the CMU dictionary; words in neither are
sounded out by espeak-ng. Several variants may stand: alignment chooses among them.
"""

import argparse
import json
import re
import subprocess
import tomllib
from collections.abc import Iterable, Sequence
from functools import cache
from importlib import resources
from pathlib import Path

from dictate.decoder.pronunciation import Pronunciations, cmu_pronunciations, pronunciations
from dictate.training.corpus import read_corpus


@cache
def _tables() -> dict[str, dict]:
    text = resources.files("dictate.training").joinpath("ipa.toml").read_text("utf-8")
    return tomllib.loads(text)


def read_ipa(table: str) -> dict[str, str]:
    """Return one table of `ipa.toml`, in the file's order."""
    return _tables()[table]


def read_accents() -> dict[str, dict[str, str]]:
    """Return the replacements of each accent, in the file's order."""
    return _tables()["accents"]


_VARIANTS_MAX = 4
_FROM_IPA: dict[str, str] = read_ipa("arpabet")
_NOT_SOUNDS = re.compile(r"[\s_\u02c8\u02cc\u0361]")  # spaces, ties, stress
_IPA = re.compile("|".join(sorted(_FROM_IPA, key=len, reverse=True)))


def sound_out(word: str) -> str | None:
    """espeak-ng's reading of a word as ARPAbet, None when a sound has no English phone."""
    said = subprocess.run(  # noqa: S603
        ["espeak-ng", "-q", "--ipa", "-v", "en-us", word],  # noqa: S607
        check=True, capture_output=True, text=True,
    )  # fmt: skip
    ipa = _NOT_SOUNDS.sub("", said.stdout)
    rest = _IPA.sub("", ipa)
    return None if rest or not ipa else " ".join(_FROM_IPA[s] for s in _IPA.findall(ipa))


def build_lexicon(
    words: Iterable[str], own: Pronunciations, dictionary: Pronunciations
) -> dict[str, list[str]]:
    """Pronunciations of every word that has any, each as symbols with spaces between."""
    lexicon: dict[str, list[str]] = {}
    for word in sorted(set(words)):
        known = (*own.get(word, ()), *dictionary.get(word, ()))
        sounds = dict.fromkeys(" ".join(symbols) for symbols in known)
        if not sounds and (said := sound_out(word)):
            sounds[said] = None
        if sounds:
            lexicon[word] = list(sounds)[:_VARIANTS_MAX]
    return lexicon


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("out", type=Path, help="lexicon.json to write")
    parser.add_argument("corpora", type=Path, nargs="+", help="corpus folders")
    options = parser.parse_args(arguments)
    words = {
        w for folder in options.corpora for one in read_corpus(folder) for w in one.text.split()
    }
    words |= set(pronunciations())
    lexicon = build_lexicon(words, pronunciations(), cmu_pronunciations())
    options.out.write_text(json.dumps(lexicon, indent=0), encoding="utf-8")
    print(f"{len(lexicon)} of {len(words)} words")  # noqa: T201


if __name__ == "__main__":
    main()
