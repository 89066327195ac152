"""The graph in two halves, joined while decoding, so that words can be chosen at run time.

Vosk composes `HCLr.fst` (sounds to words) with `Gr.fst` (the language model, or the words given to
a recogniser).  The halves are prepared by OpenFst's own tools, which kaldifst does not carry; on
Debian they are in `libfst-tools` and `libfst22-plugins-base`.

Looking ahead needs words numbered so that those reachable from a state lie together.  The tools
choose that numbering; the words given to a recogniser are numbered by `words.txt`, so the table
must follow it, not only the graphs.
"""

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

import kaldifst

from dictate.decoder.graph import Symbols, run_time_lexicon
from dictate.decoder.model_files import RUNTIME_GRAPH
from dictate.decoder.pronunciation import Pronunciations
from dictate.decoder.word_graph import Weights
from dictate.errors import ModelError

_TOOLS = ("fstconvert", "fstrelabel", "fstarcsort")
_PLUGINS = "*/fst/*"
"""Where Debian keeps OpenFst's plugins, which its tools do not find by themselves."""
_NO_TRANSITION = 1_000_000
"""Vosk wants a list of disambiguation labels; ours are gone by now, so the list names none."""


def write_run_time_graph(
    target: Path,
    word_graph: kaldifst.StdVectorFst,
    table: Symbols,
    known: Pronunciations,
    everyday: Pronunciations,
    *,
    weights: Weights,
) -> Symbols:
    """Write `HCLr.fst`, `Gr.fst` and `disambig_tid.int` into the folder's `graph`.

    Returns the words as the halves number them.

    Raises:
        ModelError: OpenFst's tools are not installed, or fail.
    """
    missing = [tool for tool in _TOOLS if shutil.which(tool) is None]
    if missing:
        raise ModelError(
            f"{', '.join(missing)} not found",
            where="OpenFst's tools",
            remedy="Install them (Debian: apt install libfst-tools libfst22-plugins-base), or build without --run-time",
        )
    sounds, words, labels = (target / name for name in RUNTIME_GRAPH)
    with tempfile.TemporaryDirectory() as folder:
        plain, relabel, plain_words = (Path(folder, name) for name in ("HCL", "relabel", "G"))
        run_time_lexicon(table, known, everyday, weights=weights).write(str(plain))
        word_graph.write(str(plain_words))
        _run("fstconvert", "--fst_type=olabel_lookahead", f"--save_relabel_opairs={relabel}",
             str(plain), str(sounds))  # fmt: skip
        _run("fstrelabel", f"--relabel_ipairs={relabel}", f"--relabel_opairs={relabel}",
             str(plain_words), str(words))  # fmt: skip
        _run("fstarcsort", "--sort_type=ilabel", str(words), str(words))
        pairs = [line.split() for line in relabel.read_text().splitlines()]
    labels.write_text(f"{_NO_TRANSITION}\n")
    renumbered = {int(old): int(new) for old, new in pairs}
    return Symbols(
        {word: renumbered[old] for word, old in table.label_of.items() if old in renumbered}
    )


def _run(*command: str) -> None:
    plugins = [str(folder) for folder in Path("/usr/lib").glob(_PLUGINS)]
    searched = os.pathsep.join([*plugins, os.environ.get("LD_LIBRARY_PATH", "")])
    environment = os.environ | {"LD_LIBRARY_PATH": searched}
    done = subprocess.run(command, capture_output=True, text=True, check=False, env=environment)
    if done.returncode:
        raise ModelError(
            f"{command[0]} failed: {done.stderr.strip()}",
            where="OpenFst's tools",
            remedy="Use version 1.7 or newer",
        )
