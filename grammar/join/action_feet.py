"""Which foot an action was done to."""

from collections.abc import Sequence

from grammar.join.action_plans import ON_CLAW, WHOLE_ANIMAL, kind_of, leads_to_finding
from grammar.join.beside import TURNS, begins_finding
from grammar.join.cursor import get, past
from grammar.join.feet import ALL_FEET
from grammar.join.finding_slots import Feet
from grammar.join.work import Work
from grammar.pieces import (
    CLAWS,
    FEET,
    MODIFIERS,
    ActionSaid,
    Foot,
    Lesion,
    Material,
    Region,
    Stage,
    Zone,
)

__all__ = ["nearest_feet"]

_PAIR = 2
_TURN = 3
"""A deed, a foot and a lesion."""
_DID = frozenset({"did", "do", "doing"})


def nearest_feet(work: Work, heads: Sequence[int], feet: Feet) -> dict[int, int]:
    """An action's foot: joined to it by "on", else the nearest before, else the first after."""
    sites = sorted(feet)
    found = _in_turn(work, heads, feet)
    position, before = 0, -1
    for head in heads:
        if head in found:
            continue
        while position < len(sites) and sites[position] < head:
            before = sites[position]
            position += 1
        known = {foot for site in sites[:position] for foot in feet[site]}
        own = _joined_foot(work, head, feet, known)
        if own is None and before >= 0:
            own = _picked_out(work, head, feet, before)
        if own is not None:
            found[head] = own
        elif before >= 0:
            found[head] = _sore_foot(work, sites[:position], head)
        elif position < len(sites) and (
            kind_of(work, head) != WHOLE_ANIMAL or isinstance(get(work.pieces, head + 1), CLAWS)
        ):
            found[head] = sites[position]
    return found


def _in_turn(work: Work, heads: Sequence[int], feet: Feet) -> dict[int, int]:
    """ "Wrapped left hind ulcer, sprayed right hind wart": one deed, foot and lesion after the other.

    Only where they come in one order from the first to the last, the deed before its foot.
    """
    kinds = dict.fromkeys(work.at(Lesion), "lesion")
    kinds |= {at: "foot" for at, named in feet.items() if named}
    kinds |= dict.fromkeys(heads, "deed")
    told = sorted(kinds.items())
    turns = [told[at : at + _TURN] for at in range(0, len(told), _TURN)]
    orders = {tuple(kind for _, kind in turn) for turn in turns}
    if len(turns) < 2 or len(orders) > 1 or sorted(*orders) != ["deed", "foot", "lesion"]:
        return {}
    if any(kind_of(work, head) == WHOLE_ANIMAL for head in heads):
        return {}  # "trimmed, right front ulcer, block on the inner, left hind wart"
    by_kind = [{kind: at for at, kind in turn} for turn in turns]
    return {one["deed"]: one["foot"] for one in by_kind if one["deed"] < one["foot"]}


def _picked_out(work: Work, head: int, feet: Feet, before: int) -> int | None:
    """ "Sprayed the hinds, wrapped only the right, M2 on it": one of those, whatever is said of it."""
    at = head + 1
    only = "only" in work.said_before(at) if at < len(work.pieces) else False
    if not feet.get(at) or (_has_foot(work, head) and not only):
        return None
    named = work.pieces[at].heard.startswith("the ") or work.before[at].endswith(("the", "only"))
    if not named:
        return None
    return at if set(feet[at]) < set(feet[before]) else None


def _sore_foot(work: Work, sites: Sequence[int], head: int) -> int:
    """Return the nearest of the feet before; "sprayed it" is of no foot that was said clean."""
    piece = work.pieces[head]
    it = "it" in (*piece.heard.split(), *work.said_behind(head))
    end = head
    for site in reversed(sites) if it and kind_of(work, head) != WHOLE_ANIMAL else ():
        lesions = [one for one in work.pieces[site + 1 : end] if isinstance(one, Lesion)]
        if not lesions or any(one.value != "no lesion" for one in lesions):
            return site
        end = site
    return sites[-1]


def _joined_foot(work: Work, head: int, feet: Feet, known: set[str]) -> int | None:
    """known: the feet named before, of which "wrap the left" picks one."""
    at = past(work.pieces, head + 1, (*CLAWS, Material, Region))
    if not isinstance(get(work.pieces, at), FEET) or (known and _is_over(work, head, at)):
        return None
    if at == head + 1 and _is_object(work, head, feet):
        return at
    if "and" in work.said_before(at) and _is_told_of(work, at):
        return None  # "all sprayed, and the hinds wrapped"
    if work.link[at]:
        return at
    if at == head + 1 and "and" in work.said_before(head) and work.before[at] == "the":
        return at  # "sprayed the left hind and wrapped the right hind, M2 on both"
    if _has_foot(work, head) and (_is_done(work, at) or work.pieces[head].heard == "done"):
        return None  # "fronts trimmed, the hinds were done by others"
    softly = work.link[at - 1] or (work.before[at].endswith("the") and at == head + 1)
    if at == head + 1 and not softly:
        softly = _picked(work, at, feet[at], known)
    if not softly and isinstance(work.pieces[at - 1], CLAWS):  # "block inner left hind" at the end
        softly = past(work.pieces, at + 1, ON_CLAW) >= len(work.pieces)
    if kind_of(work, head) == WHOLE_ANIMAL and at == head + 1 and work.before[at].endswith("the"):
        return at  # "dished out the right hind, outer sole ulcer"
    return at if softly and not leads_to_finding(work, at) else None


def _is_over(work: Work, head: int, at: int) -> bool:
    """ "Wrapped it, on the right hind there's a wart", "no block, then the left front has …"."""
    done = "it" in (*work.pieces[head].heard.split(), *work.said_behind(head))
    told = begins_finding(get(work.pieces, past(work.pieces, at + 1, (*CLAWS, *MODIFIERS, Zone))))
    return told and (done or not TURNS.isdisjoint(work.said_before(at)))


def _is_object(work: Work, head: int, feet: Feet) -> bool:
    """Whether the foot right behind a deed is its own, whatever is said of that foot or the next."""
    at = head + 1
    if work.pieces[head].heard in _DID:
        return True  # "did the fronts, all clear"
    foot = work.pieces[at]
    place = isinstance(foot, Foot) and foot.place  # "brought the toes back in front"
    if kind_of(work, head) == WHOLE_ANIMAL and (place or set(feet[at]) == set(ALL_FEET)):
        return True  # "trimmed all four, clean"
    one = set(feet.get(at + 1, ()))
    picked = len(feet[at]) == _PAIR and one and one < set(feet[at])
    # "trimmed both hinds, left M2", "trimmed the hinds, fronts fine": feet of a list are one piece
    return bool(picked) or (isinstance(get(work.pieces, at + 1), Foot) and one.isdisjoint(feet[at]))


def _has_foot(work: Work, head: int) -> bool:
    """ "Fronts trimmed": whether a foot stands right before a deed, and is of nothing else."""
    foot, other = get(work.pieces, head - 1), get(work.pieces, head - 2)
    return isinstance(foot, FEET) and not isinstance(other, (Lesion, Stage, ActionSaid, Material))


def _is_done(work: Work, foot: int) -> bool:
    """Whether a deed of its own stands right behind a foot."""
    after = get(work.pieces, foot + 1)
    return isinstance(after, ActionSaid) and not work.link[foot + 1]


def _is_told_of(work: Work, foot: int) -> bool:
    """Whether something of its own is said of a foot behind it."""
    after = get(work.pieces, past(work.pieces, foot + 1, ON_CLAW))
    return isinstance(after, (ActionSaid, Material)) or begins_finding(after)


def _picked(work: Work, at: int, feet: tuple[str, ...], known: set[str]) -> bool:
    """Whether a foot right behind an action is its own: "wrap the left", "wrapped left one".

    "Blocked, the rest trimmed": between two actions it is the later one's, unless that has its own
    ("wrapped the left, blocked the right").  A foot in full is the action's only where it ends the
    note and is among the feet named before, or they among it.
    """
    after = past(work.pieces, at + 1, ON_CLAW)
    done = isinstance(get(work.pieces, after), (ActionSaid, Material))
    subject = work.pieces[at].heard.endswith("'s") or work.said_behind(at)[:1] == ["is"]
    if subject and not done:
        return False  # "wrapped, left one's small"
    if "only" in work.said_behind(at) and not done:
        return True  # "trimmed in front only"; "right one only spray" is the spray's
    last = after >= len(work.pieces)
    if done:
        listed = isinstance(get(work.pieces, after + 1), FEET)
        if listed and isinstance(work.pieces[at], Foot) and set(feet) < known:
            return True  # "blocked the left hind inner, trimmed the right": each has its own
        if not listed and "and" not in work.said_before(after):
            return False
    if isinstance(work.pieces[at], Foot):
        return last and (not known or set(feet) < known or known <= set(feet))
    return work.pieces[at].heard.startswith("the ") or set(feet) < known
