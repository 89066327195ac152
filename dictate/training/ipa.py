"""espeak-ng's IPA in other alphabets, read from `ipa.toml`."""

import tomllib
from importlib import resources

__all__ = ["read_ipa"]


def read_ipa(table: str) -> dict[str, str]:
    """Return one table of `ipa.toml`, in the file's order."""
    text = resources.files("dictate.training").joinpath("ipa.toml").read_text("utf-8")
    return tomllib.loads(text)[table]
