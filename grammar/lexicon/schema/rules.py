"""Rows that read words by what stands beside them: rules, mishearings, odd, plain and risky words."""

from typing import Literal

from grammar.lexicon.schema.rows import Strict


class ConfusionRow(Strict):
    heard: str
    meant: str
    source: str
    times: int = 1
    """How often it was heard so."""
    only_in_doubt: bool = False
    """What is heard has a meaning of its own, so it holds unless the note does not add up."""


class RuleRow(Strict):
    id: str
    makes: str
    patterns: tuple[str, ...]
    example: str


class OddWordRow(Strict):
    """A little word that makes no sense behind one thing and before another."""

    words: tuple[str, ...] = ()
    of_talk: bool = False
    """Every word of talk but those that may stand anywhere, instead of `words`."""
    follows: str
    leads_to: str
    then: str = "*"
    """What stands behind that."""
    of_one: bool = False
    """Only behind something that is one: "left hind are", and not "both hinds are"."""
    of_many: bool = False
    """Only behind something that is more than one: "both hinds outside good"."""
    of_claw: bool = False
    """Not before a lesion of the skin, which is said of no claw: "left hind a wart"."""
    of_lesion: bool = False
    """Not before words for a clean foot: "the left hind was clean"."""
    unless_introduced: bool = False
    """Not where "on" or "the" stands before that: "on the left hind, a sole ulcer"."""
    example: str


class PlainRow(Strict):
    """Words that say nothing beside certain others; plain.toml says what each column means."""

    name: str
    words: tuple[str, ...]
    after: str
    before: str


class RiskRow(Strict):
    """Words that change what is said near them; risks.toml says what each column means."""

    name: str
    words: tuple[str, ...] = ()
    cues: tuple[str, ...] = ()
    talk_but: tuple[str, ...] = ()
    """All talk of commands.toml but these words."""
    unless_heard: tuple[str, ...] = ()
    """Words of a cue that are harmless."""
    unless_next: tuple[str, ...] = ()
    unless_near: tuple[str, ...] = ()
    threatens: tuple[Literal["action", "lesion"], ...]
    kinds: tuple[str, ...] = ()
    stands: Literal["before", "behind", "beside"]
    reach: int
    unless_told: bool = False
    over_told: bool = False
    joined: bool = False
    of: Literal["", "both", "all", "only"] = ""
    ask: str
    """The question of the mark; {thing} is what it threatens."""
    example: str
