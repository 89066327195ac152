"""A decoding graph for one herd and one set of taught terms, built once and kept.

Graphs are kept by a hash of everything that goes into them: the model's files, the numbers and
how they are said, the taught terms, and the code that builds them.  A change of any gives another
folder, so a kept graph is never stale.
"""

import hashlib
import json
import logging
import os
import shutil
import tempfile
from collections.abc import Mapping, Sequence
from importlib import resources
from pathlib import Path

from dictate.decoder.herd_graph import Job, build_apart
from dictate.decoder.model_files import ModelFolder, open_folder
from dictate.decoder.terms import Term
from dictate.errors import ModelError

_KEPT_MAX = 12
"""Graphs kept; the one longest unused goes first."""
_SOURCES = (
    "build.py", "finite_state.py", "graph.py", "herd_graph.py", "language.py", "phones.py",
    "everyday_words.txt", "pronunciation.py", "pronunciations.toml", "terms.py", "word_graph.py",
)  # fmt: skip

_log = logging.getLogger(__name__)


def herd_model(
    folder: ModelFolder,
    *,
    spoken: Mapping[str, Sequence[tuple[str, ...]]],
    terms: Sequence[Term],
    kept_in: Path,
) -> ModelFolder:
    """Return a model with a graph for these numbers and terms, building it when none is kept.

    Raises:
        ModelError: the model is not one of ours, or a word lacks a pronunciation.
    """
    if folder.card is None or not folder.takes_herd:
        raise ModelError(
            "holds no language model to build a herd's graph from",
            where=str(folder.path),
            remedy="Use the bundled model, or one made with `dictate model build`",
        )
    target = kept_in / f"graph-{_key(folder, spoken, terms)}"
    if target.exists():
        try:
            kept = open_folder(target)
        except ModelError:
            shutil.rmtree(target)  # damaged: it can always be built again
        else:
            os.utime(target)
            return kept
    _build(folder, spoken, terms, target)
    _forget_old(kept_in)
    return open_folder(target)


def _key(
    folder: ModelFolder, spoken: Mapping[str, Sequence[tuple[str, ...]]], terms: Sequence[Term]
) -> str:
    package = resources.files("dictate.decoder")
    parts = {
        "model": folder.card.model_dump() if folder.card else None,
        "spoken": {number: list(spoken[number]) for number in sorted(spoken)},
        "terms": sorted(term.model_dump_json() for term in terms),
        "code": [package.joinpath(name).read_text("utf-8") for name in _SOURCES],
    }
    return hashlib.sha256(json.dumps(parts, sort_keys=True).encode()).hexdigest()[:24]


def _build(
    folder: ModelFolder,
    spoken: Mapping[str, Sequence[tuple[str, ...]]],
    terms: Sequence[Term],
    target: Path,
) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    workshop = Path(tempfile.mkdtemp(prefix="building-", dir=target.parent))
    try:
        for part in ("am", "conf"):
            shutil.copytree(folder.path / part, workshop / part, copy_function=_link_or_copy)
        build_apart(
            Job(
                model=folder.path,
                target=workshop,
                spoken={number: list(ways) for number, ways in spoken.items()},
                terms=list(terms),
            )
        )
        workshop.rename(target)
    except OSError:
        if not target.exists():  # else another process was first, with the same content
            raise
    finally:
        shutil.rmtree(workshop, ignore_errors=True)
    _log.info("graph_built animals=%d terms=%d folder=%s", len(spoken), len(terms), target.name)


def _link_or_copy(source: str, target: str) -> None:
    try:
        os.link(source, target)
    except OSError:  # another disk, or a file system without links
        shutil.copyfile(source, target)


def _forget_old(kept_in: Path) -> None:
    kept = sorted(kept_in.glob("graph-*"), key=lambda path: path.stat().st_mtime)
    for path in kept[:-_KEPT_MAX]:
        shutil.rmtree(path, ignore_errors=True)
