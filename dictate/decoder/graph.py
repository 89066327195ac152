"""The decoding graph: how words follow each other, how they sound, how sounds fill frames.

    HCLG = H ∘ minimise(determinise(L ∘ G))

G is the word graph, L the lexicon, H the states of the phones; there is no context C.  The filler
word is one placeholder phone up to H, which opens it into a loop over all phones: determinising the
loop itself together with the words would never end.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import kaldifst

from dictate.decoder import phones
from dictate.decoder.finite_state import FstArc, build_fst, map_input_labels
from dictate.decoder.language import FILLER
from dictate.decoder.phones import Place
from dictate.decoder.pronunciation import Pronunciations, words_without
from dictate.decoder.word_graph import Weights
from dictate.errors import ModelError

_FILLER_PHONE = phones.SILENCE + 4 * len(phones.ARPABET) + 1
_FIRST_MARK = _FILLER_PHONE + 1
_WORD_MARKS = ("#0", "#1")
"""Marks of the word graph; homophones are told apart by the marks after them."""
_STATES_MAX = 5_000_000
"""Where determinisation gives up: a graph of this product has some 100,000 states."""


@dataclass(frozen=True, slots=True)
class Symbols:
    """The words of a graph and their labels; label 0 is epsilon."""

    label_of: Mapping[str, int] = field(repr=False)

    def lines(self) -> Iterable[str]:
        """Yield the lines of `words.txt`."""
        yield "<eps> 0"
        for word, label in self.label_of.items():
            yield f"{word} {label}"


def symbols(words: Iterable[str]) -> Symbols:
    """Number the words in alphabetical order, then the filler and the marks."""
    ordered = [*sorted(set(words)), FILLER, *_WORD_MARKS]
    return Symbols({word: label for label, word in enumerate(ordered, start=1)})


def lexicon_graph(
    table: Symbols, known: Pronunciations, everyday: Pronunciations
) -> kaldifst.StdVectorFst:
    """Build L: phones to words, silence allowed between words.

    Everyday words are ways of saying the filler, unless they sound like a word of the graph.

    Raises:
        ModelError: words without a pronunciation, all of them together.
    """
    words = [w for w in table.label_of if w != FILLER and not w.startswith("#")]
    missing = words_without(words, known)
    if missing:
        raise ModelError(
            f"no pronunciation for {', '.join(missing)}",
            where="pronunciations.toml",
            remedy='Add them, or `dictate term add "new words" --sounds-like "known words"`',
        )
    between, after = 1, 0
    arcs = [FstArc(after, between, 0, 0), FstArc(after, between, phones.SILENCE, 0)]
    arcs.append(FstArc(between, after, _FILLER_PHONE, table.label_of[FILLER]))
    arcs += [
        FstArc(between, between, _FIRST_MARK + index, table.label_of[mark])
        for index, mark in enumerate(_WORD_MARKS)
        if mark in table.label_of
    ]
    homophones: Counter[tuple[int, ...]] = Counter()
    state = 2
    for word in words:
        for variant in known[word]:
            sounds = phones.phone_ids(variant)
            homophones[sounds] += 1
            # Place-dependent phones never make one word the start of another; only homophones
            # need a mark to keep the lexicon deterministic.
            mark = _FIRST_MARK + len(_WORD_MARKS) + homophones[sounds]
            labels = (*sounds, mark) if homophones[sounds] > 1 else sounds
            state = _add_word(arcs, labels, table.label_of[word], between, after, state)
    sounds_of_others = {
        phones.phone_ids(variant)
        for word, variants in everyday.items()
        if word not in table.label_of
        for variant in variants
    }
    for sounds in sorted(sounds_of_others - set(homophones)):
        state = _add_word(arcs, sounds, table.label_of[FILLER], between, after, state)
    fst = build_fst(arcs, {between: 0.0})
    kaldifst.arcsort(fst, "olabel")
    return fst


def _add_word(
    arcs: list[FstArc], labels: Sequence[int], output: int, source: int, target: int, state: int
) -> int:
    """Add a word's phones between two states; return the next free state."""
    for label in labels[:-1]:
        arcs.append(FstArc(source, state, label, output))
        source, output, state = state, 0, state + 1
    arcs.append(FstArc(source, target, labels[-1], output))
    return state


def hmm_graph(weights: Weights) -> kaldifst.StdVectorFst:
    """Build H: transition ids to phones; the filler is a loop over all phones.

    Self-loops come after the transition that leaves their state ("reordered" in Kaldi's words),
    as Vosk's word alignment expects.
    """
    hub = 0
    arcs: list[FstArc] = []
    state = 1
    for phone in phones.all_phone_ids():
        state = _add_phone(arcs, phone, hub, hub, state, output=phone)
    enter, inside = state, state + 1
    state += 2
    arcs.append(FstArc(hub, enter, 0, _FILLER_PHONE, weights.filler_sound))
    for symbol in phones.ARPABET:
        for place, source, target in (
            (Place.SINGLETON, enter, hub),
            (Place.BEGIN, enter, inside),
            (Place.INTERNAL, inside, inside),
            (Place.END, inside, hub),
        ):
            phone = phones.phone_id(symbol, place)
            state = _add_phone(arcs, phone, source, target, state, weight=weights.filler_phone)
    fst = build_fst(arcs, {hub: 0.0})
    kaldifst.arcsort(fst, "olabel")
    return fst


def _add_phone(
    arcs: list[FstArc],
    phone: int,
    source: int,
    target: int,
    state: int,
    *,
    output: int = 0,
    weight: float = 0.0,
) -> int:
    """Add the states of a phone between two states; return the next free state."""
    transitions = {(arc.source, arc.target): arc.transition_id for arc in phones.arcs_of(phone)}
    emitting = len(phones.states_of(phone))
    before, label = source, output
    for index in range(emitting):
        for following in {index + 1, emitting}:
            leave, loop = transitions[index, following], transitions[index, index]
            arcs.append(FstArc(before, state, leave, label, weight if index == 0 else 0.0))
            arcs.append(FstArc(state, state, loop, 0))
            if following == emitting:
                arcs.append(FstArc(state, target, 0, 0))
            else:
                on = state
            state += 1
        if index + 1 < emitting:
            before, label = on, 0
    return state


def decoding_graph(
    word_graph: kaldifst.StdVectorFst,
    table: Symbols,
    known: Pronunciations,
    everyday: Pronunciations,
    *,
    weights: Weights,
) -> kaldifst.StdVectorFst:
    """Compose the graph that the decoder searches.

    Raises:
        ModelError: words without a pronunciation, or a word graph too large to determinise.
    """
    words_by_phones = kaldifst.compose(lexicon_graph(table, known, everyday), word_graph)
    if kaldifst.determinize_star(words_by_phones, max_states=_STATES_MAX):
        raise ModelError(
            "the vocabulary and numbers make a graph that is too large",
            where="decoding graph",
            remedy="Take in a smaller roster, or forget taught terms",
        )
    kaldifst.minimize_encoded(words_by_phones)
    return _over_states(words_by_phones, weights)


def run_time_lexicon(
    table: Symbols, known: Pronunciations, everyday: Pronunciations, *, weights: Weights
) -> kaldifst.StdVectorFst:
    """Compose H with L alone, for graphs that get their words at run time.

    The marks of the word graph are left out: the word graph of such a model has epsilons instead.
    """
    words = Symbols({w: label for w, label in table.label_of.items() if w not in _WORD_MARKS})
    lexicon = lexicon_graph(words, known, everyday)
    kaldifst.determinize_star(lexicon)
    kaldifst.minimize_encoded(lexicon)
    graph = _over_states(lexicon, weights)
    kaldifst.arcsort(graph, "olabel")
    return graph


def _over_states(words_by_phones: kaldifst.StdVectorFst, weights: Weights) -> kaldifst.StdVectorFst:
    unmarked = map_input_labels(words_by_phones, lambda label: 0 if label >= _FIRST_MARK else label)
    kaldifst.arcsort(unmarked, "ilabel")
    graph = kaldifst.compose(hmm_graph(weights), unmarked)
    kaldifst.connect(graph)
    return graph
