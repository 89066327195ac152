"""What can be said, on one page: made from the lexicon, for the terminal and for print."""

import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from grammar.lexicon.lexicon import Lexicon
from grammar.lexicon.load import load_lexicon
from grammar.say.templates import plural

_WIDTH = 100
SHOWN_MAX = 3
"""Phrases shown of one value on the one-page sheet; the reference lists all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Topic:
    """A heading of the sheet with its lines: what it gives, how it is said."""

    title: str
    rows: tuple[tuple[str, tuple[str, ...]], ...]


_NUMBERS = Topic(
    title="Numbers",
    rows=(
        ("animal", ("cow four twelve", "number four one two", "four hundred and twelve",
                    "double seven one", "oh four two", "tag ending nine oh six")),
        ("zone, stage", ("zone four", "zones three and four", "m two", "stage four point one")),
        ("measure", ("dorsal wall eighty millimetres", "half an inch", "an inch and a quarter")),
        ("score", ("locomotion three", "mobility two", "score three out of five")),
        ("time", ("in two weeks", "in a fortnight", "on friday", "friday week",
                  "the twentieth of march", "end of the month", "next visit")),
    ),
)  # fmt: skip
_CORRECTIONS = Topic(
    title="Corrections and commands",
    rows=(
        ("put right", ("left hind, no, right hind", "make that zone three",
                       "correction, cow four thirteen", "not the outer, the inner")),
        ("take back", ("scratch that", "scratch everything")),
        ("deny", ("no ulcer", "no block needed", "nothing on the right")),
        ("repeat", ("same again on the other side", "right hind the same")),
        ("go on", ("same cow", "next cow", "end of note", "remark … (kept word for word)")),
    ),
)  # fmt: skip
_SECTIONS = (
    ("Feet", ("FOOT",)),
    ("Claws", ("CLAW", "CLAWWORD")),
    ("Lesions", ("LESION",)),
    ("Places on the claw", ("REGION",)),
    ("Severity and course", ("SEVERITY", "COURSE", "STAGEWORD")),
    ("Seen in it", ("TISSUE",)),
    ("Foreign bodies", ("OBJECT",)),
    ("Done", ("ACTION",)),
    ("Materials", ("MATERIAL",)),
    ("Due", ("FOLLOWUP",)),
    ("Of the animal", ("STATUS",)),
)


def phrase_topics(*, shown_max: int | None = None) -> tuple[Topic, ...]:
    """Return every topic with its phrases, at most `shown_max` of each value."""
    lexicon = load_lexicon()
    topics = [
        Topic(title=title, rows=tuple(_rows(lexicon, tags, shown_max))) for title, tags in _SECTIONS
    ]
    return (_NUMBERS, *topics, _CORRECTIONS)


def _rows(
    lexicon: Lexicon, tags: Sequence[str], shown_max: int | None
) -> Iterable[tuple[str, tuple[str, ...]]]:
    found: dict[str, list[str]] = {}
    for phrase, term in lexicon.terms.items():
        if term.tag in tags and not term.meant and not _is_plural(phrase, lexicon):
            name = term.value if isinstance(term.value, str) else ", ".join(term.value)
            found.setdefault(name, []).append(phrase)
    for name, phrases in found.items():
        phrases.sort(key=lambda phrase: phrase != name)
        yield name, tuple(phrases[:shown_max])


def _is_plural(phrase: str, lexicon: Lexicon) -> bool:
    """Whether the sheet shows the phrase already in the singular."""
    return any(plural(phrase[:-cut]) == phrase for cut in (1, 2) if phrase[:-cut] in lexicon.terms)


def phrase_sheet() -> str:
    """Return the one-page sheet as plain text."""
    lines: list[str] = ["WHAT CAN BE SAID", ""]
    for topic in phrase_topics(shown_max=SHOWN_MAX):
        rows = "; ".join(_row(name, phrases) for name, phrases in topic.rows)
        lines.append(topic.title.upper())
        lines += textwrap.wrap(rows, _WIDTH, initial_indent="  ", subsequent_indent="  ")
    return "\n".join([*lines, ""])


def _row(name: str, phrases: Sequence[str]) -> str:
    others = ", ".join(phrase for phrase in phrases if phrase != name)
    return f"{name} ({others})" if others else name
