""" "Same again on the other side": what was said for one foot is said once more for another."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from grammar.join.cursor import back, find_back, foot_start, get, past, seek
from grammar.join.near import silent
from grammar.join.replacing import half_foot
from grammar.join.shared_lists import TAKES_UP
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    LINKS,
    MODIFIERS,
    UNTAKEN,
    ActionSaid,
    Again,
    AnimalSaid,
    Claw,
    Course,
    Except,
    Filler,
    FollowUpSaid,
    Foot,
    Kinds,
    Leftover,
    Lesion,
    Material,
    MeasureSaid,
    No,
    Not,
    Number,
    On,
    OtherFeet,
    Piece,
    Score,
    Severity,
    Stage,
    StatusSaid,
    TimeSaid,
    With,
    Zone,
    is_side,
    turned,
)
from grammar.records import How

__all__ = ["Copied", "copy_again"]

_NOT_COPIED = (
    *FEET, FollowUpSaid, TimeSaid, StatusSaid, Score, MeasureSaid, Again, Number, Leftover, Course,
)  # fmt: skip
_OWN = (Severity, Stage, Zone)
"""Of which a lesion has one."""
_OF_ACTIONS = (ActionSaid, Material, On, With)
_TOO = frozenset({"too", "as well", "also", "likewise"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Copied:
    """Where "same again" was said."""

    first: int
    last: int
    plain: bool
    """Whether it took over one lesion, or that there is none, and nothing else, to a foot that is named."""


def copy_again(pieces: Sequence[Piece]) -> tuple[list[Piece], Copied | None]:
    """Replace "same again" by what it repeats; return the pieces and where it was said.

    The words after it name the foot or claw ("same on the right hind"); where the foot stands
    before it ("right hind the same"), the part before that foot is repeated.  "Same" that repeats
    nothing stays as it is, a filler.
    """
    result: list[Piece] = []
    where: Copied | None = None
    at = 0
    while at < len(pieces):
        piece = _as_meant(pieces, at, result)
        after = at + 1
        copied = _copied_here(pieces, at, piece, result)
        site: Sequence[Piece] = ()
        if isinstance(piece, Again):
            site, after = _site_after(pieces, at + 1)
            if _is_of_next(pieces, after, result):
                site, after = (), at + 1
            if not site:
                result = _claw_behind(result)
            copied = _repeated(pieces, piece, after, site, result)
            after = after if copied else at + 1
            said = site if copied else [silent(piece)]
        else:
            said = [piece]
        if copied:
            plain = _is_plain(piece, copied, site) and (where is None or where.plain)
            where = Copied(first=piece.first, last=piece.last, plain=plain)
        result += [*said, *copied]
        at = after
    return result, where


def _is_of_next(pieces: Sequence[Piece], after: int, said: Sequence[Piece]) -> bool:
    """ "Right front the same, left hind M two": the foot behind has something of its own."""
    own = get(pieces, past(pieces, after, (*LINKS, *MODIFIERS)))
    waits = get(said, back(said, len(said) - 1, (*LINKS, Claw)))
    told = isinstance(own, (*FINDINGS, Stage)) or isinstance(get(pieces, after), Stage)
    return told and isinstance(waits, FEET)


def _is_plain(again: Piece, copied: Sequence[Piece], site: Sequence[Piece]) -> bool:
    """Whether nothing is open: copied work would be billed, "the same claw" may be the claw alone."""
    names_foot = not site or any(isinstance(piece, FEET) for piece in site)
    lesions = sum(isinstance(piece, FINDINGS) for piece in copied)
    lesions = lesions or sum(isinstance(piece, Stage) for piece in copied)  # "M two" is a finding
    doubted = any(isinstance(piece, (ActionSaid, Not, No)) for piece in copied)
    spoken = isinstance(again, (Again, Foot)) and "claw" not in again.heard
    return spoken and names_foot and lesions == 1 and not doubted


def _claw_behind(said: list[Piece]) -> list[Piece]:
    """ "Outer on the right hind the same": the claw is that foot's, unless a deed has taken it."""
    foot = back(said, len(said) - 1, LINKS)
    claw = back(said, foot - 1, LINKS)
    linked = any(isinstance(piece, On) for piece in said[claw + 1 : foot])
    if not (isinstance(get(said, foot), FEET) and isinstance(get(said, claw), CLAWS) and linked):
        return said
    deed = back(said, claw - 1, (*LINKS, Material))
    has_own = isinstance(get(said, back(said, deed - 1, LINKS)), CLAWS)
    if isinstance(get(said, deed), ActionSaid) and not has_own:
        return said  # "blocked the outer, on the right hind the same"
    return [*said[:claw], said[foot], said[claw], *said[foot + 1 :]]


def _as_meant(pieces: Sequence[Piece], at: int, said: Sequence[Piece]) -> Piece:
    """ "Left the same" is half a foot; "and the left front too" says the same again."""
    piece = pieces[at]
    if is_side(piece) and isinstance(get(pieces, past(pieces, at + 1, LINKS)), Again):
        return half_foot(piece)
    too = _is_too(pieces, at, said) or _is_like_it(pieces, at, said)
    return turned(piece, Again, value=piece.heard) if too else piece


def _is_like_it(pieces: Sequence[Piece], at: int, said: Sequence[Piece]) -> bool:
    """ "Left hind just the same": as the foot before it, where nothing else is said of it."""
    piece, foot = pieces[at], get(said, back(said, len(said) - 1, LINKS))
    like = isinstance(piece, Course) and piece.heard.endswith(" the same")
    after = get(pieces, past(pieces, at + 1, LINKS))
    return like and isinstance(foot, FEET) and not isinstance(after, (*FINDINGS, Stage))


def _copied_here(
    pieces: Sequence[Piece], at: int, piece: Piece, said: Sequence[Piece]
) -> Sequence[Piece]:
    """Return what a foot takes over without "same": "and the other hind", "right hind grade one"."""
    if _is_other_too(pieces, at):
        return _copy(said, [piece])
    graded = _graded(pieces, at, said)
    return [] if graded is None else [graded]


def _repeated(
    pieces: Sequence[Piece], again: Piece, after: int, site: Sequence[Piece], said: Sequence[Piece]
) -> Sequence[Piece]:
    """Return what "same again" takes over."""
    copied = _without_denied(_copy(said, site), pieces, after)
    anew = _told_anew(pieces, after)
    copied = [one for one in copied if not isinstance(one, anew)]
    if "claw" in again.heard:  # "ulcer … the same claw on the right hind": what is said of it?
        if isinstance(get(pieces, after), (*TAKES_UP, ActionSaid)):
            copied = [one for one in copied if isinstance(one, CLAWS)]
        if isinstance(get(said, back(said, len(said) - 1, LINKS)), ActionSaid):
            return []  # "block the same claw on the right hind"
    return copied


def _told_anew(pieces: Sequence[Piece], at: int) -> Kinds:
    """ "Right hind the same but milder": what that foot has of its own is not taken over."""
    end = past(pieces, at, (*LINKS, *UNTAKEN, Except, *_OWN))
    if isinstance(get(pieces, end), (*FINDINGS, *CLAWS)):
        return ()  # "same on the right, severe wart left front"
    return tuple({type(one) for one in pieces[at:end] if isinstance(one, _OWN)})


def _without_denied(copied: Sequence[Piece], pieces: Sequence[Piece], at: int) -> list[Piece]:
    """ "Ulcer outer, block inner, same on the right hind but no block": no deed that is denied there."""
    end = seek(pieces, at, (*FEET, AnimalSaid))
    denied: set[str] = set()
    for place, piece in enumerate(pieces[at:end], start=at):
        deed = get(pieces, past(pieces, place + 1, (*LINKS, Material)))
        if isinstance(piece, (No, Not)) and isinstance(deed, ActionSaid):
            denied.add(deed.value)
    kept: list[Piece] = []
    of_denied = False
    for piece in copied:
        if isinstance(piece, ActionSaid):
            of_denied = piece.value in denied
        elif not isinstance(piece, (*CLAWS, *LINKS, Material)):
            of_denied = False
        if not of_denied:
            kept.append(piece)
    return kept


def _is_other_too(pieces: Sequence[Piece], at: int) -> bool:
    """ "left hind outer ulcer and the other hind": said of the other too, if of nothing else."""
    piece = pieces[at]
    if not isinstance(piece, OtherFeet) or piece.value != "across":
        return False
    joint = pieces[back(pieces, at - 1, LINKS) + 1 : at]
    joined = any(isinstance(one, Filler) and one.value == "and" for one in joint)
    after = get(pieces, past(pieces, at + 1, LINKS))
    return joined and not isinstance(after, (*TAKES_UP, *MODIFIERS, ActionSaid))


def _is_too(pieces: Sequence[Piece], at: int, said: Sequence[Piece]) -> bool:
    """ "Toe ulcer outer, and the left front too": a foot joined by "and" of which no more is said."""
    if not isinstance(pieces[at], Filler) or pieces[at].heard not in _TOO:
        return False
    foot = back(said, len(said) - 1, (Claw,))
    if not isinstance(get(said, foot), FEET):
        return False
    joint = said[back(said, foot - 1, LINKS) + 1 : foot]
    joined = any(isinstance(one, Filler) and one.value == "and" for one in joint)
    after = get(pieces, past(pieces, at + 1, LINKS))
    return joined and not isinstance(after, (*TAKES_UP, *MODIFIERS))


def _graded(pieces: Sequence[Piece], at: int, said: Sequence[Piece]) -> Piece | None:
    """ "Left hind erosion grade two, right hind grade one": the same lesion there, graded anew."""
    foot = pieces[at]
    if not isinstance(foot, Foot):
        return None
    grade = past(pieces, at + 1, (*LINKS, *CLAWS))
    if not isinstance(get(pieces, grade), Severity):
        return None
    if (told := _graded_before(pieces, at, grade, said)) is not None:
        return told
    after = get(pieces, past(pieces, grade + 1, LINKS))
    behind = get(pieces, past(pieces, grade + 1, (*LINKS, ActionSaid, Material)))
    if isinstance(after, (*TAKES_UP, *FINDINGS, *MODIFIERS, Zone)):
        return None
    if isinstance(behind, FINDINGS):
        return None  # "left hind severe, drained, thin sole": it has a lesion of its own
    start = foot_start(said, len(said))
    part = [one for one in said[start:] if isinstance(one, (*FINDINGS, Severity))]
    before = get(said, start - 1)
    other = isinstance(before, Foot) and set(before.value).isdisjoint(foot.value)
    if not other or [type(one) for one in part] not in ([Lesion, Severity], [Severity, Lesion]):
        return None
    if any(isinstance(one, Lesion) for one in said[: start - 1]) and isinstance(part[0], Severity):
        return None  # "heel erosion left hind severe, sole ulcer right hind mild"
    lesion = next(one for one in part if isinstance(one, Lesion))
    return replace(lesion, how=How.INFERRED, corrections=())


def _graded_before(
    pieces: Sequence[Piece], at: int, grade: int, said: Sequence[Piece]
) -> Piece | None:
    """ "Sole bruise grade two right hind outer, left hind outer grade one": the lesion stands first."""
    foot, head = pieces[at], find_back(said, len(said) - 1, FINDINGS)
    behind = get(pieces, past(pieces, grade + 1, (*LINKS, *MODIFIERS, *CLAWS, Zone)))
    if isinstance(behind, (*FINDINGS, Stage)):
        return None
    if head is None or isinstance(get(said, back(said, head - 1, (*LINKS, *CLAWS))), FEET):
        return None
    told = [one for one in said[head:] if not isinstance(one, (*LINKS, *CLAWS, Zone))]
    kinds = [type(one) for one in told]
    if kinds not in ([Lesion, Severity, Foot], [Lesion, Foot, Severity]):
        return None
    named = next(one for one in told if isinstance(one, Foot))
    if not isinstance(foot, Foot) or not set(named.value).isdisjoint(foot.value):
        return None
    return replace(told[0], how=How.INFERRED, corrections=())


def _site_after(pieces: Sequence[Piece], at: int) -> tuple[list[Piece], int]:
    """Return the foot and claw said right after, and where the note goes on."""
    site: list[Piece] = []
    after = at
    while at < len(pieces):
        piece = pieces[at]
        if isinstance(piece, Claw) and piece.of_both_feet:
            break  # "same on the other side, both inners blocked"
        if isinstance(piece, FEET + CLAWS):
            site.append(pieces[at])
            after = at + 1
        elif not isinstance(pieces[at], LINKS):
            break
        at += 1
    return site, after


def _copy(said: Sequence[Piece], site: Sequence[Piece]) -> list[Piece]:
    """Return copies of the last foot's part, with its claw unless another one is named."""
    end = len(said) if site else _before_dangling_foot(said)
    if end is None:
        return []
    site = site or said[end + 1 :]
    foot_part = [*_lesion_before(said, end), *said[foot_start(said, end) : end]]
    part = [piece for piece in foot_part if not isinstance(piece, _NOT_COPIED)]
    if not any(isinstance(piece, (*FINDINGS, ActionSaid, Stage)) for piece in part):
        return []
    if any(isinstance(piece, CLAWS) for piece in site):
        part = [piece for piece in part if not isinstance(piece, _OF_ACTIONS + CLAWS)]
    return [
        piece if isinstance(piece, LINKS) else replace(piece, how=How.INFERRED, corrections=())
        for piece in part
    ]


def _lesion_before(said: Sequence[Piece], end: int) -> Sequence[Piece]:
    """ "Sole ulcer left hind lateral, …": the lesion of the last foot, where it was said before it."""
    start = foot_start(said, end)
    if start == 0 or any(isinstance(piece, FINDINGS) for piece in said[start:end]):
        return []
    lesion = back(said, start - 2, (*LINKS, *CLAWS, *MODIFIERS, Zone))
    earlier = find_back(said, lesion, FEET) if lesion >= 0 else None
    stage = next((i for i in range(start - 2, lesion, -1) if isinstance(said[i], Stage)), None)
    if stage is not None and not isinstance(get(said, lesion), FINDINGS):
        lesion, earlier = stage, find_back(said, stage, FEET)  # "M two on the left hind"
    first = back(said, lesion - 1, MODIFIERS) + 1
    begins = isinstance(get(said, lesion), (*FINDINGS, Stage)) and earlier is None
    return said[first : start - 1] if begins else []


def _before_dangling_foot(said: Sequence[Piece]) -> int | None:
    """Return where the last foot stands if nothing was said for it yet."""
    last = back(said, len(said) - 1, (*LINKS, Claw))
    return last if isinstance(get(said, last), FEET) else None
