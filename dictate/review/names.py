"""Names that the record knows: a fix may use only these, so that counts stay counts."""

from collections.abc import Iterator
from functools import cache
from typing import Any

from rapidfuzz import process

from dictate.entry.values import EntryValues

_TAGS = {"lesion": "LESION", "action": "ACTION", "follow-up": "FOLLOWUP"}


@cache
def known_names() -> dict[str, tuple[str, ...]]:
    """Names of lesions, kinds of action and kinds of follow-up, in alphabetical order."""
    from grammar import load_lexicon  # noqa: PLC0415 (slow to load, and confirming needs none)

    terms = load_lexicon().terms.values()
    return {
        what: tuple(sorted({str(term.value) for term in terms if term.tag == tag}))
        for what, tag in _TAGS.items()
    }


def unknown_names(before: EntryValues, after: EntryValues) -> list[str]:
    """Say which names of the new values nobody knows; what was there before is not questioned."""
    old = set(_names(before))
    return [
        f"{name!r} is no {what}; {_meant(name, known_names()[what])}"
        for what, name in _names(after)
        if (what, name) not in old and name not in known_names()[what]
    ]


def _names(values: EntryValues) -> Iterator[tuple[str, str]]:
    yield from (("lesion", finding.lesion) for finding in values.findings)
    yield from (("action", action.kind) for action in values.actions)
    yield from (("follow-up", follow_up.kind) for follow_up in values.follow_ups)


def _meant(name: str, known: tuple[str, ...]) -> str:
    near: list[Any] = process.extract(name, known, limit=3)
    return f"did you mean {' or '.join(repr(text) for text, *_ in near)}?"
