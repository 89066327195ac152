"""Rows of commands.toml: commands, cues and words that say nothing."""

from typing import Literal

from pydantic import BaseModel, ConfigDict

from grammar.lexicon.schema.columns import Row, Word


class CommandRow(Row):
    kind: Literal[
        "scratch that", "scratch all", "scratch the", "same cow", "next cow", "end of note"
    ]


class CueRow(Row):
    cue: Literal[
        "correction", "wrong cow", "no", "not", "not needed", "except", "again", "animal", "ending", "zone", "m", "grade",
        "locomotion", "score", "out of", "remark", "with", "on", "fill", "counted in talk", "told in talk", "told of her",
        "undone", "left undone", "past", "gone", "taken off", "either", "price", "gave", "question",
    ]  # fmt: skip
    scale: Literal["1-5", "0-3"] | None = None
    restates: bool = False
    hedge: bool = False
    """A hedge: what it stands at is kept, and marked as unsure."""
    others: bool = False
    """Of `fill`: somebody else, whose work is not ours."""
    talk: bool = False
    """Words beside the work, which the bundled recogniser need not know."""
    later: bool = False
    """Of `undone`: it is still to be done, and not merely left out."""
    passes_over: bool = False
    """Of `undone`: a foot said behind it was left out."""
    behind: bool = False
    """Of `past`: said behind what it speaks of."""
    contrasts: bool = True
    """Of `not`: it may stand before a site that is then put right."""


class Filler(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    source: str
    words: tuple[Word, ...]
    loose: tuple[Word, ...]
    talk: tuple[Word, ...]
