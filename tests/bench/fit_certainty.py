"""Fit the curves of `certainty.toml` on held-out speech, and print how reliable they are.

    python tests/bench/fit_certainty.py FOLDER... [--model DIR] [--roster FILE]

Each folder holds sound that trained nothing and a transcripts.tsv (docs/how-to/measure-a-model.md).
Every slot that was heard is right or wrong by what the grammar reads from the words said; a curve
is fitted to that for each kind of slot.  Two tables show what the curves are worth for a speaker
that they were not fitted to (each speaker is judged by the fit of all others): for slots of about
the same certainty, how many were right; and, for chances under which a slot may be marked, how many
right ones that marks and how many wrong ones it does not.
"""

import argparse
import itertools
import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from heard_rows import heard_rows
from scipy.optimize import minimize

from dictate.exchange.roster import read_roster, roster_from
from dictate.hearing.certainty import log_odds, rank_of, rivals_of, slot_certainties
from grammar import Roster, Word, parse, parse_best

BINS = (0.0, 0.3, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 1.0001)
LIMITS = (0.8, 0.9, 0.93, 0.95, 0.96, 0.97)
PRIOR = 2.0
"""Pseudo-slots, half right and half wrong: a kind met a few times must not look certain."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    folder: str
    speaker: str
    kind: str
    odds: float
    disputed: bool
    right: bool


def judge(folders: Sequence[Path], model: Path | None, roster: Roster | None) -> list[Judged]:
    """Hear every row and judge every slot."""
    judged = []
    for name, row, heard in heard_rows(folders, model, roster):
        hearings = heard.hearings
        reading = parse_best(hearings, roster=roster)
        rivals = rivals_of(rank_of(reading.words, hearings), hearings)
        others = [parse(hearings[rank], roster=roster).entries for rank in rivals]
        said = parse([Word(text=word) for word in row.words], roster=roster)
        wanted = {
            (_name(slot.slot), slot.value)
            for entry in said.entries
            for slot in slot_certainties(entry, [Word(text=w, confidence=1.0) for w in row.words])
        }
        judged += [
            Judged(
                folder=name,
                speaker=row.speaker,
                kind=slot.kind,
                odds=log_odds(slot.confidence),
                disputed=slot.disputed,
                right=(_name(slot.slot), slot.value) in wanted,
            )
            for at, entry in enumerate(reading.entries)
            for slot in slot_certainties(
                entry,
                reading.words,
                roster,
                others=[e[at] if at < len(e) else None for e in others],
            )
        ]
    return judged


def _name(slot: str) -> str:
    return slot.rpartition(".")[2]


Curve = tuple[float, float, float]
"""Base, slope, and what being disputed adds."""


def fit(slots: Sequence[Judged]) -> Curve:
    """Logistic regression of right on odds and dispute, with a small prior: even chances at odds of -2 and 2."""
    odds = np.array([s.odds for s in slots] + [-2.0, -2.0, 2.0, 2.0])
    disputed = np.array([float(s.disputed) for s in slots] + [0.0] * 4)
    right = np.array([float(s.right) for s in slots] + [0.0, 1.0, 0.0, 1.0])
    weight = np.array([1.0] * len(slots) + [PRIOR / 4] * 4)

    def loss(curve: np.ndarray) -> float:
        logit = curve[0] + curve[1] * odds + curve[2] * disputed
        return float((weight * (np.logaddexp(0, logit) - right * logit)).sum() + curve[2] ** 2 / 8)

    base, slope, less = minimize(loss, (0.0, 0.5, 0.0)).x
    return base, slope, less


def chance_of(slot: Judged, curve: Curve) -> float:
    """Return the chance that a slot is right."""
    return 1 / (1 + math.exp(-(curve[0] + curve[1] * slot.odds + curve[2] * slot.disputed)))


def chances_left_out(slots: Sequence[Judged]) -> list[tuple[float, Judged]]:
    """Judge each speaker's slots by what the other speakers' say."""
    found = []
    for speaker in sorted({s.speaker for s in slots}):
        curve = fit([s for s in slots if s.speaker != speaker])
        found += [(chance_of(s, curve), s) for s in slots if s.speaker == speaker]
    return found


def print_limits(kind: str, chances: Sequence[tuple[float, Judged]]) -> None:
    """Print, by folder, what limits from 80 to 98 % mark of right slots and leave of wrong ones."""
    print(
        f"\n| {kind}: marked below | folder | right, marked | wrong, not marked |\n|---|---|---|---|"
    )
    for limit, folder in itertools.product(LIMITS, sorted({s.folder for _, s in chances})):
        right = [chance < limit for chance, s in chances if s.folder == folder and s.right]
        wrong = [chance >= limit for chance, s in chances if s.folder == folder and not s.right]
        marked = f"{sum(right)} of {len(right)}"
        print(f"| {limit:.0%} | {folder} | {marked} | {sum(wrong)} of {len(wrong)} |")


def print_reliability(chances: Sequence[tuple[float, Judged]]) -> None:
    """Print how many slots of about the same certainty are right."""
    print("\n| certainty | slots | mean certainty | right |\n|---|---|---|---|")
    for low, high in itertools.pairwise(BINS):
        inside = [(chance, s.right) for chance, s in chances if low <= chance < high]
        if inside:
            mean = sum(chance for chance, _ in inside) / len(inside)
            share = sum(right for _, right in inside) / len(inside)
            print(f"| {low:.0%} to {min(high, 1):.0%} | {len(inside)} | {mean:.1%} | {share:.1%} |")


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    arguments.add_argument("folders", nargs="+", type=Path)
    arguments.add_argument("--model", type=Path)
    arguments.add_argument("--roster", type=Path)
    asked = arguments.parse_args()
    roster = roster_from(read_roster(asked.roster).lines) if asked.roster else None
    by_kind: dict[str, list[Judged]] = defaultdict(list)
    for slot in judge(asked.folders, asked.model, roster):
        by_kind[slot.kind].append(slot)
    left_out: list[tuple[float, Judged]] = []
    for kind, slots in sorted(by_kind.items()):
        base, slope, less = fit(slots)
        print(f'[curve."{kind}"]   # {len(slots)} slots, {sum(s.right for s in slots)} right')
        print(f"base = {base:.2f}\nslope = {slope:.2f}\ndisputed = {less:.2f}")
        chances = chances_left_out(slots)
        print_limits(kind, chances)
        left_out += chances
    print_reliability(left_out)


if __name__ == "__main__":
    main()
