"""Packs of recordings: samples end to end, and the examples in them with the outputs they should give."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import torch
from torch import Tensor

PHONES = (
    "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH"
).split()
"""In the order of `dictate.decoder.phones` (a test compares); repeated here because training runs
on machines without the recogniser. Output 0 is blank, output i is `PHONES[i - 1]`."""
_OUTPUTS = {phone: i for i, phone in enumerate(PHONES, start=1)}


def numbers(pronunciation: str) -> tuple[int, ...]:
    """Output numbers of a pronunciation such as `HH UH F`."""
    return tuple(_OUTPUTS[phone] for phone in pronunciation.split())


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of the pack's samples and the outputs it should give."""

    start: int
    length: int
    phones: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Example:
    """What one row of a batch is made of."""

    corpus: str
    speaker: str
    pieces: tuple[Piece, ...]
    text: str

    @property
    def cut(self) -> bool:
        """Whether it is a word that alignment cut out of a recording."""
        return self.corpus.endswith("-cuts")

    @property
    def length(self) -> int:
        """Samples without gaps and padding."""
        return sum(piece.length for piece in self.pieces)

    @property
    def phones(self) -> tuple[int, ...]:
        return tuple(phone for piece in self.pieces for phone in piece.phones)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """Samples on the device and the examples in them."""

    audio: Tensor
    train: list[Example]
    dev: dict[str, list[Example]]
    """By corpus."""
    noise: list[Piece]


def load_packs(
    folders: Sequence[Path],
    device: torch.device,
    *,
    variants: Mapping[str, Sequence[str]] | None = None,
) -> Pack:
    """Read packs made by `dictate.training.pack`, end to end.

    `variants` gives the pronunciation of each word of an utterance (`corpus/name`) where alignment
    chose it; otherwise a word's first pronunciation counts.
    """
    dev: dict[str, list[Example]] = {}
    parts, train, noise, at = [], [], [], 0
    for folder in folders:
        audio = np.load(folder / "audio.npy", mmap_mode="r")
        parts.append(torch.from_numpy(np.array(audio)).to(device))
        lexicon = json.loads((folder / "lexicon.json").read_text(encoding="utf-8"))
        rows = json.loads((folder / "utterances.json").read_text(encoding="utf-8"))
        for row in rows:
            chosen = (variants or {}).get(f"{row['corpus']}/{row['name']}")
            sounds = chosen or [lexicon[word][0] for word in row["text"].split()]
            piece = Piece(at + row["start"], row["length"], numbers(" ".join(sounds)))
            if row["split"] == "noise":
                noise.append(piece)
            elif row["split"] == "train":
                train.append(_example(row, row["corpus"], piece, row["text"]))
            else:
                dev.setdefault(row["corpus"], []).append(
                    _example(row, row["corpus"], piece, row["text"])
                )
        train += _cuts(folder, rows, variants, at) if variants else []
        at += len(audio)
    return Pack(audio=torch.cat(parts), train=train, dev=dev, noise=noise)


def _example(row: Mapping, corpus: str, piece: Piece, text: str) -> Example:
    return Example(corpus=corpus, speaker=row["speaker"], pieces=(piece,), text=text)


def _cuts(
    folder: Path, rows: Sequence[Mapping], variants: Mapping[str, Sequence[str]], at: int
) -> list[Example]:
    """Return the words that alignment cut out, as examples of the corpus `<corpus>-cuts`.

    Speakers are taken to be one person across corpora whose names begin alike
    (`speech_commands`, `speech_commands_digits`), as where one collection came in several parts.
    """
    path = folder / "cuts.json"
    if not path.is_file():
        return []
    by_key = {f"{row['corpus']}/{row['name']}": row for row in rows}
    examples = []
    for cut in json.loads(path.read_text(encoding="utf-8")):
        row = by_key[cut["key"]]
        sounds = variants[cut["key"]][cut["at"]]
        piece = Piece(at + row["start"] + cut["from"], cut["samples"], numbers(sounds))
        examples.append(_example(row, f"{row['corpus']}-cuts", piece, cut["word"]))
    return examples
