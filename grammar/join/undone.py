"""Deeds that were not done: "needs a block", "couldn't wrap it", "block still on", "fronts not done"."""

from collections.abc import Iterator, Sequence

from grammar.join.cursor import back, get, past, seek
from grammar.join.mood_pieces import BETWEEN, Moods, ahead, silence_own
from grammar.join.near import COMES_OFF, is_word
from grammar.pieces import (
    CLAWS,
    DEEDS,
    FEET,
    FINDINGS,
    LINKS,
    MODIFIERS,
    ActionSaid,
    Break,
    Filler,
    FollowUpSaid,
    Leftover,
    LeftUndone,
    Material,
    Piece,
    StatusSaid,
    TimeSaid,
    Undone,
    is_clean,
    turned,
    value_of,
)

__all__ = ["begins_clause", "is_due", "is_told", "not_done", "undo"]

_AND = frozenset({"and", "or", "then"})
_TO_THE_END = frozenset({"off", "remove", "leave it", "leave that", "keep it", "keep that"})
_IT = frozenset({"it", "them", "her", "that", "again", "it again"})
_BE = frozenset({"be", "just be", "only be"})
_BY_THE_VET = ("by the vet", "by vet")
"""How a status ends that is a follow-up where it is yet to be."""
_DUE = {"functional trim": "trim"}
"""Actions that are a follow-up where they are due, besides those of `if_dated`."""
_DONE_WORDS = frozenset(
    {"took", "taken", "put", "stuck", "cut", "let", "gave", "got", "on", "off", "done", "did"}
)
"""Words of a deed that is done, besides those in -ed: "put a block on"; "block" alone may be due."""
_ASKS = frozenset({"ask", "call", "get", "have", "phone", "ring", "show", "tell"})
"""How what is due begins where somebody is to be told."""
_OBJECTS = frozenset({"all", "both", "em", "her", "him", "it", "that", "the", "them"})
_NOT_DUE = ("for ", "today", "tonight", "this ", "at once", "straight", "right away", "as soon")
"""How a time begins that says how long or now, and not when: "wrap for three days"."""


def not_done(moods: Moods, at: int) -> None:
    """ "needs a block", "couldn't block her"."""
    cue = moods.pieces[at]
    comes_off = _comes_off(moods.pieces, at)
    if comes_off is not None:
        piece = moods.pieces[comes_off]
        moods.pieces[comes_off] = turned(piece, FollowUpSaid, value=f"{value_of(piece)} off")
        return
    told = past(moods.pieces, at + 1, (*LINKS, Undone))
    seen = get(moods.pieces, told)
    later = isinstance(cue, Undone) and cue.later
    if later and isinstance(seen, StatusSaid) and seen.heard.endswith(_BY_THE_VET):
        moods.pieces[told] = turned(seen, FollowUpSaid, value="vet")  # "to be seen by the vet"
        return
    foot = past(moods.pieces, at + 1, LINKS)
    passed_over = isinstance(cue, Undone) and cue.passes_over
    if passed_over and isinstance(get(moods.pieces, foot), FEET):
        after = get(moods.pieces, past(moods.pieces, foot + 1, LINKS))
        if isinstance(get(moods.pieces, foot + 1), LeftUndone) or is_clean(after):
            return  # "left the hinds for march", "leave the fronts, they're fine"
        moods.leave_out(foot)  # "leave the fronts, trim the hinds"
        return
    if _is_of_foot(moods, at) or _is_other_foot(moods, at):
        return
    if not later and is_word(get(moods.pieces, at + 1), moods.words.own_verbs):
        return  # "couldn't swear to which, pared both"
    for deed in _deeds_ahead(moods.pieces, at):
        if _is_another_clause(moods, at, deed) or _is_of_what_it_may_be(moods.pieces, at, deed):
            return
        if later and _is_done_then(moods.pieces, at, deed):
            moods.silence(deed)
        else:
            undo(moods, deed, later=later)


def _is_of_what_it_may_be(pieces: Sequence[Piece], at: int, deed: int) -> bool:
    """ "Might just be a stain, pared it", "it'll be sore, block inner", "cubicles need a word, feet trimmed"."""
    between, cue = pieces[at + 1 : deed], pieces[at].heard
    first = get(pieces, at + 1)
    if cue.endswith(" be") and isinstance(first, (*MODIFIERS, StatusSaid)):
        return True
    if (
        cue.endswith((" a", " an"))
        and isinstance(first, (Filler, Leftover))
        and is_told(pieces[deed])
    ):
        return True
    be = any(is_word(one, _BE) for one in between)
    thing = any(isinstance(one, Leftover) or one.heard.startswith("a ") for one in between)
    return be and thing and is_told(pieces[deed])


def _is_done_then(pieces: Sequence[Piece], at: int, deed: int) -> bool:
    """ "Needed a good trim, did all four": what was needed was done."""
    needed = pieces[at].heard.startswith("needed")
    return needed and any(
        isinstance(one, ActionSaid) and one.value == value_of(pieces[deed])
        for one in pieces[deed + 1 :]
    )


def _is_other_foot(moods: Moods, at: int) -> bool:
    """ "Meant to do the fronts and forgot, hinds trimmed": the deed is of the other feet."""
    pieces = moods.pieces
    deed = ahead(pieces, at, (ActionSaid,))
    foot = past(pieces, at + 1, LINKS)
    other = None if deed is None else seek(pieces, foot + 1, FEET, deed)
    if other is None or not isinstance(get(pieces, foot), FEET):
        return False
    between = {word for one in pieces[foot + 1 : other] for word in one.heard.split()}
    if not between or between <= {"and", "or", "the", "both"}:
        return False
    moods.leave_out(foot)
    return True


def _is_of_foot(moods: Moods, at: int) -> bool:
    """ "Couldn't lift the left hind, trimmed the rest": of the deed that was done another foot is said."""
    pieces = moods.pieces
    foot = seek(pieces, at + 1, FEET)
    deed = ahead(pieces, at, DEEDS)
    if (
        foot is None
        or deed is None
        or foot > deed
        or past(pieces, at + 1, (*LINKS, Leftover)) < foot
    ):
        return False
    done, other = pieces[deed], past(pieces, deed + 1, LINKS)
    told = isinstance(done, ActionSaid) and is_told(done)
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
    return deed if off and block.value in COMES_OFF and not is_told(block) else None


def _deeds_ahead(pieces: Sequence[Piece], at: int) -> Iterator[int]:
    """Yield the deeds that a cue reaches: the next, and those joined to it by "and"."""
    deed = ahead(pieces, at, DEEDS)
    if (
        deed is not None
        and (
            pieces[deed].heard == "did"  # "wouldn't stand for us, did the hinds only"
            or _is_put_off(pieces, deed)
            or sum(isinstance(one, FEET) for one in pieces[at:deed]) > 1
        )
    ):
        return  # "wouldn't let me near the left hind, rest trimmed"
    if deed is None:  # "will spray it": a product said alone is a deed
        between = range(at + 1, past(pieces, at + 1, BETWEEN))
        deed = next((i for i in between if _is_topical(pieces[i])), None)
    while deed is not None:
        yield deed
        following = ahead(pieces, deed, DEEDS)
        if following is None or not _joined(pieces[deed + 1 : following]):
            return
        deed = following


def begins_clause(pieces: Sequence[Piece], deed: int) -> bool:
    """Whether a deed has its own object and so ends what was denied: "not cut, ask the vet", "…, pared both"."""
    piece, after = pieces[deed], get(pieces, deed + 1)
    verb, *rest = piece.heard.split()
    if isinstance(piece, FollowUpSaid):
        return verb in _ASKS and bool(rest)
    own = not _OBJECTS.isdisjoint(rest) or (isinstance(after, Filler) and after.heard in _OBJECTS)
    return own and is_told(piece)


def _is_another_clause(moods: Moods, at: int, deed: int) -> bool:
    """ "Couldn't swear to it, pared both", "won't answer, sprayed them": what could not be done has its own verb."""
    said = [word for one in moods.pieces[at + 1 : deed] for word in one.heard.split()]
    verbs = [w for w in said if w not in moods.words.before_deed and not w.endswith("ly")]
    return bool(verbs) and begins_clause(moods.pieces, deed)


def _is_put_off(pieces: Sequence[Piece], deed: int) -> bool:
    """ "Couldn't finish the right front, do it friday"."""
    piece, when = pieces[deed], get(pieces, past(pieces, deed + 1, LINKS))
    return isinstance(piece, FollowUpSaid) and piece.heard == "do" and isinstance(when, TimeSaid)


def _is_topical(piece: Piece) -> bool:
    return isinstance(piece, Material) and piece.of == "topical"


def _joined(between: Sequence[Piece]) -> bool:
    return any(isinstance(piece, Filler) and piece.value in _AND for piece in between)


def undo(moods: Moods, at: int, *, later: bool) -> None:
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
    silence_own(moods, at)
    _silence_foot(moods, at)
    if later:
        moods.set_aside(at, "action-not-done", f"{piece.heard!r} was said as not yet done")
    else:
        moods.deny(at)


def _silence_foot(moods: Moods, at: int) -> None:
    """ "Fronts done, couldn't do the hinds": of that foot nothing else is said."""
    foot = past(moods.pieces, at + 1, LINKS)
    after = get(moods.pieces, past(moods.pieces, foot + 1, LINKS))
    ends = after is None or isinstance(after, (Break, *FEET, FollowUpSaid, TimeSaid, StatusSaid))
    earlier = seek(moods.pieces, 0, FEET, at) is not None
    if earlier and ends and isinstance(get(moods.pieces, foot), FEET):
        moods.silence(foot)


def is_due(pieces: Sequence[Piece], at: int) -> bool:
    """Whether a deed is named and not told: "to wrap it", "block it tomorrow", "next time trim"."""
    piece = pieces[at]
    word = get(pieces, at - 1)
    if _is_topical(piece):
        to = isinstance(word, Filler) and word.value == "to"
        return to or (
            _is_future(get(pieces, past(pieces, at + 1, (Filler,))))
            and is_word(get(pieces, at + 1), _IT)
        )
    if not isinstance(piece, ActionSaid) or is_told(piece):
        return False
    if isinstance(word, Filler) and word.value == "to":
        return True  # "had to" and "managed to" are fillers of their own
    if piece.if_dated:
        return False
    after = past(pieces, at + 1, BETWEEN)
    if _is_future(get(pieces, after)) and not _names_end(pieces[at + 1 : after]):
        return not _takes_time(get(pieces, past(pieces, after + 1, LINKS)))
    before = back(pieces, at - 1, LINKS)
    return _is_future(get(pieces, before)) and not _takes_time(
        get(pieces, back(pieces, before - 1, BETWEEN))
    )


def _names_end(between: Sequence[Piece]) -> bool:
    """ "plaster on it, off friday", "block, leave it on till May": the time is that of the end."""
    return any(isinstance(piece, Filler) and piece.value in _TO_THE_END for piece in between)


def is_told(piece: Piece) -> bool:
    """Whether a deed is said in words for what was done: "wrapped", "put a block on"."""
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
