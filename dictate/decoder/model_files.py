"""A Vosk model's folder: what must be in it, `model.toml` of our own models, and checksums."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from pathlib import Path

import tomlkit
from pydantic import BaseModel, ConfigDict, Field

from dictate.errors import ModelError
from dictate.written import hash_file

CARD = "model.toml"
ACOUSTIC = "am/final.mdl"
STATIC_GRAPH = "graph/HCLG.fst"
RUNTIME_GRAPH = ("graph/HCLr.fst", "graph/Gr.fst", "graph/disambig_tid.int")
WORDS = "graph/words.txt"
NOTES_MODEL = "language/notes.arpa"
NUMBERS_MODEL = "language/numbers.arpa"


class Outputs(BaseModel):
    """How a network's outputs were changed when it was written as `final.mdl`.

    Learning goes on from that file, so it has to know what to take back.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    sharpen: float = Field(gt=0)
    """Outputs are so many times as sure as training left them."""
    blank_penalty: float
    """What blank loses after that, natural log."""


class ModelCard(BaseModel):
    """What `model.toml` says about a model that this program built."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    name: str
    version: str
    """Goes into every note that the model hears."""
    lexicon: str
    """Version of the grammar's lexicon that the graph was built from."""
    voice: bool | None = None
    """Whether it was taught one person's voice, which changes what its certainties are worth."""
    weights: dict[str, float] = Field(default_factory=dict)
    """The `Weights` that the graph was built with."""
    outputs: Outputs | None = None
    """None where it is not known: such a model cannot learn a voice."""
    files: dict[str, str]
    """Path in the folder to the SHA-256 of its content."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelFolder:
    """A folder that Vosk can load."""

    path: Path
    card: ModelCard | None
    """None for models made elsewhere."""

    @property
    def takes_grammar(self) -> bool:
        """Whether words can be chosen at run time."""
        split = all((self.path / name).exists() for name in RUNTIME_GRAPH)
        return split and not (self.path / STATIC_GRAPH).exists()  # Vosk would use the static one

    @property
    def takes_herd(self) -> bool:
        """Whether a graph for a herd can be built from it."""
        return self.card is not None and (self.path / NOTES_MODEL).exists()

    @property
    def name(self) -> str:
        """Name and version, as stored with every note."""
        return f"{self.card.name} {self.card.version}" if self.card else self.path.name

    def words(self) -> tuple[str, ...]:
        """Every word that the model knows."""
        lines = (self.path / WORDS).read_text("utf-8").splitlines()
        return tuple(line.split()[0] for line in lines[1:] if line and not line.startswith("#"))


def bundled_model() -> Path:
    """Return the folder of the model that comes with the program."""
    return Path(str(resources.files("dictate"))) / "model"


def open_folder(path: Path) -> ModelFolder:
    """Look at a model folder before Vosk does, whose own complaints only go to its log.

    Raises:
        ModelError: the folder is not a Vosk model, or its files are not those of its card.
    """
    where = str(path)
    if not path.is_dir():
        raise ModelError(
            "no such folder", where=where, remedy="Give the folder of an unpacked Vosk model"
        )
    graphs = (path / STATIC_GRAPH).exists() or (path / RUNTIME_GRAPH[0]).exists()
    missing = [name for name in (ACOUSTIC, WORDS) if not (path / name).exists()]
    if missing or not graphs:
        missing += [] if graphs else [STATIC_GRAPH]
        raise ModelError(
            f"not a Vosk model: {', '.join(missing)} missing",
            where=where,
            remedy="Give the folder that holds am, conf and graph",
        )
    card = _read_card(path / CARD) if (path / CARD).exists() else None
    if card:
        check_files(path, card.files)
    return ModelFolder(path=path, card=card)


def _read_card(path: Path) -> ModelCard:
    try:
        return ModelCard.model_validate(tomllib.loads(path.read_text("utf-8")))
    except (ValueError, RecursionError) as error:  # of TOML, UTF-8 and the model
        raise ModelError(
            f"cannot be read: {error}", where=str(path), remedy="Install the model again"
        ) from error


def check_files(path: Path, checksums: Mapping[str, str]) -> None:
    """Compare every file with its checksum.

    Raises:
        ModelError: files that are missing or altered, all of them together.
    """
    wrong = [
        name
        for name, expected in checksums.items()
        if not (path / name).exists() or hash_file(path / name) != expected
    ]
    if wrong:
        raise ModelError(
            f"missing or altered: {', '.join(wrong)}",
            where=str(path),
            remedy="Install the model again",
        )


def write_card(
    path: Path,
    *,
    name: str,
    version: str,
    lexicon: str,
    weights: Mapping[str, float],
    outputs: Outputs | None = None,
    voice: bool | None = None,
) -> ModelCard:
    """Write `model.toml` with the checksums of all files that are in the folder now."""
    names = sorted(
        file.relative_to(path).as_posix()
        for file in path.rglob("*")
        if file.is_file() and file.name != CARD
    )
    card = ModelCard(
        name=name,
        version=version,
        lexicon=lexicon,
        voice=voice,
        weights=dict(weights),
        outputs=outputs,
        files={name: hash_file(path / name) for name in names},
    )
    (path / CARD).write_text(tomlkit.dumps(card.model_dump(exclude_none=True)), "utf-8")
    return card
