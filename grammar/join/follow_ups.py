"""What is due and when: each follow-up joined with the time said before or after it."""

from collections.abc import Sequence
from dataclasses import replace

from grammar.hear.whens import When
from grammar.join.cursor import back, find_back, get
from grammar.join.due_sites import find_due_sites
from grammar.join.feet import resolve_feet
from grammar.join.near import COMES_OFF
from grammar.join.work import Work
from grammar.pieces import (
    CLAWS,
    DEEDS,
    FEET,
    ActionSaid,
    FollowUpSaid,
    Lesion,
    Material,
    Piece,
    StatusSaid,
    TimeSaid,
    slot_of,
    value_of,
)
from grammar.records import FollowUp, Slot

__all__ = ["find_follow_ups"]

_TO_THE_END = frozenset({"off", "remove", "leave", "keep"})
_LEAVES = frozenset({"leave", "left", "keep", "kept"})
_ON = frozenset({"on", "it", "that", "up", "now", "the"})
"""Words between a deed and how long it is for."""
_BY = ("by", "the")
""" "Drained by the vet" is no call for one."""
_SAME_DAY = ("same day", "same time")
_GOES_ON = frozenset({"and", "then", "again", "please", "it"})
_CUTS = (Lesion, ActionSaid)
"""What parts a time from a follow-up."""


def find_follow_ups(work: Work) -> tuple[tuple[FollowUp, ...], frozenset[int]]:
    """Return the follow-ups, and the first words of the actions that a time has turned into one.

    Feet and claws that are of what is due alone are taken out.
    """
    joiner = _Joiner(work)
    for i, piece in enumerate(work.pieces):
        if isinstance(piece, TimeSaid):
            joiner.time(i)
        elif isinstance(piece, FollowUpSaid) or (isinstance(piece, ActionSaid) and piece.if_dated):
            joiner.head(i)
        elif isinstance(piece, _CUTS):
            joiner.cut()
    joiner.cut()
    sites = find_due_sites(work, joiner.due, resolve_feet(work)) if joiner.due else {}
    made = [
        replace(one, feet=site.feet, claw=site.claw)
        if head is not None and (site := sites.get(head))
        else one
        for head, one in joiner.made
    ]
    dated = frozenset(work.pieces[at].first for at in joiner.dated)
    work.drop({at for site in sites.values() for at in site.taken})
    return tuple(made), dated


def _ends_off(said: Sequence[str]) -> bool:
    """Behind a time: "ten days off" is when it comes off, "ten days off the concrete" is not."""
    if "off" not in said:
        return False
    behind = said[said.index("off") + 1 :]
    return not behind or behind[0] in _GOES_ON


def _worn(piece: Piece) -> str | None:
    """Return what is on her: "block on the inner", "block's still tight, leave it on two more weeks"."""
    if isinstance(piece, DEEDS):
        thing = str(value_of(piece)).removesuffix(" off")
        return thing if thing in COMES_OFF else None
    if not isinstance(piece, StatusSaid):
        return None
    told = piece.heard.split()
    return next((one for one in COMES_OFF if one in told or f"{one}'s" in told), None)


def _due(piece: Piece) -> str | None:
    """Return the kind of what is due where a time is said for it."""
    if isinstance(piece, ActionSaid):
        return piece.if_dated
    return piece.value if isinstance(piece, FollowUpSaid) else None


class _Joiner:
    """Walks the pieces once with at most one open follow-up or one open time."""

    def __init__(self, work: Work) -> None:
        self.work = work
        self.made: list[tuple[int | None, FollowUp]] = []
        """Each with the position of the words for what is due; none where only "off" was said."""
        self.due: dict[int, int | None] = {}
        """Position of what is due -> position of its time."""
        self.dated: set[int] = set()
        """Actions that a time has turned into something due."""
        self.open_head: int | None = None
        self.open_time: int | None = None

    def time(self, at: int) -> None:
        if self.open_head is not None:
            self._make(self.open_head, at)
            self.open_head = None
            return
        if self._comes_off(at) or self._dates_last(at) or self._of_other_feet(at):
            return
        if self.open_time is not None:
            self._hang(self.open_time)
        self.open_time = at

    def _dates_last(self, at: int) -> bool:
        """ "At next visit, in four weeks" is one time, and the second gives the day."""
        head, last = self.made[-1] if self.made else (None, None)
        time = self.work.pieces[at]
        if head is None or last is None or self.due.get(head) != at - 1 or last.in_days is not None:
            return False
        if not isinstance(time, TimeSaid) or time.value.in_days is None:
            return False
        when = f"{last.when} {time.value.said}"
        self.made[-1] = head, replace(last, in_days=time.value.in_days, on=time.value.on, when=when)
        return True

    def _of_other_feet(self, at: int) -> bool:
        """ "Recheck both fronts in three weeks and hinds in six", "… and again in six"."""
        foot, time = at - 1, self.work.pieces[at]
        head, last = self.made[-1] if self.made else (None, None)
        if last is None or head is None or not isinstance(time, TimeSaid):
            return False
        if self.due.get(head) == at - 1 and "again" in self.work.said_before(at):
            kind = replace(last.kind, first=time.first, last=time.last)
            self._add(head, kind, time.value)
            return True
        told = isinstance(get(self.work.pieces, foot), FEET) and self.due.get(head) == foot - 1
        if not told or self.open_time is not None:
            return False
        self.due[foot] = at
        self._add(foot, replace(last.kind, first=time.first, last=time.last), time.value)
        return True

    def _comes_off(self, at: int) -> bool:
        """ "block on the inner, off in four weeks", "wrapped, leave it four days" are due then."""
        behind = self.work.said_behind(at)
        if isinstance(get(self.work.pieces, at + 1), TimeSaid):
            behind = ()  # "went on today, off in six weeks"
        said = (*self.work.said_before(at), *behind)
        it = not _LEAVES.isdisjoint(self.work.said_before(at)) and "it" in self.work.said_before(at)
        off = it or not _TO_THE_END.isdisjoint(self.work.said_before(at)) or _ends_off(said)
        off = off or self._stays_for(at)
        leave = not _LEAVES.isdisjoint(self.work.said_before(at))
        kinds = (*DEEDS, StatusSaid) if leave else (*DEEDS, Lesion)
        last = find_back(self.work.pieces, at - 1, kinds, ())
        worn = _worn(self.work.pieces[last]) if off and last is not None else None
        if worn is None:
            return False
        time = self.work.pieces[at]
        if isinstance(time, TimeSaid):
            if self.made and self.made[-1][0] == last and not self.made[-1][1].when:
                self.made.pop()  # "was to come off today, leave it on another ten days"
            self._add(None, slot_of(time, f"{worn} off"), time.value)
        return True

    def _stays_for(self, at: int) -> bool:
        """ "Wrapped for three days", "block on the inner for six weeks": then it comes off."""
        pieces = self.work.pieces
        last = back(pieces, at - 1, (*FEET, *CLAWS))
        said = (word for one in range(last + 1, at + 1) for word in self.work.said_before(one))
        told = isinstance(get(pieces, last), ActionSaid)
        return told and pieces[at].heard.startswith("for ") and _ON.issuperset(said)

    def _hang(self, time: int) -> None:
        """Leave a time without what is due; "today" says nothing of the kind."""
        piece = self.work.pieces[time]
        if not isinstance(piece, TimeSaid) or piece.value.in_days == 0:
            return
        self.work.loose.add(time)
        if self._is_bare(time, piece):
            self._add(None, slot_of(piece, "look again"), piece.value)

    def _is_bare(self, time: int, piece: TimeSaid) -> bool:
        """ "Block on the inner, four weeks" ends the note: she is seen then, and whatever else is marked."""
        pieces, (first, *rest) = self.work.pieces, piece.heard.split()
        worn = pieces[back(pieces, time - 1, (*FEET, *CLAWS, Material))]
        ends = time + 1 == len(pieces) and not (self.made or self.work.link[time])
        ends = ends and " ".join(self.work.said_behind(time)) in ("", "to the day")
        number = [piece.unit] == rest[-1:] and first in self.work.lexicon.number_words
        return ends and number and isinstance(worn, ActionSaid) and _worn(worn) is not None

    def head(self, at: int) -> None:
        if self._is_vets_look(at):
            return
        if not self._is_said_again(at):
            self._close_head()
        if self.open_time is not None:
            self._make(at, self.open_time)
            self.open_time = None
        else:
            self.open_head = at

    def _is_vets_look(self, at: int) -> bool:
        """ "Vet to look on monday" is one thing due."""
        piece = self.work.pieces[at]
        vet = self.work.pieces[at - 1] if at and self.open_head == at - 1 else None
        looks = isinstance(piece, FollowUpSaid) and piece.only_dated
        return looks and isinstance(vet, FollowUpSaid) and vet.value == "vet"

    def _is_said_again(self, at: int) -> bool:
        """ "Retrim, trim in a fortnight" is one thing due."""
        pieces = self.work.pieces
        if self.open_head != at - 1 or not isinstance(get(pieces, at + 1), TimeSaid):
            return False
        first, again = _due(pieces[at - 1]), _due(pieces[at])
        return first is not None and first == again

    def cut(self) -> None:
        self._close_head()
        if self.open_time is not None:
            self._hang(self.open_time)
            self.open_time = None

    def _close_head(self) -> None:
        if self.open_head is not None:
            self._make(self.open_head, None)
            self.open_head = None

    def _as_last(self, said: str | None = None) -> When:
        """Return the time of what was made last, in its own words or in others: "the same day"."""
        _, last = self.made[-1]
        return When(said=last.when if said is None else said, in_days=last.in_days, on=last.on)

    def _make(self, head: int, time: int | None) -> None:
        piece = self.work.pieces[head]
        said = self.work.pieces[time] if time is not None else None
        when = said.value if isinstance(said, TimeSaid) else When(said="")
        if when.said.endswith(_SAME_DAY) and self.made:
            when = self._as_last(when.said)
        if isinstance(piece, ActionSaid):
            if piece.if_dated is None or (said is None and not self._is_then(head)):
                return
            if said is None:
                when = self._as_last()
            self.dated.add(head)
            kind = piece.if_dated
        elif isinstance(piece, FollowUpSaid):
            by_vet = piece.value == "vet" and tuple(self.work.said_before(head)[-2:]) == _BY
            if said is None and (piece.only_dated or by_vet):
                return
            kind = piece.value
        else:
            return
        self.due[head] = time
        self._add(head, slot_of(piece, kind), when)

    def _is_then(self, head: int) -> bool:
        """ "Look again in six weeks and block off then": then it is due; nothing is said behind."""
        last = head == len(self.work.pieces) - 1
        return bool(self.made) and last and "then" in self.work.said_behind(head)

    def _add(self, head: int | None, kind: Slot[str], when: When) -> None:
        one = FollowUp(kind=kind, in_days=when.in_days, on=when.on, when=when.said)
        self.made.append((head, one))
