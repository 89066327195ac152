"""Small helpers over kaldifst: build a transducer from arcs, renumber its labels.

kaldifst and Vosk each carry a copy of OpenFst; in one process they freeze or crash it.  Whatever
imports this module runs in a process of its own (see `dictate.decoder.herd_graph`).
"""

import math
import sys
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

if "vosk" in sys.modules:
    raise ImportError("graphs are built in a process without Vosk: use dictate.decoder.herd_graph")

import kaldifst


@dataclass(frozen=True, slots=True)
class FstArc:
    """One arc; label 0 is epsilon, weight is a cost (negative natural logarithm)."""

    source: int
    target: int
    input: int
    output: int
    weight: float = 0.0


def cost(probability: float) -> float:
    """Return the cost of a probability."""
    return -math.log(probability)


def build_fst(arcs: Iterable[FstArc], final: Mapping[int, float]) -> kaldifst.StdVectorFst:
    """Build a transducer that starts in state 0; `final` maps states to their final cost."""
    fst = kaldifst.StdVectorFst()
    fst.add_state()
    states = 1
    for arc in arcs:
        while states <= max(arc.source, arc.target):
            fst.add_state()
            states += 1
        fst.add_arc(
            state=arc.source,
            arc=kaldifst.StdArc(
                ilabel=arc.input, olabel=arc.output, weight=arc.weight, nextstate=arc.target
            ),
        )
    fst.start = 0
    for state, weight in final.items():
        fst.set_final(state=state, weight=weight)
    return fst


def map_input_labels(
    fst: kaldifst.StdVectorFst, mapped: Callable[[int], int]
) -> kaldifst.StdVectorFst:
    """Return a copy with every input label replaced."""
    arcs: list[FstArc] = []
    final: dict[int, float] = {}
    for state in kaldifst.StateIterator(fst):
        weight = fst.final(state).value
        if math.isfinite(weight):
            final[state] = weight
        arcs.extend(
            FstArc(state, arc.nextstate, mapped(arc.ilabel), arc.olabel, arc.weight.value)
            for arc in kaldifst.ArcIterator(fst, state)
        )
    copy = build_fst(arcs, final)
    copy.start = fst.start
    return copy
