"""espeak-ng's IPA in other alphabets, read from `ipa.toml`."""

import tomllib
from functools import cache
from importlib import resources


def read_ipa(table: str) -> dict[str, str]:
    """Return one table of `ipa.toml`, in the file's order."""
    return _tables()[table]


def read_accents() -> dict[str, dict[str, str]]:
    """Return the replacements of each accent, in the file's order."""
    return _tables()["accents"]


@cache
def _tables() -> dict[str, dict]:
    text = resources.files("dictate.training").joinpath("ipa.toml").read_text("utf-8")
    return tomllib.loads(text)
