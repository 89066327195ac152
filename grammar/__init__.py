"""Spoken chute notes to slots: pure functions over frozen records, the lexicon as data."""

from grammar.best import parse_best
from grammar.explain import as_json
from grammar.explain_text import as_text
from grammar.hear.animals import Roster
from grammar.hear.words import split_text
from grammar.lexicon.load import load_lexicon, vocabulary
from grammar.parse import parse
from grammar.records import Carry, Reading, Word
from grammar.say.phrases import phrase_sheet
from grammar.say.sample import Said, sample_note

__all__ = [
    "Carry",
    "Reading",
    "Roster",
    "Said",
    "Word",
    "as_json",
    "as_text",
    "load_lexicon",
    "parse",
    "parse_best",
    "phrase_sheet",
    "sample_note",
    "split_text",
    "vocabulary",
]
