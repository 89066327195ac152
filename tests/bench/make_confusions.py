"""Make `confusions_heard.toml`: what an open-vocabulary recogniser may write for trade words.

    python tests/bench/make_confusions.py

For each word of the trade, the common English words outside the grammar whose sound is nearest:
Levenshtein distance over the phones of the CMU Pronouncing Dictionary (the project's own
pronunciations.toml and everyday_words.txt), at most a third of the phones.  The grammar's repair
knows nothing of these sounds: it works on spelling and Metaphone keys.  Numbers are left out.
The slips in confusions.toml (published suggestions) come on top, marked `listed`.
"""

import tomllib
from pathlib import Path

from rapidfuzz.distance import Levenshtein

from grammar import load_lexicon

ROOT = Path(__file__).parents[2]
DISTANCE_MAX = 1 / 3
PHONES_MIN = 3
NEAREST = 2


def sounds():
    """Trade word -> its phones; everyday word -> its phones."""
    tables = tomllib.loads((ROOT / "dictate/decoder/pronunciations.toml").read_text("utf-8"))
    trade = {word: said[0].split() for table in tables.values() for word, said in table.items()}
    lines = (ROOT / "dictate/decoder/everyday_words.txt").read_text("utf-8").splitlines()
    rows = (line.split("\t") for line in lines if line and not line.startswith("#"))
    return trade, {word: phones.split() for word, phones, *_ in rows}


def main():
    lexicon = load_lexicon()
    trade, everyday = sounds()
    content = (
        {
            word
            for phrase, term in lexicon.terms.items()
            if term.tag in ("LESION", "ACTION", "MATERIAL", "REGION", "TISSUE", "CLAW")
            and not term.meant
            for word in phrase.split()
        }
        - lexicon.fillers
        - lexicon.number_words
    )
    lines = ["# Made by make_confusions.py: said, heard, how often (alike).  See there.", ""]
    for row in lexicon.files["confusions"].confusion:
        lines += [
            "[[confusion]]",
            f'said = "{row.meant}"',
            f'heard = "{row.heard}"',
            "times = 1",
            "listed = true",
            "",
        ]
    for word in sorted(content & set(trade)):
        phones = trade[word]
        if len(phones) < PHONES_MIN:
            continue
        near = sorted(
            (Levenshtein.distance(phones, other) / max(len(phones), len(other)), heard)
            for heard, other in everyday.items()
            if heard not in lexicon.vocabulary and abs(len(other) - len(phones)) <= 1
        )
        for distance, heard in near[:NEAREST]:
            if distance <= DISTANCE_MAX:
                lines += [
                    "[[confusion]]",
                    f'said = "{word}"',
                    f'heard = "{heard}"',
                    "times = 1",
                    "",
                ]
    Path(__file__).with_name("confusions_heard.toml").write_text("\n".join(lines), "utf-8")


if __name__ == "__main__":
    main()
