"""Rows of the lexicon's files, and the columns that several have."""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints


class Strict(BaseModel):
    """Columns that are not known are faults; checked by the model of the whole file."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


Says = dict[str, list[Annotated[str, StringConstraints(pattern=r"^[a-z'()\[\]| ]+$")]]]

Word = Annotated[str, StringConstraints(pattern=r"\S")]
"""A word that is none would stand between any two."""

Foot = Literal["LF", "RF", "LH", "RH"]

Zone = Annotated[int, Field(ge=0, le=12)]


class Row(Strict):
    """What every row has: where it comes from and what is said."""

    source: str
    says: Says


class ValueRow(Row):
    value: str
    stands_before: bool = False
    exact: bool = False
    """Misheard words are never taken for these."""


class LesionRow(Row):
    name: str
    code: str | None = None
    code_verified: bool = False
    group: Literal["infectious", "horn", "shape", "other", "none"]
    on: Literal["horn", "skin", "any"]
    zones: tuple[Zone, ...]
    zones_source: str | None = None
    staged: bool = False
    unsure: dict[str, tuple[str, ...]] = Field(default_factory=dict)
    above_foot: tuple[str, ...] = ()
    """Words that say it of what is above the foot, which may be clean all the same."""
    weak: tuple[str, ...] = ()
    """How phrases begin that say nothing where a lesion was said of the same site before."""


class FootRow(Row):
    feet: tuple[Foot, ...]
    place: bool = False
    """Where on the cow, which a side said next to it narrows: "behind left"."""


class HalfRow(Row):
    side: Literal["left", "right"] | None = None
    end: Literal["hind", "front"] | None = None


class FootWordRow(Row):
    means: Literal["same", "across", "rest"]


class ClawRow(Row):
    claw: Literal["outer", "inner", "both"]
    of_both_feet: bool = False
    """Said of several feet: "both inners"."""


class ClawWordRow(Row):
    means: Literal["sound", "lesion"]


class RegionRow(Row):
    name: str
    zone: Zone | None = None
    lesion_alone: str | None = None
    measured: bool = False
    """Names a measure, so that a number behind it is one even without its unit."""


class RefineRow(Strict):
    heard: tuple[str, ...] = ()
    lesions: tuple[str, ...] = ()
    region: str
    lesion: str | None = None
    zone: Zone | None = None
    unsure: tuple[str, ...] = ()
    source: str


class StatusRow(ValueRow):
    opposite: str | None = None
    """What a denial makes of it."""
    as_said: bool = False
    """Kept in the speaker's own words, and never the repair of others (tag TOLD)."""
    medicine: bool = False
    """Whether a medicine was given."""
    of_lesion: bool = False
    """Said of a lesion where one stands before it: "the ulcer is dry"."""


class StageWordRow(ValueRow):
    others: tuple[str, ...]


class ActionRow(Row):
    kind: Literal[
        "functional trim",
        "therapeutic trim",
        "block",
        "block removed",
        "wrap",
        "wrap removed",
        "topical",
        "horn removed",
        "drained",
        "referred",
    ]
    material: str | None = None
    if_dated: str | None = None
    on_lesion: bool = False
    """Whether it is done to the claw of the lesion where no claw is said."""
    exact: bool = False
    """Whether misheard words are never taken for these."""
    tissue: str | None = None
    """What the words themselves tell of the lesion: "let the pus out"."""


class MaterialRow(Row):
    for_: Literal["block", "topical"] = Field(alias="for")


class FollowUpRow(Row):
    kind: Literal["look again", "wrap off", "block off", "vet", "trim"]
    only_dated: bool = False
    exact: bool = False


class WhenRow(ValueRow):
    days: int | None = None
    calendar: (
        Literal[
            "end of week",
            "end of next week",
            "end of month",
            "end of next month",
            "next month",
            "month after next",
            "start of next month",
        ]
        | None
    ) = None
    month_day: tuple[int, int] | None = None
    """Month and day of a feast that has the same day every year."""


class CommandRow(Row):
    kind: Literal[
        "scratch that", "scratch all", "scratch the", "same cow", "next cow", "end of note"
    ]


class CueRow(Row):
    cue: Literal[
        "correction", "wrong cow", "no", "not", "not needed", "except", "again", "animal", "ending", "zone", "m", "grade",
        "locomotion", "score", "out of", "remark", "with", "on", "fill", "counted in talk", "told in talk", "told of her", "condition",
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


class Filler(Strict):
    source: str
    words: tuple[Word, ...]
    loose: tuple[Word, ...]
    talk: tuple[Word, ...]
