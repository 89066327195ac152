"""Lesions whose foot stands right behind them, though another foot was said before.

"Blocked the left hind inner, ulcer right hind outer": the left hind has had its say.
"""

from collections.abc import Iterator

from grammar.join.beside import TURNS, begins_finding
from grammar.join.cursor import back, find_back, get, past
from grammar.join.work import Work
from grammar.pieces import (
    CLAWS,
    FEET,
    MODIFIERS,
    ActionSaid,
    Denied,
    Foot,
    Lesion,
    Material,
    Piece,
    Region,
    Zone,
)
from grammar.records import Question

__all__ = ["ask_which_foot", "feet_behind", "find_own_feet"]

_DETAILS = (*MODIFIERS, Zone, Region, *CLAWS)
_OF_ANY_FOOT = "functional trim"


def find_own_feet(work: Work) -> dict[int, int]:
    """Return lesion -> the foot behind it, where the foot before has had its say."""
    return {head: foot for head, _, foot, sure in _told(work) if sure}


def ask_which_foot(work: Work) -> None:
    """Ask of a lesion between two feet which both have work of their own; it stays with the first."""
    for head, before, foot, sure in _told(work):
        if sure:
            continue
        lesion, one, other = (work.pieces[at] for at in (head, before, foot))
        feet = tuple(
            "+".join(foot.value) if isinstance(foot, Foot) else foot.heard for foot in (one, other)
        )
        what = f"{lesion.heard!r}: on {feet[0]} or {feet[1]}?"
        work.questions.append(
            Question(
                check="foot-between", what=what, first=lesion.first, last=lesion.last,
                candidates=feet,
            )
        )  # fmt: skip


def _told(work: Work) -> Iterator[tuple[int, int, int, bool]]:
    """Yield each lesion between two feet: it, the feet before and behind, and if it is the latter's."""
    taken: set[int] = set()
    for head, foot in feet_behind(work).items():
        before = find_back(work.pieces, head - 1, FEET, ())
        if before is None or before in taken:
            continue
        sure = _has_had_its_say(work, before, head, foot)
        if sure is not None:
            yield head, before, foot, sure
        if sure:
            taken.add(foot)


def feet_behind(work: Work) -> dict[int, int]:
    """Return lesion -> the foot right behind it, unless that foot begins the next finding or a trim."""
    found: dict[int, int] = {}
    for head in reversed(work.at(Lesion)):
        foot = past(work.pieces, head + 1, _DETAILS)
        if not isinstance(get(work.pieces, foot), FEET):
            continue
        after = past(work.pieces, foot + 1, _DETAILS)
        piece = get(work.pieces, after)
        if not _trims(piece) and (not begins_finding(piece) or after in found):
            found[head] = foot
    return dict(reversed(found.items()))


def _trims(piece: Piece | None) -> bool:
    """Whether a foot is trimmed; "trimmed it back" is of the lesion."""
    return (
        isinstance(piece, ActionSaid)
        and piece.value == _OF_ANY_FOOT
        and "it" not in piece.heard.split()
    )


def _stands_behind(work: Work, foot: int) -> bool:
    """Whether the foot before is itself one that stands behind its lesion."""
    return isinstance(get(work.pieces, back(work.pieces, foot - 1, _DETAILS)), Lesion)


def _has_had_its_say(work: Work, before: int, head: int, foot: int) -> bool | None:
    """Whether a lesion and work were told of the foot before; False where it may be, None if not."""
    told = work.pieces[before + 1 : head]
    after = get(work.pieces, past(work.pieces, foot + 1, _DETAILS))
    goes_on = isinstance(after, (ActionSaid, Material))
    stands_behind = _stands_behind(work, before)
    found = stands_behind or any(isinstance(piece, Lesion) for piece in told)
    if found and (any(map(_is_deed_denied, told)) or _begins_anew(work, head)):
        return (
            True  # "left hind wart, no block, bruise inner right hind"; "…, then bruise right hind"
        )
    if any(isinstance(piece, (ActionSaid, Material)) for piece in told):
        if found:
            return True
        return False if goes_on else None
    if stands_behind:
        return None
    deed = get(work.pieces, back(work.pieces, before - 1, (*CLAWS, Material)))
    if isinstance(deed, Denied) and not told:
        return True  # "no wart left hind, wart right hind"
    if not isinstance(deed, ActionSaid) or deed.value == _OF_ANY_FOOT:
        return None
    if past(work.pieces, before + 1, CLAWS) < back(work.pieces, head - 1, MODIFIERS) + 1:
        return None
    named = work.link[before] or work.before[before].endswith("the")
    return bool(named or not goes_on)


def _is_deed_denied(piece: Piece) -> bool:
    return isinstance(piece, Denied) and piece.value == "deed"


def _begins_anew(work: Work, head: int) -> bool:
    """Whether a word such as "then" or "also" stands before a lesion and its details."""
    first = back(work.pieces, head - 1, (*MODIFIERS, Zone)) + 1
    return not TURNS.isdisjoint(work.said_before(first))
