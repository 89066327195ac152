"""How large the program is: lines of Python by room, as a table for docs/explanation/architecture.md.

    python tests/bench/lines_by_room.py [--write]

All lines count, also empty ones; only files that git knows.  `--write` puts the table on the page.
"""

import re
import subprocess
import sys
from collections import defaultdict
from pathlib import Path

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "explanation" / "architecture.md"
SMALL, LARGE = 80, 250
_TABLE = re.compile(r"\| room \|.*?\n\n", re.DOTALL)


def room(path: Path) -> str:
    """The room a file stands in: a package of the program, a room of the grammar, or the tests."""
    first, *rest = path.parts
    if first == "tests":
        return "tests"
    if "migrations" in rest:
        return "dictate/store/migrations"
    return f"{first}/{rest[0]}" if len(rest) > 1 else f"{first}, beside them"


def table() -> str:
    """Each room, largest first, and all of them."""
    listed = subprocess.run(
        ["git", "ls-files", "dictate/*.py", "grammar/*.py", "tests/*.py"],
        cwd=ROOT, capture_output=True, text=True, check=True,
    )  # fmt: skip
    lines: dict[str, list[int]] = defaultdict(list)
    for name in listed.stdout.split():
        text = (ROOT / name).read_text(encoding="utf-8")
        lines[room(Path(name))].append(text.count("\n"))
    tests = {"tests": lines.pop("tests")}
    program = dict(sorted(lines.items(), key=lambda one: -sum(one[1])))
    all_of_it = {"**all but tests**": [count for counts in program.values() for count in counts]}
    rows = ["| room | lines | files | under 80 | over 250 |", "|---|---|---|---|---|"]
    for name, counts in (program | all_of_it | tests).items():
        small = sum(count < SMALL for count in counts)
        large = sum(count > LARGE for count in counts)
        rows.append(f"| {name} | {sum(counts):,} | {len(counts)} | {small} | {large} |")
    return "\n".join(rows) + "\n"


def main() -> None:
    made = table()
    print(made, end="")
    if "--write" in sys.argv[1:]:
        page = PAGE.read_text(encoding="utf-8")
        PAGE.write_text(_TABLE.sub(lambda _: made + "\n", page, count=1), encoding="utf-8")


if __name__ == "__main__":
    main()
