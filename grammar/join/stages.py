"""Stages that stand for digital dermatitis: "left hind M2"."""

import itertools

from grammar.join.cursor import get, past
from grammar.join.narrowing import said_first
from grammar.join.own_foot import find_own_feet
from grammar.join.work import Work
from grammar.pieces import CLAWS, FEET, Lesion, Stage, Tissue, is_clean, turned
from grammar.records import How

__all__ = ["read_stages"]


_CHRONIC = "chronic"


def read_stages(work: Work) -> None:
    """A stage in a foot's part without any lesion stands for digital dermatitis."""
    _read_chronic(work)
    edges = [-1, *work.at(*FEET), len(work.pieces)]
    of_a_part = said_first(work)
    lesion_first = False
    own = {foot for head, foot in find_own_feet(work).items() if work.is_staged(head)}
    for start, end in itertools.pairwise(edges):
        inside = work.pieces[start + 1 : end]
        lesions = any(isinstance(one, Lesion) and not is_clean(one) for one in inside)
        if start == -1 and lesions:
            lesion_first = True
            continue
        alone = (i for i in range(start + 1, end) if i not in of_a_part)
        first = next((i for i in alone if isinstance(work.pieces[i], Stage)), None)
        if start in own and first == past(work.pieces, start + 1, CLAWS):
            continue  # "wrapped the left hind, wart right hind M2"
        if first is not None and not lesions and (not lesion_first or _goes_on(work, first)):
            work.pieces[first] = turned(
                work.pieces[first], Lesion, value="digital dermatitis", how=How.INFERRED,
                rejected=(), stage=work.pieces[first],
            )  # fmt: skip
        lesion_first = False


def _read_chronic(work: Work) -> None:
    """ "Chronic sole ulcer": of a lesion without stages the word tells how long it has been there."""
    lesions = [at for at in work.at(Lesion) if not is_clean(work.pieces[at])]
    if not lesions or any(map(work.is_staged, lesions)):
        return
    for at in work.at(Stage):
        piece = work.pieces[at]
        if piece.heard == _CHRONIC:
            work.pieces[at] = turned(
                piece, Tissue, value=_CHRONIC, stands_before=True, rejected=(), corrections=()
            )


def _goes_on(work: Work, stage: int) -> bool:
    """ "digi m two on the hinds and m one on the fronts": a stage that a foot of its own follows."""
    other, before, after = (get(work.pieces, stage + step) for step in (-2, -1, 1))
    pairs = isinstance(other, Stage) and isinstance(before, FEET) and isinstance(after, FEET)
    return pairs and work.link[stage - 1] and work.link[stage + 1]
