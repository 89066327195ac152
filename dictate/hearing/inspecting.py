"""What a model is, what it can do, and whether it can hear the trade."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from dictate.decoder.language import FILLER
from dictate.decoder.model_files import ModelFolder, bundled_model, open_folder
from dictate.decoder.run_time_words import spell_out
from dictate.errors import ModelError
from grammar import vocabulary


def describe_model(path: Path | None) -> dict[str, Any]:
    """Return what a model folder is.

    Raises:
        ModelError: it is not a Vosk model, or its files were altered.
    """
    folder = open_folder(path or bundled_model())
    files = [file for file in folder.path.rglob("*") if file.is_file()]
    return {
        "path": str(folder.path),
        "name": folder.name,
        "made_by_dictate": folder.card is not None,
        "lexicon": folder.card.lexicon if folder.card else None,
        "words": len(folder.words()),
        "megabytes": round(sum(file.stat().st_size for file in files) / 1e6, 1),
        "takes_words_at_run_time": folder.takes_grammar,
        "takes_a_herd": folder.takes_herd,
        "repeatable": _repeatable(folder),
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelCheck:
    """Whether a model can hear the trade's words."""

    path: str
    name: str
    takes_words_at_run_time: bool
    takes_a_herd: bool
    repeatable: bool
    hears_filler: bool
    """Whether it has `[unk]`, so that chatter need not become trade words."""
    spelt_out: dict[str, str]
    """Trade words that it lacks, with the words it is given instead."""
    missing: tuple[str, ...]
    """Trade words that it can never hear."""

    @property
    def fit(self) -> bool:
        """Whether no trade word is missing."""
        return not self.missing

    def lines(self) -> Iterator[str]:
        """Yield the findings for a person, each with what to do."""
        yield f"{self.name} in {self.path}"
        if self.missing:
            yield f"cannot hear {len(self.missing)} trade words: {', '.join(self.missing)}"
            yield "  use the bundled model, or say these things in other words"
        if self.spelt_out:
            spelt = ", ".join(f"{word} ({said})" for word, said in self.spelt_out.items())
            yield f"listens for other words instead: {spelt}"
        if not self.hears_filler:
            yield "has no [unk]: chatter and noise come out as words; confirm with care"
        if not (self.takes_words_at_run_time or self.takes_a_herd):
            yield "cannot be told the trade's words or the herd's numbers: expect more mistakes"
        if not self.repeatable:
            yield "may hear the same clip differently: add --dither=0 to its conf/mfcc.conf"
        if self.fit:
            yield "every trade word can be heard"


def check_model(path: Path | None) -> ModelCheck:
    """Check a model against the grammar's vocabulary.

    Raises:
        ModelError: it is not a Vosk model, its files were altered, or Vosk cannot load it.
    """
    from dictate.hearing.vosk_engine import VoskEngine  # noqa: PLC0415 (slow to load)

    folder = open_folder(path or bundled_model())
    engine = VoskEngine(folder)
    spelt, missing = spell_out(engine.missing_words(vocabulary()), engine.missing_words)
    return ModelCheck(
        path=str(folder.path),
        name=folder.name,
        takes_words_at_run_time=folder.takes_grammar,
        takes_a_herd=folder.takes_herd,
        repeatable=_repeatable(folder),
        hears_filler=not engine.missing_words([FILLER]),
        spelt_out=spelt,
        missing=missing,
    )


def _repeatable(folder: ModelFolder) -> bool:
    """Whether features are computed without dither, Kaldi's default noise."""
    settings = folder.path / "conf" / "mfcc.conf"
    if not settings.exists():
        raise ModelError(
            "conf/mfcc.conf missing", where=str(folder.path), remedy="Install the model again"
        )
    values = dict(
        line.strip().split("=", 1) for line in settings.read_text().splitlines() if "=" in line
    )
    return float(values.get("--dither", "1")) == 0
