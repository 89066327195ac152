"""Build the model that the program ships: an acoustic model, and the language of the grammar."""

from pathlib import Path

from dictate.decoder.build import build_model
from dictate.decoder.model_files import ModelCard, Outputs
from dictate.decoder.pronunciation import pronunciations
from dictate.decoder.sampling import sampled_notes, sampled_numbers
from dictate.decoder.word_graph import Weights
from dictate.errors import ModelError
from grammar import load_lexicon, vocabulary

_NAME = "dictate-chute-en"
_NOTES, _NUMBERS = 75_000, 20_000
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
        notes=list(sampled_notes(_NOTES, seed=_SEED)),
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
