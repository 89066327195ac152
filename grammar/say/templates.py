"""Phrase templates of the lexicon: `(a|b)` is a choice, `[a|b]` may be left out, all else is said.

`(took|taken) [the] wrap off` stands for four phrases.
"""

import re
from itertools import accumulate, product
from math import prod

_TOKEN = re.compile(r"[()\[\]|]|[^()\[\]|]+")


class TemplateError(ValueError):
    """A template with unbalanced brackets, or one that stands for far too many phrases."""


_NESTED_MAX = 20
_PHRASES_MAX = 10_000


def expand(template: str) -> tuple[str, ...]:
    """Return every phrase that the template stands for, in the order written, without doubles.

    Raises TemplateError where brackets do not balance or the phrases are too many.
    """
    tokens = _TOKEN.findall(template)
    depths = accumulate((token in "([") - (token in ")]") for token in tokens)
    if max(depths, default=0) > _NESTED_MAX:
        raise TemplateError("brackets within brackets are too many")
    choices, position = _choices(tokens, 0, "")
    if position != len(tokens):
        raise TemplateError(f"unbalanced bracket in {template!r}")
    return tuple(dict.fromkeys(" ".join(choice.split()) for choice in choices))


def _choices(tokens: list[str], position: int, closer: str) -> tuple[list[str], int]:
    """Read alternatives up to `closer`; return them and the position after it."""
    alternatives: list[str] = []
    sequence: list[list[str]] = []
    while position < len(tokens):
        token = tokens[position]
        position += 1
        if token in "([":
            inner, position = _choices(tokens, position, ")" if token == "(" else "]")
            sequence.append([*inner, ""] if token == "[" else inner)
        elif token in ")]":
            if token != closer:
                raise TemplateError(f"unexpected {token!r}")
            return alternatives + _joined(sequence), position
        elif token == "|":
            alternatives += _joined(sequence)
            sequence = []
        else:
            sequence.append([token])
    if closer:
        raise TemplateError(f"missing {closer!r}")
    return alternatives + _joined(sequence), position


def _joined(sequence: list[list[str]]) -> list[str]:
    if prod(map(len, sequence)) > _PHRASES_MAX:
        raise TemplateError(f"stands for more than {_PHRASES_MAX} phrases")
    return ["".join(parts) for parts in product(*sequence)]


def plural(phrase: str) -> str | None:
    """Return the phrase with its last word in the plural, or None where it has no usual plural."""
    if phrase.endswith(("wart", "ulcer", "corn", "crack", "claw", "growth", "line", "sole", "fissure",
                        "bruise", "screw", "toe", "fibroma", "groove", "haemorrhage", "hemorrhage",
                        "heel", "wall", "lesion", "finding", "problem", "issue", "nail", "block",
                        "wrap", "bandage", "shoe", "puncture")):  # fmt: skip
        return phrase + "s"
    if phrase.endswith(("abscess", "foreign body")):
        return phrase + "es" if phrase.endswith("ss") else phrase[:-1] + "ies"
    return None
