"""What choosing among the hearings of a sound is worth, and what weighing them could make of it.

    python tests/bench/choose_hearings.py FOLDER... [--model DIR] [--roster FILE]

Each folder holds sound that trained nothing and a transcripts.tsv (docs/how-to/measure-a-model.md).
Prints the exact entries of the likeliest hearing, of the one that is read, of one chosen by weights
(log-linear; fitted to all other speakers, so that each is judged by weights that never met them),
and of the best of the ten: what no choice can pass.
"""

import argparse
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from heard_rows import heard_rows
from scipy.optimize import minimize
from scipy.special import logsumexp

from dictate.exchange.roster import read_roster, roster_from
from dictate.hearing.certainty import rank_of
from dictate.hearing.unsure import read_best
from dictate.measuring.scoring import score_entries
from grammar import Reading, Roster, Word, as_json, parse
from grammar.best import reading_rank
from grammar.join.second_look import animals_of

FEATURES = (
    "place",
    "animals",
    "nothing read",
    "left over",
    "repaired",
    "other marks",
    "words lost",
)
PULL = 3.0
"""How strongly weights are held to 0."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sounded:
    """One sound: for each hearing its features beside the likeliest, and its exact entries."""

    folder: str
    speaker: str
    entries: int
    features: np.ndarray
    exact: np.ndarray
    read: int
    """The hearing that is read."""


def look(folders: Sequence[Path], model: Path | None, roster: Roster | None) -> list[Sounded]:
    """Hear every row and read every hearing of it."""
    found = []
    for name, row, judged in heard_rows(folders, model, roster):
        readings = [parse(words, roster=roster) for words in judged.hearings]
        said = parse([Word(text=word) for word in row.words], roster=roster)
        want = as_json(said)["entries"]
        scores = [score_entries(want, as_json(one)["entries"]) for one in readings]
        found.append(
            Sounded(
                folder=name,
                speaker=row.speaker,
                entries=len(want),
                features=np.array(
                    [_features(one, readings[0], at) for at, one in enumerate(readings)]
                ),
                exact=np.array([score.entries_right for score in scores]),
                read=rank_of(read_best(judged, roster=roster)[0].words, judged.hearings),
            )
        )
    return found


def _features(one: Reading, likeliest: Reading, place: int) -> tuple[float, ...]:
    beside = np.array(reading_rank(one), float) - np.array(reading_rank(likeliest), float)
    lost = max(0, len(likeliest.words) - len(one.words))
    return (place, float(animals_of(one) != animals_of(likeliest)), *beside, lost)


def fit(sounds: Sequence[Sounded]) -> np.ndarray:
    """Return the weights by which the hearings with most exact entries are likeliest."""
    telling = [one for one in sounds if one.exact.min() < one.exact.max()]

    def loss(weights: np.ndarray) -> float:
        cost = PULL / 2 * float(weights @ weights)
        for one in telling:
            odds = one.features @ weights
            cost += logsumexp(odds) - logsumexp(odds[one.exact == one.exact.max()])
        return cost

    return minimize(loss, np.zeros(len(FEATURES))).x


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    arguments.add_argument("folders", nargs="+", type=Path)
    arguments.add_argument("--model", type=Path)
    arguments.add_argument("--roster", type=Path)
    asked = arguments.parse_args()
    roster = roster_from(read_roster(asked.roster).lines) if asked.roster else None
    sounds = look(asked.folders, asked.model, roster)
    sums: dict[str, np.ndarray] = defaultdict(lambda: np.zeros(5, int))
    for speaker in sorted({one.speaker for one in sounds}):
        weights = fit([one for one in sounds if one.speaker != speaker])
        for one in (one for one in sounds if one.speaker == speaker):
            weighed = int(np.argmax(one.features @ weights))
            exact = (one.exact[at] for at in (0, one.read, weighed))
            sums[one.folder] += np.array([one.entries, *exact, one.exact.max()])
    print(
        "| | entries | likeliest | as read | by weights | best of ten |\n|---|---|---|---|---|---|"
    )
    for folder, counts in sums.items():
        print(f"| {folder} | {' | '.join(map(str, counts))} |")
    for name, weight in zip(FEATURES, fit(sounds), strict=True):
        print(f"{name}: {weight:.2f}")


if __name__ == "__main__":
    main()
