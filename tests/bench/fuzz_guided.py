"""Fuzz one way in with inputs that coverage guides, by atheris (libFuzzer for Python).

    pip install atheris
    python tests/bench/fuzz_guided.py "typed note" [--seconds 600] [--corpus FOLDER]

Every branch of `grammar` and `dictate` is watched; inputs that reach new ones are kept in the corpus
and changed further. The first crash of each kind is written to `tests/fuzz/crashes/`, and the search
goes on; libFuzzer tells the number of runs at the end.
"""

import argparse
import hashlib
import logging
import sys
import tempfile
import traceback
import warnings
from pathlib import Path

import atheris

sys.path.insert(0, str(Path(__file__).parents[1] / "fuzz"))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("target")
    parser.add_argument("--seconds", type=int, default=60)
    parser.add_argument("--corpus", type=Path)
    asked = parser.parse_args()
    warnings.simplefilter("ignore")
    logging.disable(logging.CRITICAL)
    with atheris.instrument_imports(include=["grammar", "dictate"]):
        from targets import CRASHES, TARGETS

        target = next(target for target in TARGETS if target.name == asked.target)
        seeds = [*target.seeds(), *target.crashes()]
        target.try_one(seeds[0])  # targets import what they try when they are first run
    corpus = asked.corpus or Path(tempfile.mkdtemp(prefix="dictate-corpus-"))
    for data in seeds:
        (corpus / hashlib.sha256(data).hexdigest()[:16]).write_bytes(data)
    seen: set[str] = set()

    def one(data: bytes) -> None:
        try:
            target.try_one(data)
        except Exception as error:
            at = traceback.extract_tb(error.__traceback__)[-1]
            kind = f"{type(error).__name__} at {Path(at.filename).name}:{at.lineno}"
            if kind not in seen:
                seen.add(kind)
                (
                    CRASHES / f"{target.name}-{hashlib.sha256(kind.encode()).hexdigest()[:8]}"
                ).write_bytes(data)
                print(f"CRASH {kind}: {error}"[:300], flush=True)

    options = [
        f"-max_total_time={asked.seconds}",
        "-max_len=4096",
        "-timeout=120",
        "-print_final_stats=1",
    ]
    atheris.Setup([sys.argv[0], *options, str(corpus)], one)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
