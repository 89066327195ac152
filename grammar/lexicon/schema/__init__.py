"""The shape of the lexicon's files, checked on load; every fault is reported, not only the first."""

from grammar.lexicon.schema.files import (
    FILES,
    ClauseWords,
    ComparedWords,
    CorrectionWords,
    DenialWords,
)
from grammar.lexicon.schema.numbers import Numbers, TimeUnit
from grammar.lexicon.schema.rows import CueRow, LesionRow, RefineRow, Row, WhenRow
from grammar.lexicon.schema.rules import ConfusionRow, OddWordRow, PlainRow, RiskRow, RuleRow

__all__ = [
    "FILES",
    "ClauseWords",
    "ComparedWords",
    "ConfusionRow",
    "CorrectionWords",
    "CueRow",
    "DenialWords",
    "LesionRow",
    "Numbers",
    "OddWordRow",
    "PlainRow",
    "RefineRow",
    "RiskRow",
    "Row",
    "RuleRow",
    "TimeUnit",
    "WhenRow",
]
