"""Checks of decoding graphs, run in a process of their own: kaldifst and Vosk cannot share one."""

import kaldifst

from dictate.decoder import phones
from dictate.decoder.estimation import Source, estimate
from dictate.decoder.finite_state import FstArc, build_fst
from dictate.decoder.graph import decoding_graph, lexicon_graph, symbols
from dictate.decoder.language import ANIMAL
from dictate.decoder.word_graph import HerdNumbers, Weights, word_graph
from dictate.errors import ModelError

SOUNDS = {
    "cow": (("K", "AW"),),
    "four": (("F", "AO", "R"), ("F", "AO")),
    "twelve": (("T", "W", "EH", "L", "V"),),
    "fore": (("F", "AO", "R"),),
    "clean": (("K", "L", "IY", "N"),),
    "ulcer": (("AH", "L", "S", "ER"),),
}
EVERYDAY = {"weather": (("W", "EH", "DH", "ER"),)}
NOTES = [["cow", ANIMAL, "clean"], ["cow", ANIMAL, "ulcer"], ["fore", "clean"]] * 5
NUMBERS = [["four"], ["twelve"], ["four", "twelve"], ["twelve", "four"]] * 3
WEIGHTS = Weights(language=1.0, insertion=0.0)


def graph_for(spoken=None, notes=NOTES):
    table = symbols(SOUNDS)
    herd = HerdNumbers(
        spoken=spoken or {},
        any_number=estimate([Source(1, NUMBERS)], vocabulary={"four", "twelve"}),
    )
    language = estimate([Source(1, notes)], vocabulary={*SOUNDS, ANIMAL})
    g = word_graph(language, herd, label_of=table.label_of, weights=WEIGHTS)
    return table, decoding_graph(g, table, SOUNDS, EVERYDAY, weights=WEIGHTS)


def best_words(frames, spoken=None):
    """Return the words and cost of the best path whose frames emit the given outputs.

    frames: ARPAbet symbols, `-` for blank; each may be repeated.
    """
    table, graph = graph_for(spoken)
    pdf_of = {
        arc.transition_id: phones.states_of(phone)[arc.source].pdf
        for phone in phones.all_phone_ids()
        for arc in phones.arcs_of(phone)
    }
    wanted = [0 if f == "-" else 1 + phones.ARPABET.index(f) for f in frames.split()]
    arcs = [
        FstArc(at, at + 1, tid, tid)
        for at, pdf in enumerate(wanted)
        for tid, emitted in pdf_of.items()
        if emitted == pdf
    ]
    sound = build_fst(arcs, {len(wanted): 0.0})
    kaldifst.arcsort(sound, "olabel")
    kaldifst.arcsort(graph, "ilabel")
    found = kaldifst.compose(sound, graph)
    if found.num_states == 0:
        return None
    path = kaldifst.shortest_path(found)
    _, _, words, weight = kaldifst.get_linear_symbol_sequence(path)
    names = {label: word for word, label in table.label_of.items()}
    return [names[label] for label in words], weight.value


def missing_pronunciation():
    try:
        lexicon_graph(symbols(["cow", "interdigital"]), SOUNDS, EVERYDAY)
    except ModelError as error:
        return error.line
    return ""
