"""What must hold of every note, whatever was said: a short run of tests/bench/invariants.py."""

import random
from itertools import islice

import pytest

from grammar import load_lexicon, parse
from grammar.checks.hearing import slots_of
from tests.bench.invariants import breach, talks

NOTES = 300
"""A kind each; the bench runs 100,000 in all."""


@pytest.mark.parametrize("kind", range(8))
def test_no_way_of_talking_breaks_an_invariant(kind):
    """No denied finding, no unbilled work, no other animal, no number lost, either-or marked, nothing gone unasked."""
    made = islice(talks(random.Random(7)), kind, None, 8)

    broken = [
        f"{talk.kind}: {fault}: {' '.join(talk.words)}"
        for talk in islice(made, NOTES)
        if (fault := breach(talk))
    ]
    assert broken == []


DENIED = ("healed", "infected", "severe", "sole ulcer", "lame", "blocked", "m two", "stone")
"""What denying words are put before: one of each kind that an entry holds."""


@pytest.mark.parametrize("said", DENIED)
def test_nothing_denied_is_recorded_in_silence(said):
    """Behind every word that denies, what stands next is not recorded, or the entry is marked."""
    lexicon = load_lexicon()
    cues = [
        phrase
        for phrase, term in lexicon.terms.items()
        if term.tag in ("NO", "NOT", "UNDONE") and not getattr(term.row, "later", False)
    ]
    silent = []
    for cue in cues:
        words = ["cow", "four", "twelve", "left", "hind", "white", "line", *cue.split()]
        (entry,) = parse([*words, *said.split()]).entries
        recorded = [slot for slot in slots_of(entry) if slot.first == len(words)]
        marks = {mark.check for mark in entry.marks} - {"said-unsure"}
        silent += [cue] if recorded and not marks else []
    assert cues
    assert silent == []
