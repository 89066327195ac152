"""How well the language model expects wordings that it was not made from.

    python tests/bench/wordings.py

Every second hand-written note of tests/cases is held out: it is taken from `said.txt` for this run.
The model is estimated once without `said.txt` and once with what is left of it, and asked how
surprising the held-out notes and new sampled ones are (natural log a word; lower is better).
"""

import tomllib
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from dictate.decoder import build, sampling
from dictate.decoder.estimation import estimate
from dictate.decoder.language import ANIMAL, END, START, Gram, LanguageModel
from grammar import load_lexicon, vocabulary

CASES = Path(__file__).parents[1] / "cases"
NOT_SAID = {"mishearings", "not_understood", "remarks"}
"""Files whose notes hold what a recogniser writes wrongly."""
CUES = {"cow", "number", "tag", "heifer", "animal", "calver", "bull", "ending"}


def cases() -> Iterator[tuple[str, ...]]:
    known = vocabulary()
    for path in sorted(CASES.glob("*.toml")):
        if path.stem not in NOT_SAID:
            for case in tomllib.loads(path.read_text("utf-8"))["case"]:
                words = case["heard"].split()
                if known.issuperset(words):
                    yield tuple(classed(words))


def classed(words: Sequence[str]) -> Iterator[str]:
    """Put the class in the place of each animal's number."""
    numbers = load_lexicon().numbers
    digits = {*numbers.digits, *numbers.teens, *numbers.tens, "hundred", "double", "treble"}
    inside = False
    for at, word in enumerate(words):
        starts = at == 0 or words[at - 1] in CUES
        if word in digits and (inside or starts):
            if not inside:
                yield ANIMAL
            inside = True
        elif not (inside and word == "and"):
            inside = False
            yield word


def surprise(model: LanguageModel, notes: Iterable[Sequence[str]]) -> float:
    """Mean of -log P of every word and end of note."""
    costs = []
    for note in notes:
        marked = (START, *note, END)
        costs += [-chance(model, marked[max(at - 2, 0) : at + 1]) for at in range(1, len(marked))]
    return sum(costs) / len(costs)


def chance(model: LanguageModel, gram: Gram) -> float:
    if gram in model.probability or len(gram) == 1:
        return model.probability[gram]
    return model.backoff.get(gram[:-1], 0.0) + chance(model, gram[1:])


def main() -> None:
    held_out = list(dict.fromkeys(cases()))[1::2]
    left = tuple(note for note in sampling.said_notes() if note not in set(held_out))
    print(f"{len(held_out)} wordings held out, {len(left)} of said.txt left")
    sampling.said_notes = lambda: left
    sources = sampling.note_sources(build._NOTES, seed=build._SEED)
    new = [note for note in sampling.sampled_notes(8000, seed=99) if note not in set(left)]
    for share, kinds in ((0, sources[:1] + sources[2:]), (sources[1].share, sources)):
        model = estimate(
            kinds, vocabulary=vocabulary() | {ANIMAL}, order=3, kept=build._KEPT_OF_NOTES
        )
        print(
            f"share of said.txt {share:.0%}: held-out wordings {surprise(model, held_out):.2f}, "
            f"sampled notes {surprise(model, new):.2f}"
        )


if __name__ == "__main__":
    main()
