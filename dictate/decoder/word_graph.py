"""The word graph G: the language model as an automaton, with the herd's numbers opened in it.

Besides word labels it carries two marks that the lexicon passes through: `#0` where a history is
left for a shorter one, and `#1` where an animal number begins or ends.  They keep the graph
deterministic, which its later determinisation needs.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, fields
from typing import Self

import kaldifst

from dictate.decoder.finite_state import FstArc, build_fst, cost, map_input_labels
from dictate.decoder.language import ANIMAL, END, FILLER, START, Gram, LanguageModel


@dataclass(frozen=True, slots=True, kw_only=True)
class Weights:
    """How the graph's costs weigh against the sound; tuned on development speech."""

    language: float = 1.25
    """Factor of every language model cost."""
    insertion: float = 0.5
    """Cost of every word: higher gives fewer, longer words."""
    filler: float = 14.0
    """Cost of beginning to hear something else than the trade, of its first everyday word."""
    filler_more: float = 6.0
    """Cost of each further everyday word: where there is chatter there is more."""
    filler_end: float = 6.0
    """Cost of going back to the trade's words."""
    filler_sound: float = 4.0
    """Further cost of entering the loop of phones."""
    filler_phone: float = 4.5
    """Cost of each phone in the loop."""
    good_fit: float = -24.0
    """Log likelihood a second of a note in quiet: what a hearing lacks of it makes it less sure."""
    unknown_number: float = 0.1
    """Share of the chance of a number that is not on the roster."""

    @classmethod
    def of(cls, named: Mapping[str, float]) -> Self:
        """Return the weights that a model names; those that only earlier versions knew are left."""
        known = {one.name for one in fields(cls)}
        return cls(**{name: value for name, value in named.items() if name in known})


@dataclass(frozen=True, slots=True, kw_only=True)
class HerdNumbers:
    """How the numbers of a herd are said."""

    spoken: Mapping[str, Sequence[tuple[str, ...]]] = field(default_factory=dict)
    """Management number to the ways of saying it; empty without a roster."""
    any_number: LanguageModel
    """Model of numbers in general, so that one not on the roster stays possible."""


def word_graph(
    notes: LanguageModel,
    herd: HerdNumbers,
    *,
    label_of: Mapping[str, int],
    weights: Weights,
    extra_words: Iterable[str] = (),
) -> kaldifst.StdVectorFst:
    """Build G; `label_of` gives the label of each word and of `#0` and `#1`."""
    graph = _Graph(label_of, weights)
    after_number = graph.add_notes(notes, extra_words)
    graph.add_numbers(herd, after_number)
    fst = build_fst(graph.arcs, graph.final)
    kaldifst.connect(fst)
    kaldifst.arcsort(fst, "ilabel")
    return fst


def without_marks(
    graph: kaldifst.StdVectorFst, label_of: Mapping[str, int]
) -> kaldifst.StdVectorFst:
    """Return G with epsilons for its marks, as a graph joined at run time needs it."""
    marks = {label for word, label in label_of.items() if word.startswith("#")}
    plain = map_input_labels(graph, lambda label: 0 if label in marks else label)
    kaldifst.arcsort(plain, "ilabel")
    return plain


State = tuple[str, Gram]

_TAUGHT_WORD = 1e-4
"""Chance of a taught word, anywhere in a note."""


class _Graph:
    def __init__(self, label_of: Mapping[str, int], weights: Weights) -> None:
        self._label_of = label_of
        self._weights = weights
        self._states: dict[State, int] = {}
        self.arcs: list[FstArc] = []
        self.final: dict[int, float] = {}

    def state(self, name: str, history: Gram = ()) -> int:
        return self._states.setdefault((name, history), len(self._states))

    def arc(self, source: int, target: int, word: str, weight: float) -> None:
        label = self._label_of[word]
        if not word.startswith("#"):
            weight += self._weights.insertion
        mark = 0 if word.startswith("#") else label
        self.arcs.append(FstArc(source, target, label, mark, weight))

    def add_notes(self, notes: LanguageModel, extra_words: Iterable[str]) -> int:
        """Add the model of whole notes, which holds the start; return the state after a number."""
        histories = self._add_ngrams(notes, "note", end=None)
        anywhere = self.state("note")
        chatter = self.state("chatter")
        self.arc(anywhere, chatter, FILLER, self._weights.filler)
        self.arc(chatter, chatter, FILLER, self._weights.filler_more)
        self.arc(chatter, anywhere, "#0", self._weights.filler_end)
        for word in sorted(set(extra_words) - notes.words):  # a second arc would be ambiguous
            self.arc(anywhere, anywhere, word, self._weights.language * cost(_TAUGHT_WORD))
        return self.state("note", _suffix((ANIMAL,), histories))

    def add_numbers(self, herd: HerdNumbers, end: int) -> None:
        """Open `<animal>`: the roster's numbers as a tree, any number as an n-gram model."""
        other = self._weights.unknown_number if herd.spoken else 1.0
        if herd.spoken:
            self._add_tree(herd.spoken, 1 - other, end)
        leave = self._weights.language * cost(other)
        self.arc(self.state("number"), self.state("any", (START,)), "#0", leave)
        self._add_ngrams(herd.any_number, "any", end=end)

    def _add_ngrams(self, model: LanguageModel, name: str, *, end: int | None) -> set[Gram]:
        """Add a back-off model that ends in a final state, or through `#1` in state `end`."""
        factor = self._weights.language
        histories = {gram[:-1] for gram in model.probability} | {(START,)}
        self.state(name, (START,))  # the first state asked for is the graph's start
        for gram, log_probability in model.probability.items():
            source = self.state(name, gram[:-1])
            word, weight = gram[-1], -factor * log_probability
            if word == END:
                if end is None:
                    self.final[source] = weight
                else:
                    self.arc(source, end, "#1", weight)
            elif word == ANIMAL:
                self.arc(source, self.state("number"), "#1", weight)
            else:
                self.arc(source, self.state(name, _suffix(gram, histories)), word, weight)
        for history in histories - {()}:
            shorter = self.state(name, _suffix(history[1:], histories))
            weight = -factor * model.backoff.get(history, 0.0)
            self.arc(self.state(name, history), shorter, "#0", weight)
        return histories

    def _add_tree(
        self, spoken: Mapping[str, Sequence[tuple[str, ...]]], share: float, exit_state: int
    ) -> None:
        """Add every way of saying a roster number; animals are equally likely, then ways."""
        mass: dict[Gram, float] = {}
        ends: dict[Gram, float] = {}
        for ways in spoken.values():
            for way in ways:
                chance = share / len(spoken) / len(ways)
                ends[way] = ends.get(way, 0.0) + chance
                for size in range(len(way) + 1):
                    mass[way[:size]] = mass.get(way[:size], 0.0) + chance
        factor = self._weights.language
        for prefix, chance in mass.items():
            if prefix:
                before = mass[prefix[:-1]] if len(prefix) > 1 else 1.0
                self.arc(
                    self._tree_state(prefix[:-1]),
                    self._tree_state(prefix),
                    prefix[-1],
                    factor * cost(chance / before),
                )
        for way, chance in ends.items():
            self.arc(self._tree_state(way), exit_state, "#1", factor * cost(chance / mass[way]))

    def _tree_state(self, prefix: Gram) -> int:
        return self.state("herd", prefix) if prefix else self.state("number")


def _suffix(gram: Gram, histories: set[Gram]) -> Gram:
    """Return the longest end of the n-gram that is a history."""
    while gram not in histories:
        gram = gram[1:]
    return gram
