"""Spoken chute notes to slots: pure functions over frozen records, the lexicon as data."""

import grammar.spacy_alone  # noqa: F401 (first: spaCy comes in with what follows)

# isort: split
from grammar.animals import Roster
from grammar.best import parse_best
from grammar.explain import as_json
from grammar.explain_text import as_text
from grammar.lexicon import load_lexicon
from grammar.parse import parse
from grammar.phrases import phrase_sheet
from grammar.records import Carry, Reading, Word
from grammar.say import Said, sample_note
from grammar.vocabulary import vocabulary
from grammar.words import split_text

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
