"""What can be said, straight from the lexicon: each term and the ways to say it."""

from collections import defaultdict
from dataclasses import dataclass

from grammar import load_lexicon

__all__ = ["PhraseGroup", "phrase_list"]

_HEADINGS = {
    "CUE": "animals and other openings",
    "FOOT": "feet",
    "CLAW": "claws",
    "REGION": "places on the claw",
    "LESION": "findings",
    "STAGEWORD": "stages",
    "SEVERITY": "severity",
    "TISSUE": "tissue",
    "COURSE": "course",
    "OBJECT": "foreign bodies",
    "STATUS": "of the whole animal",
    "ACTION": "what was done",
    "MATERIAL": "materials",
    "FOLLOWUP": "follow-ups",
    "WHEN": "when",
    "COMMAND": "commands",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class PhraseGroup:
    """Terms of one kind."""

    name: str
    terms: dict[str, tuple[str, ...]]
    """What is recorded, to the other ways to say it."""


def phrase_list(about: str | None = None) -> list[PhraseGroup]:
    """All groups, or only the terms that hold a word; what is merely repaired is left out."""
    ways: dict[str, dict[str, set[str]]] = defaultdict(lambda: defaultdict(set))
    for term in load_lexicon().terms.values():
        if term.tag in _HEADINGS and not term.meant:
            value = term.value if isinstance(term.value, str) else ", ".join(term.value)
            ways[term.tag][value].add(term.phrase)
    groups = [
        PhraseGroup(
            name=heading,
            terms={
                value: tuple(sorted(said - {value}))
                for value, said in sorted(ways[tag].items())
                if about is None or any(about.lower() in text for text in (value, *said))
            },
        )
        for tag, heading in _HEADINGS.items()
    ]
    return [group for group in groups if group.terms]
