"""Build a Vosk model folder: an acoustic model, the language of the grammar, the decoding graph."""

import shutil
from collections.abc import Iterable, Sequence
from dataclasses import asdict
from pathlib import Path

from dictate.decoder import phones
from dictate.decoder.estimation import Source, estimate
from dictate.decoder.graph import decoding_graph, symbols
from dictate.decoder.language import ANIMAL, LanguageModel, read_arpa, write_arpa
from dictate.decoder.lookahead import write_run_time_graph
from dictate.decoder.model_files import (
    ACOUSTIC,
    NOTES_MODEL,
    NUMBERS_MODEL,
    STATIC_GRAPH,
    WORDS,
    ModelCard,
    Outputs,
    write_card,
)
from dictate.decoder.pronunciation import Pronunciations, everyday_words, pronunciations
from dictate.decoder.sampling import note_sources, sampled_numbers
from dictate.decoder.word_graph import HerdNumbers, Weights, without_marks, word_graph
from dictate.errors import ModelError
from grammar import load_lexicon, vocabulary

_MFCC = """\
--use-energy=false
--sample-frequency=16000
--num-mel-bins=40
--num-ceps=40
--low-freq=20
--high-freq=7600
--dither=0
"""
"""As the network was trained; without dither the same sound always gives the same words."""
_DECODER = """\
--min-active=200
--max-active=3000
--beam=13.0
--lattice-beam=6.0
--phone-determinize=false
--acoustic-scale=1.0
--frame-subsampling-factor=3
--endpoint.silence-phones=1
--endpoint.rule2.min-trailing-silence=2.0
--endpoint.rule3.min-trailing-silence=2.0
--endpoint.rule4.min-trailing-silence=3.0
--endpoint.rule5.min-utterance-length=120
"""
"""A note may pause while the knife works: only long silences end a stretch, never a length.

Determinising lattices by phones first, as is usual, would spell out every way through the filler
(20 times slower on chatter, and more than a gigabyte of memory).
"""
_KEPT_OF_NOTES = {2: 18_500, 3: 9_100}
_KEPT_OF_NUMBERS = {2: 800, 3: 2_000}
"""How many n-grams of so many words go into the model, for its size."""
_NAME = "dictate-chute-en"
_NOTES, _NUMBERS = 25_000, 20_000
_SEED = 20260302


def build_from_grammar(
    acoustic: Path,
    target: Path,
    *,
    version: str,
    outputs: Outputs | None = None,
    run_time: bool = False,
) -> ModelCard:
    """Build a model folder; the same acoustic model and grammar always give the same files.

    Raises:
        ModelError: no such acoustic model, a folder that is not empty, words without a
            pronunciation, or (with `run_time`) OpenFst's tools are not installed.
    """
    if not acoustic.is_file():
        raise ModelError(
            "no such file", where=str(acoustic), remedy="Export one with dictate.training.export"
        )
    return build_model(
        target,
        acoustic=acoustic,
        notes=note_sources(_NOTES, seed=_SEED),
        numbers=list(sampled_numbers(_NUMBERS, seed=_SEED)),
        pronounced=pronunciations(),
        vocabulary=vocabulary(),
        weights=Weights(),
        name=_NAME,
        version=version,
        lexicon=load_lexicon().version,
        outputs=outputs,
        run_time=run_time,
    )


def build_model(
    target: Path,
    *,
    acoustic: Path,
    notes: Sequence[Source],
    numbers: Sequence[Sequence[str]],
    pronounced: Pronunciations,
    vocabulary: frozenset[str],
    weights: Weights,
    name: str,
    version: str,
    lexicon: str,
    outputs: Outputs | None = None,
    run_time: bool = False,
) -> ModelCard:
    """Build a model in an empty or missing folder.

    Args:
        target: where.
        acoustic: an `am/final.mdl` whose outputs are those of `dictate.decoder.phones`.
        notes: of every kind as words, animal numbers replaced by `<animal>`.
        numbers: sampled animal numbers as words.
        pronounced: pronunciations of every word.
        vocabulary: words that must be possible.
        weights: how language weighs against sound.
        name: of the model.
        version: of the model.
        lexicon: version of the grammar's lexicon.
        outputs: how the acoustic model was written; without it no voice can be learnt.
        run_time: whether words are chosen at run time; such a model is slower and larger.

    Raises:
        ModelError: the folder holds something already, or words lack a pronunciation.
    """
    if target.exists() and any(target.iterdir()):
        raise ModelError("is not empty", where=str(target), remedy="Name a new folder")
    for part in ("am", "conf", "language"):
        (target / part).mkdir(parents=True, exist_ok=True)
    shutil.copyfile(acoustic, target / ACOUSTIC)
    (target / "conf" / "mfcc.conf").write_text(_MFCC)
    (target / "conf" / "model.conf").write_text(_DECODER)
    number_words = {word for number in numbers for word in number}
    models = {
        NOTES_MODEL: estimate(
            notes, vocabulary=vocabulary | {ANIMAL}, order=3, kept=_KEPT_OF_NOTES
        ),
        NUMBERS_MODEL: estimate(
            [Source(1, numbers)], vocabulary=number_words, order=3, kept=_KEPT_OF_NUMBERS
        ),
    }
    for file, model in models.items():
        (target / file).write_text("\n".join(write_arpa(model)) + "\n", "utf-8")
    any_number = read_language(target / NUMBERS_MODEL)
    write_graph(
        target,
        notes=read_language(target / NOTES_MODEL),
        herd=HerdNumbers(any_number=any_number),
        pronounced=pronounced,
        weights=weights,
        run_time=run_time,
    )
    return write_card(
        target,
        name=name,
        version=version,
        lexicon=lexicon,
        weights=asdict(weights),
        outputs=outputs,
    )


def read_language(path: Path) -> LanguageModel:
    """Read an ARPA file of a model folder."""
    return read_arpa(path.read_text("utf-8").splitlines(), where=str(path))


def write_graph(
    target: Path,
    *,
    notes: LanguageModel,
    herd: HerdNumbers,
    pronounced: Pronunciations,
    weights: Weights,
    taught: Iterable[str] = (),
    run_time: bool = False,
) -> None:
    """Write the decoding graph, its words and phones; `taught` words get a chance anywhere."""
    taught_words = set(taught)
    words = (notes.words | herd.any_number.words | taught_words) - {ANIMAL}
    words |= {word for ways in herd.spoken.values() for way in ways for word in way}
    table = symbols(words)
    words_graph = word_graph(
        notes, herd, label_of=table.label_of, weights=weights, extra_words=taught_words
    )
    (target / "graph" / "phones").mkdir(parents=True, exist_ok=True)
    if run_time:
        table = write_run_time_graph(
            target,
            without_marks(words_graph, table.label_of),
            table,
            pronounced,
            everyday_words(),
            weights=weights,
        )
    else:
        graph = decoding_graph(words_graph, table, pronounced, everyday_words(), weights=weights)
        graph.write(str(target / STATIC_GRAPH))
    (target / WORDS).write_text("\n".join(table.lines()) + "\n", "utf-8")
    (target / "graph" / "phones" / "word_boundary.int").write_text(
        "\n".join(phones.word_boundary_lines()) + "\n"
    )
