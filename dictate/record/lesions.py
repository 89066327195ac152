"""How lesions are grouped when they are counted; the groups are data in `lesions.toml`."""

import tomllib
from functools import cache
from importlib.resources import files


def lesion_group(lesion: str) -> str:
    """Return infectious, non-infectious, claw shape or not grouped."""
    return _names("group").get(lesion, "not grouped")


def case_name(lesion: str) -> str:
    """Return the name a case goes by: its lesion, or what that lesion is a form of."""
    return _names("case").get(lesion, lesion)


@cache
def _names(table: str) -> dict[str, str]:
    data = tomllib.loads((files("dictate.record") / "lesions.toml").read_text("utf-8"))
    return {lesion: name for name, lesions in data[table].items() for lesion in lesions}
