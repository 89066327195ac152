"""What was said of later, of the past or of not being able to: no action done, no lesion found.

"Needs a block", "should be wrapped", "block still on", "had a wart last time", "the ulcer is gone".
Such things are taken out before anything is attached; the cue words stand in commands.toml.  What
is due and has a follow-up of its own ("needs a trim") becomes one; every other action said of later
and everything said of the past is marked, for somebody must know of it.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from grammar.join.cursor import back, get, past, seek
from grammar.join.feet import ALL_FEET
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    LINKS,
    MODIFIERS,
    ActionSaid,
    Break,
    Denied,
    Filler,
    FollowUpSaid,
    Foot,
    Gone,
    Kinds,
    Leftover,
    LeftUndone,
    Material,
    No,
    Not,
    On,
    OtherFeet,
    Past,
    Piece,
    Region,
    Severity,
    StatusSaid,
    TakenOff,
    TimeSaid,
    Tissue,
    Undone,
    Zone,
    slot_of,
    turned,
    value_of,
)
from grammar.records import Question, Slot

__all__ = ["Moods", "take_moods"]

_BETWEEN: Kinds = (*LINKS, *FEET, *CLAWS, *MODIFIERS, Region, Zone, Material, Leftover)
"""What may stand between a cue and what it speaks of: "needs the left hind wrapped"."""
_DEEDS = (ActionSaid, FollowUpSaid)
_AND = frozenset({"and", "or", "then"})
_TO_THE_END = frozenset({"off", "remove", "leave it", "leave that", "keep it", "keep that"})
_COMES_OFF = frozenset({"block", "wrap"})
_WAS = frozenset({"was", "were", "been"})
_LEFT_OUT = ("leave", "left out", "skip")
_GONE_TO = frozenset({"to", "through", "into", "down", "right", "over", "very", "really", "so"})
_DUE = {"functional trim": "trim"}
"""Actions that are a follow-up where they are due, besides those of `if_dated`."""
_DONE_WORDS = frozenset(
    {"took", "taken", "put", "stuck", "cut", "let", "gave", "got", "on", "off", "done", "did"}
)
"""Words of a deed that is done, besides those in -ed: "put a block on"; "block" alone may be due."""
_NOT_DUE = ("for ", "today", "tonight", "this ", "at once", "straight", "right away", "as soon")
"""How a time begins that says how long or now, and not when: "wrap for three days"."""


@dataclass(slots=True, kw_only=True)
class Moods:
    """One animal's pieces without what was not done or is not there now."""

    pieces: list[Piece]
    said: Sequence[Piece]
    """The pieces as they were said."""
    denied: list[Slot[str]] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)

    def silence(self, at: int) -> None:
        """Let a piece say nothing any more; a lesion that is not there still parts two feet."""
        piece = self.pieces[at]
        kind = Denied if isinstance(piece, FINDINGS) else Filler
        self.pieces[at] = turned(piece, kind, value="" if kind is Denied else piece.heard)

    def leave_out(self, at: int) -> None:
        """Let a foot say nothing; "the others" are those without it."""
        foot, rest = self.pieces[at], seek(self.pieces, at + 1, (OtherFeet,))
        if rest is not None and isinstance(foot, Foot) and value_of(self.pieces[rest]) == "rest":
            others = tuple(one for one in ALL_FEET if one not in foot.value)
            self.pieces[rest] = turned(self.pieces[rest], Foot, value=others)
        self.silence(at)

    def set_aside(self, at: int, check: str, what: str) -> None:
        """Take a head out and say so in a mark."""
        self.ask(at, check, what)
        self.silence(at)

    def ask(self, at: int, check: str, what: str) -> None:
        """Mark a piece."""
        piece = self.pieces[at]
        self.questions.append(Question(check=check, what=what, first=piece.first, last=piece.last))

    def deny(self, at: int) -> None:
        piece = self.pieces[at]
        self.denied.append(slot_of(piece, str(value_of(piece))))
        self.silence(at)


def take_moods(pieces: Sequence[Piece]) -> Moods:
    """Take out what was said of later, of the past, or gone; never raises."""
    moods = Moods(pieces=list(pieces), said=pieces)
    for at, piece in enumerate(pieces):
        act = _CUES.get(type(piece))
        if act is not None:
            act(moods, at)
            moods.silence(at)
        elif isinstance(piece, Filler) and piece.value == "off" and _says_off(moods.pieces, at):
            _taken_off(moods, at)
        elif moods.pieces[at] is piece and _is_due(moods.pieces, at):
            _undo(moods, at, later=True)
    return moods


def _not_done(moods: Moods, at: int) -> None:
    """ "needs a block", "couldn't block her"."""
    cue = moods.pieces[at]
    comes_off = _comes_off(moods.pieces, at)
    if comes_off is not None:
        piece = moods.pieces[comes_off]
        moods.pieces[comes_off] = turned(piece, FollowUpSaid, value=f"{value_of(piece)} off")
        return
    foot = get(moods.pieces, at + 1)
    if cue.heard.startswith(_LEFT_OUT) and isinstance(foot, FEET):
        moods.leave_out(at + 1)  # "leave the fronts, trim the hinds"
        return
    if _is_of_foot(moods, at):
        return
    for deed in _deeds_ahead(moods.pieces, at):
        _undo(moods, deed, later=isinstance(cue, Undone) and cue.later)


def _is_of_foot(moods: Moods, at: int) -> bool:
    """ "Couldn't lift the left hind, trimmed the rest": of the deed that was done another foot is said."""
    pieces = moods.pieces
    foot = seek(pieces, at + 1, FEET)
    deed = _ahead(pieces, at, _DEEDS)
    if (
        foot is None
        or deed is None
        or foot > deed
        or past(pieces, at + 1, (*LINKS, Leftover)) < foot
    ):
        return False
    done, other = pieces[deed], past(pieces, deed + 1, LINKS)
    told = isinstance(done, ActionSaid) and _is_told(done)
    after = get(pieces, past(pieces, other + 1, LINKS))
    if (
        not told
        or not isinstance(get(pieces, other), FEET)
        or isinstance(after, (*FINDINGS, *CLAWS))
    ):
        return False
    moods.leave_out(foot)
    return True


def _comes_off(pieces: Sequence[Piece], at: int) -> int | None:
    """ "block should come off in six weeks" was put on another day, and is due."""
    cue, deed = pieces[at], back(pieces, at - 1, LINKS)
    block = get(pieces, deed)
    if not isinstance(cue, Undone) or not cue.later or not isinstance(block, ActionSaid):
        return None
    after = pieces[at + 1 : past(pieces, at + 1, LINKS)]
    off = any(isinstance(piece, Filler) and piece.value == "off" for piece in after)
    return deed if off and block.value in _COMES_OFF and not _is_told(block) else None


def _left_undone(moods: Moods, at: int) -> None:
    """ "block still on", "fronts not done"."""
    if _stays_until(moods.pieces, at):
        return
    if moods.pieces[at].heard.endswith("done") and _feet_not_done(moods, at):
        return
    deed = _behind(moods.pieces, at, (ActionSaid,))
    foot = back(moods.pieces, at - 1, LINKS)
    if deed is not None and _is_denied(moods.pieces, deed):
        return
    if deed is not None and _another_used(moods, deed, at):
        return
    if deed is not None:
        piece = moods.pieces[deed]
        if (
            _stays_on(moods.pieces, at)
            and isinstance(piece, ActionSaid)
            and piece.value in _COMES_OFF
        ):
            moods.pieces[deed] = turned(piece, FollowUpSaid, value=f"{piece.value} off")
        else:
            _undo(moods, deed, later=True)
    elif isinstance(get(moods.pieces, foot), FEET):
        moods.silence(foot)


def _another_used(moods: Moods, deed: int, at: int) -> bool:
    """ "Wooden block on the outer didn't hold, used a plastic one": one block, of plastic."""
    old = moods.pieces[deed]
    new = past(moods.pieces, at + 1, (*LINKS, Leftover))
    material, other = get(moods.pieces, new), get(moods.pieces, new + 1)
    if not isinstance(old, ActionSaid) or not isinstance(material, Material):
        return False
    sited = isinstance(get(moods.pieces, past(moods.pieces, new + 2, LINKS)), CLAWS)
    if not isinstance(other, ActionSaid) or value_of(other) != value_of(old) or sited:
        return False
    moods.ask(deed, "action-not-done", f"{old.heard!r} did not hold, {material.heard!r} was taken")
    moods.pieces[deed] = replace(old, material=material.value)
    for position in (*range(back(moods.pieces, deed - 1, (Material,)) + 1, deed), new, new + 1):
        moods.silence(position)
    return True


def _feet_not_done(moods: Moods, at: int) -> bool:
    """ "Trimmed the fronts, hinds not done", "hinds were done in march": nothing of those feet."""
    foot, time = back(moods.pieces, at - 1, LINKS), past(moods.pieces, at + 1, LINKS)
    if not isinstance(get(moods.pieces, foot), FEET):
        return False
    moods.leave_out(foot)
    if isinstance(get(moods.pieces, time), TimeSaid):
        moods.silence(time)
    return True


def _says_off(pieces: Sequence[Piece], at: int) -> bool:
    """ "block inner off"; with a time it is due then."""
    deed = get(pieces, back(pieces, at - 1, (*LINKS, *CLAWS, *FEET)))
    told = isinstance(deed, ActionSaid) and _is_told(deed)
    timed = isinstance(get(pieces, past(pieces, at + 1, LINKS)), TimeSaid)
    return isinstance(deed, ActionSaid) and not told and not timed


def _taken_off(moods: Moods, at: int) -> None:
    """ "wrap from last visit removed" is a wrap taken off."""
    deed = _behind(moods.pieces, at, (ActionSaid,))
    piece = moods.pieces[deed] if deed is not None else None
    if deed is not None and isinstance(piece, ActionSaid) and piece.value in _COMES_OFF:
        moods.pieces[deed] = turned(
            piece, ActionSaid, value=f"{piece.value} removed", if_dated=f"{piece.value} off"
        )


def _is_denied(pieces: Sequence[Piece], deed: int) -> bool:
    """ "no block needed" is a denial."""
    return isinstance(get(pieces, back(pieces, deed - 1, (*LINKS, Material))), (No, Not))


def _gone(moods: Moods, at: int) -> None:
    """ "the ulcer is gone"."""
    lesion = _behind(moods.pieces, at, FINDINGS)
    if isinstance(get(moods.said, back(moods.said, at - 1, LINKS)), (No, Not)):
        return  # "ulcer not gone"
    if lesion is not None and not _went_bad(moods.pieces, at):
        _let_go(moods, lesion, sure=moods.pieces[at].heard != "gone")


def _stays_until(pieces: Sequence[Piece], at: int) -> bool:
    """ "block stays on four weeks" was put on today."""
    stays = pieces[at].heard.startswith(("stay", "to stay", "can stay", "left"))
    return stays and isinstance(get(pieces, past(pieces, at + 1, LINKS)), TimeSaid)


def _stays_on(pieces: Sequence[Piece], at: int) -> bool:
    """ "block still on, leave it another week" is due off then; also "still on the left rear"."""
    between = (*LINKS, *FEET, *CLAWS, Leftover)
    timed = isinstance(get(pieces, past(pieces, at + 1, between)), TimeSaid)
    return timed and not {"still", "left"}.isdisjoint(pieces[at].heard.split())


def _went_bad(pieces: Sequence[Piece], at: int) -> bool:
    """ "gone septic", "gone to the bone"."""
    after = get(pieces, at + 1)
    bad = isinstance(after, (Leftover, Tissue, Severity, StatusSaid, Region, On))
    return bad or (isinstance(after, Filler) and after.value in _GONE_TO)


def _let_go(moods: Moods, at: int, *, sure: bool) -> None:
    """Deny a lesion that is gone; "gone" alone may also say that it went bad."""
    piece = moods.pieces[at]
    if not sure:
        what = f"{piece.heard!r} was taken to be there no more"
        moods.questions.append(
            Question(check="said-of-past", what=what, first=piece.first, last=piece.last)
        )
    moods.deny(at)


def _ahead(pieces: Sequence[Piece], at: int, kinds: Kinds) -> int | None:
    """Return the next head of these kinds, past what belongs to it."""
    head = past(pieces, at + 1, _BETWEEN)
    return head if isinstance(get(pieces, head), kinds) else None


def _behind(pieces: Sequence[Piece], at: int, kinds: Kinds) -> int | None:
    head = back(pieces, at - 1, (*_BETWEEN, TimeSaid))
    return head if isinstance(get(pieces, head), kinds) else None


def _deeds_ahead(pieces: Sequence[Piece], at: int) -> Iterator[int]:
    """Yield the deeds that a cue reaches: the next, and those joined to it by "and"."""
    deed = _ahead(pieces, at, _DEEDS)
    if deed is not None and sum(isinstance(one, FEET) for one in pieces[at:deed]) > 1:
        return  # "wouldn't let me near the left hind, rest trimmed"
    if deed is None:  # "will spray it": a product said alone is a deed
        between = range(at + 1, past(pieces, at + 1, _BETWEEN))
        deed = next((i for i in between if _is_topical(pieces[i])), None)
    while deed is not None:
        yield deed
        following = _ahead(pieces, deed, _DEEDS)
        if following is None or not _joined(pieces[deed + 1 : following]):
            return
        deed = following


def _is_topical(piece: Piece) -> bool:
    return isinstance(piece, Material) and piece.of == "topical"


def _joined(between: Sequence[Piece]) -> bool:
    return any(isinstance(piece, Filler) and piece.value in _AND for piece in between)


def _undo(moods: Moods, at: int, *, later: bool) -> None:
    """Take out a deed: due later it may be a follow-up; else it is marked; not done it is denied."""
    piece = moods.pieces[at]
    if isinstance(piece, FollowUpSaid):
        if not later:
            moods.deny(at)
        return
    if later and isinstance(piece, ActionSaid):
        due = piece.if_dated or _DUE.get(piece.value)
        if due is not None:
            moods.pieces[at] = turned(piece, FollowUpSaid, value=due)
            if piece.if_dated is None and seek(moods.pieces, 0, (TimeSaid,)) is None:
                moods.ask(at, "action-not-done", f"{piece.heard!r} was said as not yet done")
            return
    _silence_own(moods, at)
    _silence_foot(moods, at)
    if later:
        moods.set_aside(at, "action-not-done", f"{piece.heard!r} was said as not yet done")
    else:
        moods.deny(at)


def _silence_own(moods: Moods, at: int) -> None:
    """Silence the materials and the claw that are the deed's own."""
    first = back(moods.pieces, at - 1, (Material,)) + 1
    last = past(moods.pieces, at + 1, (*LINKS, *CLAWS, Material, LeftUndone))
    for position in (*range(first, at), *range(at + 1, last)):
        piece, after = moods.pieces[position], past(moods.pieces, position + 1, LINKS)
        if isinstance(piece, CLAWS) and isinstance(get(moods.pieces, after), FINDINGS):
            continue  # "needs a block, outer ulcer"
        if isinstance(piece, (*CLAWS, Material)):
            moods.silence(position)


def _silence_foot(moods: Moods, at: int) -> None:
    """ "Fronts done, couldn't do the hinds": of that foot nothing else is said."""
    foot = past(moods.pieces, at + 1, LINKS)
    after = get(moods.pieces, past(moods.pieces, foot + 1, LINKS))
    ends = after is None or isinstance(after, (Break, *FEET, FollowUpSaid, TimeSaid, StatusSaid))
    earlier = seek(moods.pieces, 0, FEET, at) is not None
    if earlier and ends and isinstance(get(moods.pieces, foot), FEET):
        moods.silence(foot)


def _put_in_the_past(moods: Moods, at: int) -> None:
    """ "Had an ulcer last time, clean now": what was before is no finding of today."""
    kinds = (*FINDINGS, ActionSaid, StatusSaid)
    cue = moods.pieces[at]
    if isinstance(get(moods.said, back(moods.said, at - 1, LINKS)), Past):
        return  # "fell off last week, they said"
    time = back(moods.pieces, at - 1, LINKS)
    if cue.heard == "ago" and isinstance(get(moods.pieces, time), TimeSaid):
        moods.silence(time)
    behind = isinstance(cue, Past) and cue.behind
    head = _behind(moods.pieces, at, kinds) if behind else None
    said = behind and any(isinstance(one, kinds) for one in moods.said[:at])
    detail = time >= 0 and isinstance(moods.pieces[time], (*MODIFIERS, Zone))
    was = isinstance(verb := get(moods.pieces, time - 1), Filler) and verb.heard in _WAS
    if behind and detail and (was or head is None):
        head = time  # "was worse in the spring, slurry heel today"
    elif head is None and not said:  # "ulcer, same place as in the spring, block on the inside"
        head = _ahead(moods.pieces, at, kinds)
    if head is not None:
        piece = moods.pieces[head]
        _silence_own(moods, head)
        moods.set_aside(head, "said-of-past", f"{piece.heard!r} was said of an earlier time")


def _is_due(pieces: Sequence[Piece], at: int) -> bool:
    """Whether a deed is named and not told: "to wrap it", "block it tomorrow", "next time trim"."""
    piece = pieces[at]
    word = get(pieces, at - 1)
    if _is_topical(piece):
        return isinstance(word, Filler) and word.value == "to"
    if not isinstance(piece, ActionSaid) or _is_told(piece):
        return False
    if isinstance(word, Filler) and word.value == "to":
        return True  # "had to" and "managed to" are fillers of their own
    if piece.if_dated:
        return False
    after = past(pieces, at + 1, _BETWEEN)
    if _is_future(get(pieces, after)) and not _names_end(pieces[at + 1 : after]):
        return not _takes_time(get(pieces, past(pieces, after + 1, LINKS)))
    before = back(pieces, at - 1, LINKS)
    return _is_future(get(pieces, before)) and not _takes_time(
        get(pieces, back(pieces, before - 1, _BETWEEN))
    )


def _names_end(between: Sequence[Piece]) -> bool:
    """ "plaster on it, off friday", "block, leave it on till May": the time is that of the end."""
    return any(isinstance(piece, Filler) and piece.value in _TO_THE_END for piece in between)


def _is_told(piece: ActionSaid) -> bool:
    words = piece.heard.split()
    return any(word.endswith("ed") or word in _DONE_WORDS for word in words)


def _is_future(piece: Piece | None) -> bool:
    if not isinstance(piece, TimeSaid) or piece.heard.startswith(_NOT_DUE):
        return False
    if piece.every is not None and not piece.heard.startswith(("in ", "after ")):
        return False  # "wrap three days"
    days = piece.value.in_days
    return days is None or days > 0


def _takes_time(piece: Piece | None) -> bool:
    """Whether a time next to a deed is that of a follow-up."""
    return isinstance(piece, FollowUpSaid) or (
        isinstance(piece, ActionSaid) and piece.if_dated is not None
    )


_CUES: dict[type[Piece], Callable[[Moods, int], None]] = {
    Undone: _not_done,
    LeftUndone: _left_undone,
    Past: _put_in_the_past,
    Gone: _gone,
    TakenOff: _taken_off,
}
