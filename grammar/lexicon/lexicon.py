"""The lexicon: the phrases that can be said, what each means, and all else that its files state."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from pydantic import BaseModel

from grammar.lexicon.schema import (
    ClauseWords,
    ComparedWords,
    CorrectionWords,
    DenialWords,
    LesionRow,
    Numbers,
    OddWordRow,
    RefineRow,
    RiskRow,
    RuleRow,
)
from grammar.records import How

TAGS = {
    "lesion": ("LESION", "name"),
    "foot": ("FOOT", "feet"),
    "half": ("HALF", "half"),
    "foot_word": ("FOOTWORD", "means"),
    "claw": ("CLAW", "claw"),
    "claw_word": ("CLAWWORD", "means"),
    "region": ("REGION", "name"),
    "severity": ("SEVERITY", "value"),
    "stage_word": ("STAGEWORD", "value"),
    "tissue": ("TISSUE", "value"),
    "course": ("COURSE", "value"),
    "look": ("LOOK", "value"),
    "object": ("OBJECT", "value"),
    "status": ("STATUS", "value"),
    "action": ("ACTION", "kind"),
    "material": ("MATERIAL", "for_"),
    "follow_up": ("FOLLOWUP", "kind"),
    "when": ("WHEN", "value"),
    "command": ("COMMAND", "kind"),
    "cue": ("CUE", "cue"),
}
"""Section of a file -> tag in rules.toml and the column that holds the value."""

REPAIRABLE = frozenset(TAGS[section][0] for section in (
    "lesion", "foot", "half", "claw", "claw_word", "region", "severity", "tissue", "course", "object", "status",
    "action", "material", "follow_up",
)) | {"ZONE", "LOCOMOTION"}  # fmt: skip
"""Tags a mis-heard word may be repaired to: never an animal, a command, a correction or a denial."""


class Term(NamedTuple):
    """One phrase that can be said, and what it means; a tuple, as there are 85,000 to be made."""

    tag: str
    """What the phrase is, as rules.toml names it: LESION, FOOT, ACTION …"""
    value: str | tuple[str, ...]
    """The canonical value."""
    phrase: str
    how: How
    row: Any
    """The lexicon row, one of the classes of schema/rows.py."""
    source: str
    """Key of sources.toml."""
    meant: str = ""
    """For a repaired or taught term: the phrase it stands for."""
    others: tuple[str, ...] = ()
    """Other values the words might stand for."""

    def __eq__(self, other: object) -> bool:
        return self is other

    def __hash__(self) -> int:
        return id(self)

    @property
    def id(self) -> str:
        value = self.value if isinstance(self.value, str) else "+".join(self.value)
        return f"{self.tag.lower()}: {value}"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Lexicon:
    """Everything that can be said, ready for look-up."""

    version: str
    """A short hash of all files; stored with every note."""
    terms: Mapping[str, Term]
    """Phrase -> term; a phrase means one thing only.  Holds the confusions too."""
    in_doubt: Mapping[str, tuple[tuple[Term, int], ...]]
    """Words with a meaning of their own -> what was said when they were heard, and how often."""
    lesions: Mapping[str, LesionRow]
    refines: tuple[RefineRow, ...]
    rules: tuple[RuleRow, ...]
    odd_words: tuple[OddWordRow, ...]
    clauses: ClauseWords
    compared: ComparedWords
    corrections: CorrectionWords
    denials: DenialWords
    plain: Mapping[str, tuple[tuple[frozenset[str], frozenset[str]], ...]]
    """Words of ordinary speech -> of each row, what stands before and what behind where they say nothing."""
    plain_endings: tuple[str, ...]
    """Endings of adverbs, which say nothing anywhere."""
    not_plain: frozenset[str]
    """Words with such an ending that are none."""
    plain_things: frozenset[str]
    """Things that say nothing of a foot."""
    everyday: frozenset[str]
    """Words that everybody knows, those of the trade too: misheard only for what sounds like them."""
    risk_words: Mapping[str, tuple[RiskRow, ...]]
    """Words that change what is said near them, and rules of cues that do ("no: no") -> their rows."""
    risk_begins: frozenset[str]
    """The words that those words begin with."""
    files: Mapping[str, BaseModel]
    fillers: frozenset[str]
    """Words that say nothing of their own."""
    short_forms: Mapping[str, str]
    """Words run together -> as they are read."""
    light: frozenset[str]
    """Fillers that say nothing inside phrases either."""
    talk: frozenset[str]
    """Fillers that are words of talk, and hold no words of the trade together."""
    odd_talk: frozenset[str]
    """Words of talk that people do not say between the words of the trade."""
    numbers: Numbers
    number_words: frozenset[str]
    sources: Mapping[str, str]
    vocabulary: frozenset[str]
    """Every single word of the trade that the bundled recogniser is taught, and what holds such
    words together; no talk, and none of unheard.toml."""

    def fills_a_slot(self, words: str) -> bool:
        """Whether the words are a phrase with a value that an entry keeps."""
        term = self.terms.get(words)
        return term is not None and term.tag in REPAIRABLE and term.how is not How.REPAIRED

    def alias(self, words: Sequence[str], meant: str | None) -> Term | None:
        """Return a taught term, or None where the alias would touch numbers or means nothing."""
        target = self.terms.get(meant) if meant else None
        if target is None or not self.number_words.isdisjoint(words):
            return None
        return stand_in(target, " ".join(words), How.ALIAS)


def stand_in(target: Term, heard: str, how: How, others: tuple[str, ...] = ()) -> Term:
    """Return a term for words that stand for another phrase."""
    return Term(
        target.tag, target.value, heard, how, target.row, target.source, target.phrase,
        others or target.others,
    )  # fmt: skip
