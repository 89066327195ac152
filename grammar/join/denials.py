"""Denials: "no ulcer", "no block or wrap", "wrap not needed", "isn't lame now"."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import takewhile

from grammar.join.pieces import CLAW_KINDS, FOOT_KINDS, MODIFIERS, Piece, slot_of
from grammar.records import Slot

__all__ = ["Denied", "take_denied"]

_HEADS = frozenset({"lesion", "object", "action", "followup", "status"})
"""What can be denied together with the words that qualify it."""
_DOABLE = frozenset({"action", "followup", "material"})
"""What may be said not to be needed."""
_OF_A_DEED = CLAW_KINDS | FOOT_KINDS | {"region"}
"""What may stand between a deed and "not needed": "block on the inner not needed"."""


@dataclass(slots=True, kw_only=True)
class Denied:
    """What the denials of one animal's part come to."""

    pieces: list[Piece]
    """All pieces, those of a denial changed in place."""
    gone: set[int] = field(default_factory=set)
    """Positions of the pieces that say nothing of their own any more."""
    slots: list[Slot[str]] = field(default_factory=list)
    """What is not there or was not done."""

    def deny(self, at: int) -> None:
        self.gone.add(at)
        self.slots.append(slot_of(self.pieces[at], str(self.pieces[at].value)))


def take_denied(pieces: Sequence[Piece], before: Sequence[str]) -> Denied:
    """Take out what is denied; a state with an opposite ("lame") becomes its opposite.

    before: the fillers that stood directly before each piece.
    """
    found = Denied(pieces=list(pieces))
    for i, piece in enumerate(pieces):
        if piece.kind in ("no", "not"):
            _deny_ahead(found, i, before)
        elif piece.kind == "notneeded":
            found.gone.add(i)
            _deny_behind(found, i, before)
    return found


def _deny_ahead(found: Denied, at: int, before: Sequence[str]) -> None:
    pieces = found.pieces
    last = _end(pieces, at)
    state = pieces[last]
    if last == at + 1 and state.kind == "status" and state.more.opposite:
        heard = f"{pieces[at].heard} {state.heard}"
        found.gone.add(at)
        pieces[last] = replace(
            state, value=state.more.opposite, first=pieces[at].first, heard=heard
        )
        return
    for i in range(at + 1, last + 1):
        if pieces[i].kind in _HEADS or last == at + 1:
            found.deny(i)
        else:
            found.gone.add(i)
    pieces[at] = replace(pieces[at], kind="denied")
    following = last + 1
    while last > at and following < len(pieces) and "or" in before[following].split():
        end = _end(pieces, following - 1)
        if pieces[end].kind not in _HEADS or end < following:
            break
        found.gone |= set(range(following, end))
        found.deny(end)
        following = end + 1


def _end(pieces: Sequence[Piece], at: int) -> int:
    """Return the last piece a denial reaches: "no bad ulcer", "not bleeding", "no rubber block"."""
    after = at + 1
    while after < len(pieces) and pieces[after].kind in (*MODIFIERS, "material"):
        after += 1
    if after < len(pieces) and pieces[after].kind in _HEADS:
        ahead = pieces[at + 1 : after]
        if all(_qualifies(piece, pieces[after]) for piece in ahead):
            return after
    return min(at + 1, after - 1) if after > at + 1 else at


def _qualifies(piece: Piece, head: Piece) -> bool:
    """Whether a piece is part of the denied thing; "not bleeding, referred" denies no referral."""
    if piece.kind == "material":
        return head.kind == "action"
    return head.kind in ("lesion", "object")


def _deny_behind(found: Denied, at: int, before: Sequence[str]) -> None:
    """ "rubber block on the inner not needed" denies the block; its foot stays for what follows."""
    pieces = found.pieces
    head = at - 1
    while head >= 0 and pieces[head].kind in _OF_A_DEED:
        head -= 1
    if head < 0 or pieces[head].kind not in _DOABLE:
        end = _end(pieces, at)  # "not needed: a block"
        if pieces[end].kind in _HEADS - {"status"}:
            found.gone |= set(range(at + 1, end))
            found.deny(end)
        return
    found.gone |= {i for i in range(head + 1, at) if pieces[i].kind not in FOOT_KINDS}
    while True:
        found.deny(head)
        if pieces[head].kind == "action":
            own = list(takewhile(lambda i: pieces[i].kind == "material", range(head - 1, -1, -1)))
            found.gone |= set(own)
            first = min(own, default=head)
        else:
            first = head
        if first == 0 or not _listed(pieces[first - 1], before[first]):
            return
        head = first - 1


def _listed(piece: Piece, joined: str) -> bool:
    """ "block and wrap not needed" denies both; "blocked and wrap not needed" has a block."""
    return (
        piece.kind in _DOABLE
        and not piece.heard.endswith("ed")
        and not {"and", "or"}.isdisjoint(joined.split())
    )
