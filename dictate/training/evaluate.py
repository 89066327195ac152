"""Step 5: phone error on speakers never trained on: `python -m dictate.training.evaluate …`.

Greedy decoding, no lexicon and no grammar: what the network alone hears, for each corpus and each
condition. Word error comes from `dictate model measure`, through Vosk itself.
"""

import argparse
import json
import random
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

import torch
from torch import Tensor

from dictate.training import noises
from dictate.training.augment import mix_at
from dictate.training.batches import gather
from dictate.training.corpus import RATE
from dictate.training.features import Mfcc, frame_count
from dictate.training.network import STRIDE, Network, load_network
from dictate.training.packs import Example, Pack, load_packs

_TELEPHONE_HERTZ = (200, 3600)
_MACHINES = ("fan", "grinder", "knocks", "motor", "pump", "rain")


def edit_distance(heard: Sequence[int], said: Sequence[int]) -> int:
    """Levenshtein distance."""
    row = list(range(len(said) + 1))
    for i, h in enumerate(heard, 1):
        above, row[0] = row[0], i
        for j, s in enumerate(said, 1):
            above, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, above + (h != s))
    return row[-1]


def greedy(log_probabilities: Tensor, lengths: Tensor) -> list[list[int]]:
    """Best output of every frame, repeats merged, blanks dropped."""
    best = log_probabilities.argmax(-1).tolist()
    heard = []
    for whole, length in zip(best, lengths.tolist(), strict=True):
        row = whole[:length]
        heard.append([p for i, p in enumerate(row) if p and (i == 0 or row[i - 1] != p)])
    return heard


def hold_last_frame(features: Tensor, frames: Tensor) -> Tensor:
    """Repeat each row's last frame over its padding, as Kaldi does past the end."""
    at = torch.arange(features.shape[1], device=features.device)[None]
    at = torch.minimum(at, frames[:, None] - 1)
    return features.gather(1, at[:, :, None].expand_as(features))


def _machines(x: Tensor, snr: float) -> Tensor:
    kinds = [noises.make(kind, 1, x.shape[1], x.device) for kind in _MACHINES]
    noise = torch.cat([kinds[i % len(kinds)] for i in range(len(x))])
    return mix_at(x, noise, torch.full((len(x),), snr, device=x.device))


def _telephone(x: Tensor) -> Tensor:
    spectrum = torch.fft.rfft(x)
    hertz = torch.linspace(0, RATE / 2, spectrum.shape[1], device=x.device)
    low, high = _TELEPHONE_HERTZ
    return torch.fft.irfft(spectrum * ((hertz > low) & (hertz < high)), x.shape[1])


def _floor(x: Tensor) -> Tensor:
    return x + 3 * torch.randn_like(x)


CONDITIONS: Mapping[str, Callable[[Tensor], Tensor]] = {
    "quiet": _floor,
    "zeros": lambda x: x,
    "phone": lambda x: _floor(_telephone(x)),
    "10 dB": lambda x: _floor(_machines(x, 10.0)),
    "0 dB": lambda x: _floor(_machines(x, 0.0)),
}
"""quiet: a faint floor; zeros: exact zeros around the speech; phone: 200 to 3600 Hz; machines."""


@torch.no_grad()
def evaluate(
    network: Network,
    audio: Tensor,
    examples: Sequence[Example],
    condition: str,
    *,
    seconds: float = 300,
) -> float:
    """Phone error rate: edits over phones said."""
    network.eval()
    mfcc = Mfcc().to(audio.device)
    rng = random.Random(0)
    torch.manual_seed(0)
    edits = said = 0
    rows: list[Example] = []
    ordered = sorted(examples, key=lambda one: one.length)
    for i, example in enumerate(ordered):
        rows.append(example)
        last = i + 1 == len(ordered)
        if last or (ordered[i + 1].length + RATE) * (len(rows) + 1) > seconds * RATE:
            batch = gather(audio, rows, rng, vary=False)
            signals = CONDITIONS[condition](batch.signals).round().clamp(-32768, 32767)
            frames = frame_count(batch.lengths)
            outputs = network(hold_last_frame(mfcc(signals), frames))
            for heard, row in zip(greedy(outputs, (frames + 2) // STRIDE), rows, strict=True):
                edits += edit_distance(heard, row.phones)
                said += len(row.phones)
            rows = []
    return edits / max(said, 1)


def table(network: Network, pack: Pack, conditions: Sequence[str] = tuple(CONDITIONS)) -> dict:
    """Return the phone error by corpus and condition."""
    return {
        corpus: {c: round(evaluate(network, pack.audio, examples, c), 4) for c in conditions}
        for corpus, examples in sorted(pack.dev.items())
    }


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("model", type=Path)
    parser.add_argument("packs", type=Path, nargs="+")
    options = parser.parse_args(arguments)
    device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
    network = load_network(options.model).to(device)
    print(json.dumps(table(network, load_packs(options.packs, device)), indent=1))  # noqa: T201


if __name__ == "__main__":
    main()
