"""What was so at another time, or is gone: "had a wart last time", "the ulcer is gone"."""

from collections.abc import Sequence

from grammar.join.cursor import back, get, past
from grammar.join.mood_pieces import Moods, ahead, behind, silence_own
from grammar.pieces import (
    FINDINGS,
    LINKS,
    MODIFIERS,
    ActionSaid,
    Filler,
    Leftover,
    No,
    Not,
    On,
    Past,
    Piece,
    Region,
    Severity,
    StatusSaid,
    TimeSaid,
    Tissue,
    Zone,
)

__all__ = ["gone", "put_in_the_past"]

_GONE_TO = frozenset({"to", "through", "into", "down", "right", "over", "very", "really", "so"})
_WORN = ("block", "wrap")
"""How a status begins that is of a thing on the foot; every other one of the past is over."""
_WAS = frozenset({"was", "were", "been"})


def gone(moods: Moods, at: int) -> None:
    """ "the ulcer is gone"."""
    lesion = behind(moods.pieces, at, FINDINGS)
    if isinstance(get(moods.said, back(moods.said, at - 1, LINKS)), (No, Not)):
        return  # "ulcer not gone"
    if lesion is not None and not _went_bad(moods.pieces, at):
        _let_go(moods, lesion, sure=moods.pieces[at].heard != "gone")


def _went_bad(pieces: Sequence[Piece], at: int) -> bool:
    """ "gone septic", "gone to the bone"."""
    after = get(pieces, at + 1)
    bad = isinstance(after, (Leftover, Tissue, Severity, StatusSaid, Region, On))
    return bad or (isinstance(after, Filler) and after.value in _GONE_TO)


def _let_go(moods: Moods, at: int, *, sure: bool) -> None:
    """Deny a lesion that is gone; "gone" alone may also say that it went bad."""
    piece = moods.pieces[at]
    if not sure:
        moods.ask(at, "said-of-past", f"{piece.heard!r} was taken to be there no more")
    moods.deny(at)


def _is_then(pieces: Sequence[Piece], at: int) -> bool:
    """ "Last time she'd M four, today M one", "used to be terrible, perfect now": of no lesion behind."""
    first = past(pieces, at + 1, LINKS)
    lesion = isinstance(get(pieces, past(pieces, first + 1, LINKS)), FINDINGS)
    return isinstance(get(pieces, first), MODIFIERS) and not lesion


def put_in_the_past(moods: Moods, at: int) -> None:
    """ "Had an ulcer last time, clean now": what was before is no finding of today."""
    kinds = (*FINDINGS, ActionSaid, StatusSaid)
    cue = moods.pieces[at]
    if isinstance(get(moods.said, back(moods.said, at - 1, LINKS)), Past):
        return  # "fell off last week, they said"
    time = back(moods.pieces, at - 1, LINKS)
    if cue.heard == "ago" and isinstance(get(moods.pieces, time), TimeSaid):
        moods.silence(time)
    said_behind = isinstance(cue, Past) and cue.behind
    head = behind(moods.pieces, at, kinds) if said_behind else None
    said = said_behind and any(isinstance(one, kinds) for one in moods.said[:at])
    detail = time >= 0 and isinstance(moods.pieces[time], (*MODIFIERS, Zone))
    was = isinstance(verb := get(moods.pieces, time - 1), Filler) and verb.heard in _WAS
    if said_behind and detail and (was or head is None):
        head = time  # "was worse in the spring, slurry heel today"
    elif head is None and not said and _is_then(moods.pieces, at):
        head = past(moods.pieces, at + 1, LINKS)
    elif head is None and not said:  # "ulcer, same place as in the spring, block on the inside"
        head = ahead(moods.pieces, at, kinds)
    if head is not None:
        piece = moods.pieces[head]
        silence_own(moods, head)
        if isinstance(piece, StatusSaid) and not piece.medicine:
            if not piece.value.startswith(_WORN):  # "the block fell off last week" holds today
                moods.silence(head)
            return
        moods.set_aside(head, "said-of-past", f"{piece.heard!r} was said of an earlier time")
