"""Starting up: only what a command needs is loaded."""

import subprocess
import sys

import pytest

HEAVY = ("vosk", "spacy", "sqlalchemy", "matplotlib", "scipy", "fastapi")


@pytest.mark.parametrize(
    ("arguments", "may_load"),
    [
        (["--help"], ()),
        (["queue", "--help"], ("sqlalchemy",)),
        (["explain", "cow four twelve lame"], ("spacy",)),
        (["phrases"], ("spacy",)),
    ],
)
def test_nothing_heavy_is_loaded(arguments: list[str], may_load: tuple[str, ...]) -> None:
    """Help comes without the recogniser and the database, and so does reading typed words."""
    code = (
        "import sys; from dictate.cli.main import app\n"
        f"sys.argv = ['dictate', *{arguments!r}]\n"
        "try: app()\n"
        "except SystemExit: pass\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules], file=sys.stderr)"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    loaded = set(eval(ran.stderr.strip().splitlines()[-1]))  # noqa: S307 (our own list)
    assert loaded <= set(may_load)
