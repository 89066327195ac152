"""Step 4: force a network's view of each utterance: `python -m dictate.training.align NETWORK …`.

Chooses among a word's pronunciations the one the network hears best, and cuts the words of short
real recordings apart, so that training can splice new sequences in the same speaker's voice.
Writes `variants.json` and `cuts.json`; then train again with them.
"""

import argparse
import json
import random
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import torch
from torch import Tensor
from torch.nn import functional

from dictate.training.batches import Batch, gather
from dictate.training.corpus import RATE
from dictate.training.evaluate import hold_last_frame
from dictate.training.features import Mfcc, frame_count
from dictate.training.network import STRIDE, Network, load_network
from dictate.training.packs import Example, Piece, numbers

_FRAME = STRIDE * 160
"""Samples an output frame."""
_MARGIN = 1.0
"""A variant must be this much likelier (natural log) than the first one."""
_WORDS_MOST = 12
"""In utterances that are cut; long ones are read books, where words run together."""
_WORST = -1.5
"""Mean log-probability of a word's phones below which it is not cut out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Said:
    """An utterance with the pronunciation chosen for each word."""

    key: str
    row: dict
    sounds: list[str]

    def example(self) -> Example:
        row, phones = self.row, numbers(" ".join(self.sounds))
        piece = Piece(row["start"], row["length"], phones)
        return Example(
            corpus=row["corpus"], speaker=row["speaker"], pieces=(piece,), text=row["text"]
        )


def best_path(log_probabilities: np.ndarray, phones: Sequence[int]) -> list[int]:
    """First output frame of each phone on the likeliest CTC path; [frames, outputs] in."""
    labels = np.zeros(2 * len(phones) + 1, dtype=np.int64)
    labels[1::2] = phones
    emit = log_probabilities[:, labels]
    jump = np.full(len(labels), -np.inf)  # from the phone before, past the blank between
    jump[3::2] = np.where(labels[3::2] == labels[1:-2:2], -np.inf, 0.0)
    ways = np.full((3, len(labels)), -np.inf)
    score = np.full(len(labels), -np.inf)
    score[:2] = emit[0, :2]
    back = np.zeros(emit.shape, dtype=np.int8)
    for t in range(1, len(emit)):
        ways[0] = score
        ways[1, 1:] = score[:-1]
        ways[2, 2:] = score[:-2] + jump[2:]
        back[t] = ways.argmax(0)
        score = ways.max(0) + emit[t]
    state = len(labels) - 1 - int(score[-2] > score[-1])
    firsts = [0] * len(phones)
    for t in range(len(emit) - 1, -1, -1):
        if state % 2:
            firsts[state // 2] = t
        state -= int(back[t, state])
    return firsts


def word_bounds(firsts: Sequence[int], counts: Sequence[int], frames: int) -> list[tuple[int, int]]:
    """(first, last + 1) output frame of each word, at most 5 frames beyond its outer phones.

    The border between two words lies midway between the peaks on its two sides.
    """
    ends: list[int] = []
    total = 0
    for count in counts:
        total += count
        ends.append(total)
    bounds = []
    for end, count in zip(ends, counts, strict=True):
        head, tail = firsts[end - count], firsts[end - 1]
        before = firsts[end - count - 1] if end > count else -10
        after = firsts[end] if end < total else frames + 10
        first = max(0, head - 5, (before + head + 1) // 2)
        bounds.append((first, min(frames, tail + 7, (tail + after) // 2 + 1)))
    return bounds


class Aligner:
    """Runs a network over a pack's utterances."""

    def __init__(self, network: Network, audio: Tensor) -> None:
        self.network, self.audio = network.eval(), audio
        self.mfcc = Mfcc().to(audio.device)

    @torch.no_grad()
    def outputs(self, batch: Batch) -> tuple[Tensor, Tensor]:
        """Log-probabilities and output frames of each row, with a faint noise floor."""
        signals = batch.signals + 3 * torch.randn_like(batch.signals)
        frames = frame_count(batch.lengths)
        outputs = self.network(hold_last_frame(self.mfcc(signals), frames))
        return outputs, (frames + STRIDE - 1) // STRIDE

    def choose(self, said: Sequence[_Said], lexicon: dict[str, list[str]]) -> list[list[str]]:
        """For every utterance the likeliest pronunciation of each word, words judged one by one."""
        batch = gather(self.audio, [one.example() for one in said], random.Random(0), vary=False)
        outputs, lengths = self.outputs(batch)
        tried = list(_alternatives(said, lexicon))
        losses = self._losses(outputs, lengths, [(row, sounds) for row, _, sounds in tried])
        chosen = [list(one.sounds) for one in said]
        best: dict[tuple[int, int | None], float] = {
            (row, None): loss
            for (row, word, _), loss in zip(tried, losses, strict=True)
            if word is None
        }
        for (row, word, sounds), loss in zip(tried, losses, strict=True):
            if word is not None and loss < min(
                best[row, None] - _MARGIN, best.get((row, word), loss + 1)
            ):
                best[row, word] = loss
                chosen[row][word] = sounds[word]
        return chosen

    def _losses(
        self, outputs: Tensor, lengths: Tensor, tried: Sequence[tuple[int, list[str]]]
    ) -> list[float]:
        losses: list[float] = []
        for at in range(0, len(tried), 512):
            some = tried[at : at + 512]
            rows = torch.tensor([row for row, _ in some], device=outputs.device)
            phones = [numbers(" ".join(sounds)) for _, sounds in some]
            losses += functional.ctc_loss(
                outputs[rows].transpose(0, 1),
                torch.tensor([p for one in phones for p in one], device=outputs.device),
                lengths[rows],
                torch.tensor([len(one) for one in phones], device=outputs.device),
                reduction="none",
            ).tolist()
        return losses

    def cuts(self, said: Sequence[_Said]) -> Iterator[dict]:
        """Yield the words of each utterance as rows of a pack of their own."""
        batch = gather(self.audio, [one.example() for one in said], random.Random(0), vary=False)
        outputs, lengths = (x.cpu().numpy() for x in self.outputs(batch))
        skipped = int(0.3 * RATE)  # `gather` pads this much
        for row, one in enumerate(said):
            heard = outputs[row, : lengths[row]]
            phones = [numbers(sounds) for sounds in one.sounds]
            flat = [phone for word in phones for phone in word]
            if not flat or len(heard) < 2 * len(flat):
                continue
            firsts = best_path(heard, flat)
            sure = [float(heard[t, p]) for t, p in zip(firsts, flat, strict=True)]
            bounds = word_bounds(firsts, [len(word) for word in phones], len(heard))
            at = 0
            words = one.row["text"].split()
            for number, (word_phones, (first, last)) in enumerate(zip(phones, bounds, strict=True)):
                mean = sum(sure[at : at + len(word_phones)]) / len(word_phones)
                at += len(word_phones)
                start = max(0, first * _FRAME - skipped)
                end = min(one.row["length"], last * _FRAME - skipped)
                if mean > _WORST and end - start > 0.08 * RATE:
                    yield {"key": one.key, "at": number, "word": words[number], "from": start,
                           "samples": end - start}  # fmt: skip


def _alternatives(
    said: Sequence[_Said], lexicon: dict[str, list[str]]
) -> Iterator[tuple[int, int | None, list[str]]]:
    """(row, word that differs, pronunciations): first as it stands, then each other variant."""
    for row, one in enumerate(said):
        yield row, None, one.sounds
        for at, word in enumerate(one.row["text"].split()):
            for variant in lexicon[word][1:]:
                yield row, at, [*one.sounds[:at], variant, *one.sounds[at + 1 :]]


def _batches(said: Sequence[_Said], seconds: float) -> Iterator[list[_Said]]:
    rows: list[_Said] = []
    for one in sorted(said, key=lambda one: one.row["length"]):
        if rows and one.row["length"] * (len(rows) + 1) > seconds * RATE:
            yield rows
            rows = []
        rows.append(one)
    if rows:
        yield rows


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("network", type=Path)
    parser.add_argument("packs", type=Path, nargs="+")
    parser.add_argument("--out", type=Path, required=True, help="variants.json to write")
    parser.add_argument(
        "--cut", action="append", default=[], help="pattern of corpora whose words are cut out"
    )
    options = parser.parse_args(arguments)
    device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
    network = load_network(options.network).to(device)
    variants: dict[str, list[str]] = {}
    cut = re.compile("|".join(options.cut) or r"(?!)")
    for folder in options.packs:
        audio = torch.from_numpy(np.load(folder / "audio.npy")).to(device)
        lexicon = json.loads((folder / "lexicon.json").read_text(encoding="utf-8"))
        rows = json.loads((folder / "utterances.json").read_text(encoding="utf-8"))
        said = [
            _Said(
                key=f"{r['corpus']}/{r['name']}",
                row=r,
                sounds=[lexicon[w][0] for w in r["text"].split()],
            )
            for r in rows
            if r["text"] and r["length"] > 0.15 * RATE
        ]
        aligner = Aligner(network, audio)
        cuts: list[dict] = []
        for batch in _batches(said, 200):
            chosen = aligner.choose(batch, lexicon)
            variants |= {one.key: sounds for one, sounds in zip(batch, chosen, strict=True)}
            to_cut = [
                _Said(key=one.key, row=one.row, sounds=sounds)
                for one, sounds in zip(batch, chosen, strict=True)
                if cut.fullmatch(one.row["corpus"]) and one.row["split"] == "train"
                and len(sounds) <= _WORDS_MOST
            ]  # fmt: skip
            if to_cut:
                cuts += aligner.cuts(to_cut)
        (folder / "cuts.json").write_text(json.dumps(cuts), encoding="utf-8")
        changed = sum(
            s != lexicon[w][0]
            for o in said
            for w, s in zip(o.row["text"].split(), variants[o.key], strict=True)
        )
        print(f"{folder}: {len(said)} utterances, {changed} other variants, {len(cuts)} words cut")  # noqa: T201
    options.out.write_text(json.dumps(variants), encoding="utf-8")


if __name__ == "__main__":
    main()
