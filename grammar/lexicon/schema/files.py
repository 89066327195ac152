"""What each file of the lexicon holds."""

from pydantic import BaseModel

from grammar.lexicon.schema.numbers import Numbers
from grammar.lexicon.schema.rows import (
    ActionRow,
    ClawRow,
    ClawWordRow,
    CommandRow,
    CueRow,
    Filler,
    FollowUpRow,
    FootRow,
    FootWordRow,
    HalfRow,
    LesionRow,
    MaterialRow,
    RefineRow,
    RegionRow,
    StageWordRow,
    StatusRow,
    Strict,
    ValueRow,
    WhenRow,
)
from grammar.lexicon.schema.rules import ConfusionRow, OddWordRow, PlainRow, RiskRow, RuleRow


class ClauseWords(Strict):
    """clauses.toml: little words that tell whose a deed was and of when."""

    before_who: frozenset[str]
    before_deed: frozenset[str]
    us: frozenset[str]
    pronouns: frozenset[str]
    takes: frozenset[str]
    takes_now: frozenset[str]
    pulls: frozenset[str]
    ways_off: frozenset[str]
    ways_on: frozenset[str]
    did: frozenset[str]
    doers: frozenset[str]
    himself: frozenset[str]
    often: frozenset[str]
    well: frozenset[str]
    becomes: frozenset[str]
    well_behind: frozenset[str]
    in_place: frozenset[str]
    leaves_her: frozenset[str]
    worn: frozenset[str]
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
    own_verbs: frozenset[str]
    same_for_all_times: frozenset[str]
    she_had: frozenset[str]
    the_same: frozenset[str]
    dirt: frozenset[str]


class ComparedWords(Strict):
    """compared.toml: little words of comparison and of grades."""

    compares: frozenset[str]
    as_much: frozenset[str]
    alike: frozenset[str]
    to_foot: frozenset[str]
    to_then: frozenset[str]
    calls: tuple[str, ...]
    had: frozenset[str]
    became: frozenset[str]
    from_: frozenset[str]
    joins: frozenset[str]
    to_grade: frozenset[str]
    of_grade: frozenset[str]
    surroundings: frozenset[str]


class CorrectionWords(Strict):
    """corrections.toml: little words around a correction."""

    had: frozenset[str]
    names_wrong: frozenset[str]
    behind: frozenset[str]
    at_the_end: frozenset[str]
    orders: frozenset[str]
    exclaims: frozenset[str]
    there_is: frozenset[str]
    articles: frozenset[str]
    was_told: frozenset[str]
    it_is: frozenset[str]


class DenialWords(Strict):
    """denials.toml: little words around a denial."""

    own_object: frozenset[str]
    touch: frozenset[str]
    leads: frozenset[str]
    as_far: frozenset[str]
    degrees: frozenset[str]
    reaches_over: frozenset[str]
    begins_anew: frozenset[str]
    pronouns: frozenset[str]
    causes: frozenset[str]
    bare: frozenset[str]
    gets: tuple[str, ...]
    got: frozenset[str]


class SourcesFile(Strict):
    sources: dict[str, str]


class LesionsFile(Strict):
    lesion: tuple[LesionRow, ...]


class SitesFile(Strict):
    foot: tuple[FootRow, ...]
    half: tuple[HalfRow, ...]
    foot_word: tuple[FootWordRow, ...]
    claw: tuple[ClawRow, ...]
    claw_word: tuple[ClawWordRow, ...]
    region: tuple[RegionRow, ...]
    refine: tuple[RefineRow, ...]


class DetailsFile(Strict):
    severity: tuple[ValueRow, ...]
    stage_word: tuple[StageWordRow, ...]
    tissue: tuple[ValueRow, ...]
    course: tuple[ValueRow, ...]
    look: tuple[ValueRow, ...]
    object: tuple[ValueRow, ...]
    status: tuple[StatusRow, ...]


class ActionsFile(Strict):
    action: tuple[ActionRow, ...]
    material: tuple[MaterialRow, ...]


class FollowUpsFile(Strict):
    follow_up: tuple[FollowUpRow, ...]
    when: tuple[WhenRow, ...]


class CommandsFile(Strict):
    command: tuple[CommandRow, ...]
    cue: tuple[CueRow, ...]
    short_forms: dict[str, str]
    filler: Filler


class ConfusionsFile(Strict):
    confusion: tuple[ConfusionRow, ...]


class UnheardFile(Strict):
    words: tuple[str, ...]


class EverydayFile(Strict):
    words: tuple[str, ...]


class RulesFile(Strict):
    rule: tuple[RuleRow, ...]


class OddWordsFile(Strict):
    anywhere: tuple[str, ...]
    """Words of talk that people do say between the words of the trade."""
    odd: tuple[OddWordRow, ...]


class PlainFile(Strict):
    endings: tuple[str, ...]
    not_so: tuple[str, ...]
    things: tuple[str, ...]
    plain: tuple[PlainRow, ...]


class RisksFile(Strict):
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
    "everyday": EverydayFile,
    "odd_words": OddWordsFile,
    "plain": PlainFile,
    "risks": RisksFile,
    "clauses": ClauseWords,
    "compared": ComparedWords,
    "corrections": CorrectionWords,
    "denials": DenialWords,
}
