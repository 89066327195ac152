"""Scratch that: the last thing said is taken back."""

from collections.abc import Sequence
from dataclasses import replace

from grammar.join.cursor import back, get
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    LINKS,
    ActionSaid,
    AnimalSaid,
    EndOfNote,
    FollowUpSaid,
    ForeignBody,
    Kinds,
    Lesion,
    Material,
    MeasureSaid,
    NextCow,
    No,
    Not,
    Piece,
    Region,
    SameCow,
    Score,
    Scratch,
    Severity,
    Stage,
    StatusSaid,
    Zone,
)
from grammar.records import Correction

SITES = (*FEET, *CLAWS, Zone, Region)
HEADS = (*FINDINGS, ActionSaid, FollowUpSaid, Score, MeasureSaid, StatusSaid)
_ANIMALS = (AnimalSaid, NextCow, SameCow)


_GO_WITH: tuple[tuple[Kinds, Kinds], ...] = (
    ((ActionSaid,), (Material,)),
    (FINDINGS, (Severity, Stage, Not, No)),
    ((ForeignBody,), (MeasureSaid,)),
    ((Lesion,), (ForeignBody,)),
)
"""What is taken back -> what goes with it where it stands before it."""


def take_back(kept: list[Piece], cue: Scratch, ahead: Piece | None, *, sited: bool) -> None:
    """Take back the last finding, action or follow-up; else the last site or animal.

    ahead: what is said next; the sites of a finding taken back go too where new ones follow.
    sited: whether a foot of its own is said behind it; else that of the finding taken back stays.
    """
    gone: list[Piece] = []
    stops = (*_ANIMALS, EndOfNote) if cue.whole else (EndOfNote,)
    while kept and not isinstance(kept[-1], stops):
        gone.append(kept.pop())
        if not cue.whole and _enough(gone, kept):
            break
    if not cue.whole and any(isinstance(piece, HEADS) for piece in gone) and ahead is not None:
        gone += _sites_said_anew(kept, ahead)
    if not cue.whole and isinstance(ahead, (*FINDINGS, Stage)) and not sited:
        gone = _keep_sites(kept, gone)
    heard = " ".join(piece.heard for piece in reversed(gone) if not isinstance(piece, LINKS))
    if heard and kept:
        note = Correction(slot="scratch", was=heard, now="", first=cue.first, last=cue.last)
        kept[-1] = replace(kept[-1], corrections=(*kept[-1].corrections, note))


def _keep_sites(kept: list[Piece], gone: list[Piece]) -> list[Piece]:
    """ "Ulcer left hind outer, scratch that, it's a bruise": put the sites back; return what is gone."""
    told = (*FINDINGS, Stage)
    head = next((i for i, piece in enumerate(gone) if isinstance(piece, told)), 0)
    kept += [piece for piece in reversed(gone[:head]) if isinstance(piece, (*FEET, *CLAWS))]
    return [one for i, one in enumerate(gone) if i >= head or not isinstance(one, (*FEET, *CLAWS))]


def _enough(gone: Sequence[Piece], kept: Sequence[Piece]) -> bool:
    last = gone[-1]
    before = get(kept, back(kept, len(kept) - 1, LINKS))
    if isinstance(last, HEADS):
        return not any(isinstance(last, head) and isinstance(before, own) for head, own in _GO_WITH)
    if any(isinstance(piece, HEADS) for piece in gone):
        return not isinstance(before, (Material, Severity, Stage))
    if isinstance(last, _ANIMALS):
        return True
    if before is None or isinstance(before, _ANIMALS):
        return not isinstance(last, LINKS)
    return (
        all(isinstance(piece, SITES + LINKS) for piece in gone)
        and isinstance(last, FEET)
        and any(isinstance(piece, FEET) for piece in kept)
    )


def _sites_said_anew(kept: list[Piece], ahead: Piece) -> list[Piece]:
    """Take the sites left hanging off `kept`, those that what follows says anew.

    "Left rear wart, scratch that, right rear wart" would else be a wart on both.
    """
    anew: Kinds = ()
    if isinstance(ahead, FEET):
        anew = FEET + CLAWS + LINKS
    elif isinstance(ahead, CLAWS):
        anew = CLAWS + LINKS
    gone: list[Piece] = []
    while kept and isinstance(kept[-1], anew):
        gone.append(kept.pop())
    return gone
