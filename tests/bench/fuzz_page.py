"""Send many requests to the review page, made from its own OpenAPI document by Schemathesis.

    python tests/bench/fuzz_page.py [--examples 200] [--seed 1]

Ends with code 1 when a request broke the page (an answer of 500 or more).
"""

import argparse
import os
import sys
import tempfile
import warnings
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "fuzz"))
from page import opened, try_all


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--examples", type=int, default=200, help="Requests for each operation.")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    warnings.simplefilter("ignore")
    with tempfile.TemporaryDirectory() as folder:
        os.environ["DICTATE_HOME"] = folder
        with opened(Path(folder)) as page:
            statuses, broken = try_all(page, examples=asked.examples, seed=asked.seed)
    print(f"{sum(statuses.values()):,} requests; answers: {dict(sorted(statuses.items()))}")
    print(f"{len(broken)} broke the page", *broken[:10], sep="\n")
    sys.exit(bool(broken))


if __name__ == "__main__":
    main()
