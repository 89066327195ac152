"""Fit the curves of `certainty.toml` on held-out speech, and print how reliable they are.

    python tests/bench/fit_certainty.py FOLDER... [--model DIR] [--roster FILE]

Each folder holds sound that trained nothing and a transcripts.tsv (docs/how-to/measure-a-model.md).
Every slot that was heard is right or wrong by what the grammar reads from the words said; a curve
is fitted to that for each kind of slot, and a table shows, for slots of about the same certainty,
how many of them were right on the other half of the notes (each half is judged by the other's fit).
"""

import argparse
import itertools
import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from scipy.optimize import minimize

from dictate.exchange.roster import read_roster, roster_from
from dictate.hearing import open_engine, talk
from dictate.hearing.certainty import log_odds, rank_of, rivals_of, slot_certainties
from dictate.measuring.tables import read_table
from dictate.sound import read_sound
from grammar import Roster, Word, parse, parse_best

BINS = (0.0, 0.3, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 1.0001)
PRIOR = 2.0
"""Pseudo-slots, half right and half wrong: a kind met a few times must not look certain."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    note: int
    kind: str
    odds: float
    right: bool


def judge(folders: Sequence[Path], model: Path | None, roster: Roster | None) -> list[Judged]:
    """Hear every row and judge every slot."""
    engine = open_engine(model, roster=roster, terms=())
    judged = []
    for note, row in enumerate(row for folder in folders for row in read_table(folder)):
        heard = engine.hear(read_sound(row.path))
        hearings = talk.judge([heard.words, *heard.alternatives], heard.fits).hearings
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
                note=note,
                kind=slot.kind,
                odds=log_odds(slot.confidence),
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


def fit(slots: Sequence[Judged]) -> tuple[float, float]:
    """Logistic regression of right on odds, with a small prior: even chances at odds of -2 and 2."""
    odds = np.array([s.odds for s in slots] + [-2.0, -2.0, 2.0, 2.0])
    right = np.array([float(s.right) for s in slots] + [0.0, 1.0, 0.0, 1.0])
    weight = np.array([1.0] * len(slots) + [PRIOR / 4] * 4)

    def loss(curve: np.ndarray) -> float:
        logit = curve[0] + curve[1] * odds
        return float((weight * (np.logaddexp(0, logit) - right * logit)).sum())

    base, slope = minimize(loss, (0.0, 0.5)).x
    return base, slope


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    arguments.add_argument("folders", nargs="+", type=Path)
    arguments.add_argument("--model", type=Path)
    arguments.add_argument("--roster", type=Path)
    asked = arguments.parse_args()
    roster = roster_from(read_roster(asked.roster).lines) if asked.roster else None
    judged = judge(asked.folders, asked.model, roster)
    by_kind: dict[str, list[Judged]] = defaultdict(list)
    for slot in judged:
        by_kind[slot.kind].append(slot)
    chances: list[tuple[float, bool]] = []
    for kind, slots in sorted(by_kind.items()):
        base, slope = fit(slots)
        print(f'[curve."{kind}"]   # {len(slots)} slots, {sum(s.right for s in slots)} right')
        print(f"base = {base:.2f}\nslope = {slope:.2f}")
        for half in (0, 1):
            base, slope = fit([s for s in slots if s.note % 2 != half])
            chances += [
                (1 / (1 + math.exp(-(base + slope * s.odds))), s.right)
                for s in slots
                if s.note % 2 == half
            ]
    print("\n| certainty | slots | mean certainty | right |\n|---|---|---|---|")
    for low, high in itertools.pairwise(BINS):
        inside = [(chance, right) for chance, right in chances if low <= chance < high]
        if inside:
            mean = sum(chance for chance, _ in inside) / len(inside)
            share = sum(right for _, right in inside) / len(inside)
            print(f"| {low:.0%} to {min(high, 1):.0%} | {len(inside)} | {mean:.1%} | {share:.1%} |")


if __name__ == "__main__":
    main()
