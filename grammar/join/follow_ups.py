"""What is due and when: each follow-up joined with the time said before or after it."""

from grammar.hear.whens import When
from grammar.join.pieces import Piece, slot_of
from grammar.join.work import Work
from grammar.records import FollowUp

__all__ = ["find_follow_ups"]

_CUTS = frozenset({"lesion", "action"})
"""What parts a time from a follow-up."""


def find_follow_ups(work: Work) -> tuple[list[FollowUp], set[int]]:
    """Return the follow-ups and the actions that a time has turned into one ("wrap off Friday")."""
    joiner = _Joiner(work)
    for i, piece in enumerate(work.pieces):
        if piece.kind == "when":
            joiner.time(i)
        elif piece.kind == "followup" or (piece.kind == "action" and piece.more.if_dated):
            joiner.head(i)
        elif piece.kind in _CUTS:
            joiner.cut()
    joiner.cut()
    return joiner.made, joiner.dated


class _Joiner:
    """Walks the pieces once with at most one open follow-up or one open time."""

    def __init__(self, work: Work) -> None:
        self.work = work
        self.made: list[FollowUp] = []
        self.dated: set[int] = set()
        self.open_head: int | None = None
        self.open_time: int | None = None

    def time(self, at: int) -> None:
        if self.open_head is not None:
            self._make(self.open_head, at)
            self.open_head = None
            return
        if self.open_time is not None:
            self.work.loose.add(self.open_time)
        self.open_time = at

    def head(self, at: int) -> None:
        self._close_head()
        if self.open_time is not None:
            self._make(at, self.open_time)
            self.open_time = None
        else:
            self.open_head = at

    def cut(self) -> None:
        self._close_head()
        if self.open_time is not None:
            self.work.loose.add(self.open_time)
            self.open_time = None

    def _close_head(self) -> None:
        if self.open_head is not None:
            self._make(self.open_head, None)
            self.open_head = None

    def _make(self, head: int, time: int | None) -> None:
        piece: Piece = self.work.pieces[head]
        when = self.work.pieces[time].value if time is not None else When(said="")
        if piece.kind == "action":
            if time is None:
                return
            self.dated.add(head)
        elif time is None and piece.more.only_dated:
            return
        kind = piece.more.if_dated if piece.kind == "action" else piece.value
        self.made.append(
            FollowUp(kind=slot_of(piece, kind), in_days=when.in_days, on=when.on, when=when.said)
        )
