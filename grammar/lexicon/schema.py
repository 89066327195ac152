"""The shape of the lexicon's files, checked on load; every fault is reported, not only the first."""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

Says = dict[str, list[Annotated[str, StringConstraints(pattern=r"^[a-z'()\[\]| ]+$")]]]
Foot = Literal["LF", "RF", "LH", "RH"]
Zone = Annotated[int, Field(ge=0, le=12)]


class Row(BaseModel):
    """What every row has: where it comes from and what is said."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    source: str
    says: Says


class LesionRow(Row):
    name: str
    code: str | None = None
    code_verified: bool = False
    group: Literal["infectious", "horn", "shape", "other", "none"]
    on: Literal["horn", "skin", "any"]
    zones: tuple[Zone, ...]
    zones_source: str | None = None
    staged: bool = False
    unsure: dict[str, tuple[str, ...]] = {}
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


class RefineRow(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    heard: tuple[str, ...] = ()
    lesions: tuple[str, ...] = ()
    region: str
    lesion: str | None = None
    zone: Zone | None = None
    unsure: tuple[str, ...] = ()
    source: str


class ValueRow(Row):
    value: str
    stands_before: bool = False


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


class ConfusionRow(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    heard: str
    meant: str
    source: str
    times: int = 1
    """How often it was heard so."""
    only_in_doubt: bool = False
    """What is heard has a meaning of its own, so it holds unless the note does not add up."""


class RuleRow(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    id: str
    makes: str
    patterns: tuple[str, ...]
    example: str


class OddWordRow(BaseModel):
    """A little word that makes no sense behind one thing and before another."""

    model_config = ConfigDict(extra="forbid", frozen=True)
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


class PlainRow(BaseModel):
    """Words that say nothing beside certain others; plain.toml says what each column means."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    name: str
    words: tuple[str, ...]
    after: str
    before: str


class RiskRow(BaseModel):
    """Words that change what is said near them; risks.toml says what each column means."""

    model_config = ConfigDict(extra="forbid", frozen=True)
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


class Filler(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    source: str
    words: tuple[str, ...]
    loose: tuple[str, ...]
    talk: tuple[str, ...]


class TimeUnit(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    days: int = 0
    months: int = 0


class Pair(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    a: str
    b: str
    source: str


class Words(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    words: tuple[str, ...]


class Numbers(BaseModel):
    """numbers.toml: separate tables for identifiers and for quantities."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    digits: dict[str, int]
    identifier_digits: dict[str, int]
    quantity_digits: dict[str, int]
    sounds: dict[str, str]
    """What sounds like a number word and means nothing else in a note -> the number word."""
    little_sounds: dict[str, str]
    """The same for little words with a meaning of their own."""
    inner_sounds: dict[str, str]
    """Words that are numbers only inside a number -> the number word."""
    endings: dict[str, str]
    """The second of two words that are one number, "nine tea" -> what it stands for, ty or teen."""
    stems: dict[str, str]
    """The first word and what the second stands for -> the number word."""
    and_sounds: Words
    """What is heard for "and" behind a hundred."""
    stage_sounds: Words
    """What is heard for the M of a stage behind digital dermatitis."""
    before_time: Words
    """What stands before an interval: "in for weeks" is in four weeks, "lame for weeks" is not."""
    run_together: dict[str, str]
    """What is heard for a number with the word before it, before a unit of time -> the words."""
    day_sounds: dict[str, str]
    """What is heard before "day" for a weekday -> the weekday."""
    paired: Words
    """What a foot has two of: "six three two claws" may be 63 with two."""
    cue_sounds: Words
    """Number words that are heard for "cow" at the start of a note."""
    foot_sounds: dict[str, str]
    """What is heard for a word of a foot behind a side -> the word."""
    all_sounds: dict[str, str]
    """What is heard for four behind "all" -> the word."""
    article_sounds: dict[str, str]
    """Articles that may be a digit beside two digits said one by one -> the number word."""
    no_sounds: dict[str, str]
    """What is heard for "no" before a lesion or a deed -> the word."""
    who_knows: Words
    """Words behind which it is meant as it stands: "you know"."""
    behind_a_sigh: Words
    """Words before which "oh" behind a whole number is a sigh."""
    leads: Words
    """Words that lead to an animal's number in the middle of a note."""
    hesitations: Words
    teens: dict[str, int]
    tens: dict[str, int]
    scales: dict[str, int]
    repeats: dict[str, int]
    points: Words
    fractions: dict[str, tuple[int, int]]
    ordinals: dict[str, int]
    months: dict[str, int]
    weekdays: dict[str, int]
    units: dict[str, str]
    time_units: dict[str, TimeUnit]
    pairs: tuple[Pair, ...]


class ClauseWords(BaseModel):
    """clauses.toml: little words that tell whose a deed was and of when."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    before_who: frozenset[str]
    before_deed: frozenset[str]
    us: frozenset[str]
    pronouns: frozenset[str]
    takes: frozenset[str]
    how_off: frozenset[str]
    keeps: frozenset[str]
    gone: frozenset[str]
    fell: frozenset[str]
    wore: frozenset[str]
    is_: frozenset[str]
    before_thing: frozenset[str]
    joins: frozenset[str]
    come_back: frozenset[str]
    puts: frozenset[str]
    same_for_all_times: frozenset[str]


class SourcesFile(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    sources: dict[str, str]


class LesionsFile(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    lesion: tuple[LesionRow, ...]


class SitesFile(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    foot: tuple[FootRow, ...]
    half: tuple[HalfRow, ...]
    foot_word: tuple[FootWordRow, ...]
    claw: tuple[ClawRow, ...]
    claw_word: tuple[ClawWordRow, ...]
    region: tuple[RegionRow, ...]
    refine: tuple[RefineRow, ...]


class DetailsFile(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    severity: tuple[ValueRow, ...]
    stage_word: tuple[StageWordRow, ...]
    tissue: tuple[ValueRow, ...]
    course: tuple[ValueRow, ...]
    look: tuple[ValueRow, ...]
    object: tuple[ValueRow, ...]
    status: tuple[StatusRow, ...]


class ActionsFile(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    action: tuple[ActionRow, ...]
    material: tuple[MaterialRow, ...]


class FollowUpsFile(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    follow_up: tuple[FollowUpRow, ...]
    when: tuple[WhenRow, ...]


class CommandsFile(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    command: tuple[CommandRow, ...]
    cue: tuple[CueRow, ...]
    short_forms: dict[str, str]
    filler: Filler


class ConfusionsFile(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    confusion: tuple[ConfusionRow, ...]


class UnheardFile(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    words: tuple[str, ...]


class RulesFile(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    rule: tuple[RuleRow, ...]


class OddWordsFile(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    anywhere: tuple[str, ...]
    """Words of talk that people do say between the words of the trade."""
    odd: tuple[OddWordRow, ...]


class PlainFile(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    endings: tuple[str, ...]
    not_so: tuple[str, ...]
    things: tuple[str, ...]
    plain: tuple[PlainRow, ...]


class RisksFile(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    risk: tuple[RiskRow, ...]


FILES: dict[str, type[BaseModel]] = {
    "sources": SourcesFile,
    "lesions": LesionsFile,
    "sites": SitesFile,
    "details": DetailsFile,
    "actions": ActionsFile,
    "follow_ups": FollowUpsFile,
    "commands": CommandsFile,
    "numbers": Numbers,
    "confusions": ConfusionsFile,
    "rules": RulesFile,
    "unheard": UnheardFile,
    "odd_words": OddWordsFile,
    "plain": PlainFile,
    "risks": RisksFile,
    "clauses": ClauseWords,
}
