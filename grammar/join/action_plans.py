"""The pieces that are an action's own: its materials and its claw."""

from dataclasses import dataclass, replace

from grammar.join.beside import begins_finding
from grammar.join.cursor import back, get, past
from grammar.join.work import Work
from grammar.pieces import (
    CLAWS,
    COPULAS,
    FEET,
    ActionSaid,
    Claw,
    Course,
    Foot,
    Lesion,
    Material,
    Region,
    Severity,
    TimeSaid,
    Tissue,
    Zone,
)

__all__ = [
    "ON_CLAW",
    "WHOLE_ANIMAL",
    "ActionPlan",
    "kind_of",
    "leads_to_finding",
    "names_two",
    "plan_actions",
]

ON_CLAW = (*CLAWS, Region, Severity, Zone, Tissue)
"""What may stand between a foot and what is said of it."""
_SHARE = frozenset({"drained", "horn removed", "therapeutic trim", "topical", "wrap"})
"""Done where the lesion is: "sole ulcer, pared out left hind outer" tells the claw of both."""
_TWO = frozenset({"two", "both", "blocks", "wraps", "bandages"})
WHOLE_ANIMAL = "functional trim"
"""Said before any foot it is of the whole animal."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ActionPlan:
    """An action piece (or a product said alone) with the pieces that are its own."""

    head: int
    materials: tuple[int, ...]
    claw: int | None
    """The claw joined to it or said right behind it."""
    claw_before: int | None
    """The claw said right before it: its own unless a lesion has taken it."""


def plan_actions(work: Work) -> list[ActionPlan]:
    """Find the actions and mark the claws and regions that are theirs; nothing is made yet."""
    taken: set[int] = set()
    plans: list[ActionPlan] = []
    for head in work.at(ActionSaid):
        if _is_named_next(work, head):
            continue
        if head and _repeats(work, head):
            at = min(head + 1, len(work.link) - 1)
            if plans and (work.link[at] or work.said_before(at) == ["the"]):
                plans[-1] = _plan(work, head, plans[-1].materials)  # "… and balanced on the hinds"
            continue
        materials = _materials(work, head, taken)
        taken.update(materials)
        if plans and materials and _is_said_anew(work, plans[-1], head):
            plans[-1] = replace(plans[-1], materials=(*plans[-1].materials, *materials))
            continue
        plans.append(_plan(work, head, materials))
    for head, piece in enumerate(work.pieces):
        if not isinstance(piece, Material) or head in taken:
            continue
        if piece.of == "topical":
            plans.append(_plan(work, head, (head,)))
        else:
            work.loose.add(head)
    return sorted(plans, key=lambda plan: plan.head)


def _repeats(work: Work, head: int) -> bool:
    """ "opened and drained" is one action."""
    before = work.pieces[head - 1]
    same = isinstance(before, ActionSaid) and before.value == kind_of(work, head)
    return same and not _is_named_next(work, head - 1)  # "flushed, poulticed": the second stands


def _is_said_anew(work: Work, before: ActionPlan, head: int) -> bool:
    """ "Blocked inner, plastic block" is one block."""
    same = kind_of(work, head) == kind_of(work, before.head) == "block"
    between = past(work.pieces, before.head + 1, (*CLAWS, Material))
    claw = isinstance(get(work.pieces, head + 1), CLAWS)
    return same and between == head and not claw and not before.materials


def _is_named_next(work: Work, head: int) -> bool:
    """ "blocked with a plastic shoe" is one block."""
    following = get(work.pieces, past(work.pieces, head + 1, (Material,)))
    same = isinstance(following, ActionSaid) and following.value == kind_of(work, head)
    return same and isinstance(following, ActionSaid) and following.material is not None


def kind_of(work: Work, head: int) -> str:
    """Return the kind of an action; a product said alone is topical."""
    piece = work.pieces[head]
    return piece.value if isinstance(piece, ActionSaid) else "topical"


def _plan(work: Work, head: int, materials: tuple[int, ...]) -> ActionPlan:
    return ActionPlan(
        head=head,
        materials=materials,
        claw=_own_claw(work, head),
        claw_before=_claw_before(work, head),
    )


def _materials(work: Work, head: int, taken: set[int]) -> tuple[int, ...]:
    """ "rubber block", "block rubber", "sprayed with oxytet", "wrapped with salicylic paste"."""
    kind = kind_of(work, head)
    found: list[int] = []
    at = head - 1
    while at >= 0 and at not in taken and _is_material(work, at, kind):
        found.insert(0, at)
        at -= 1
    at = head + 1
    while at < len(work.pieces) and _is_material(work, at, kind, after=True):
        found.append(at)
        at += 1
    if not found and (late := _late_material(work, head, kind)) is not None:
        found.append(late)
    return tuple(found)


def _late_material(work: Work, head: int, kind: str) -> int | None:
    """ "block on the inner wooden": said behind the action's site, unless an action follows."""
    at = past(work.pieces, head + 1, (*CLAWS, *FEET))
    if at == head + 1 or at >= len(work.pieces) or kind == "wrap":
        return None
    takes = isinstance(get(work.pieces, past(work.pieces, at, (Material,))), ActionSaid)
    return at if not takes and _is_material(work, at, kind) else None


def _is_material(work: Work, at: int, kind: str, *, after: bool = False) -> bool:
    piece = work.pieces[at]
    if not isinstance(piece, Material):
        return False
    if kind == "wrap":
        return after and work.link[at] and piece.of == "topical"
    return piece.of == kind


def _own_claw(work: Work, head: int) -> int | None:
    """Sites joined by "on" or said directly behind an action are its own; else a claw before it."""
    claw: int | None = None
    shared = kind_of(work, head) in _SHARE
    first = past(work.pieces, head + 1, (Material, TimeSaid))
    if names_two(work, head, first):
        work.owned.add(first + 1)
        if not isinstance(get(work.pieces, first + 4), Lesion):
            work.owned.add(first + 3)
        return first + 1
    first = past(work.pieces, head + 1, (Material,))
    for at in range(first, past(work.pieces, first, (*CLAWS, *FEET, Region))):
        two = isinstance(work.pieces[at], CLAWS) and isinstance(get(work.pieces, at + 1), CLAWS)
        if not work.link[at] and not two and _of_another(work, head, at):
            break  # "block inner for the outer sole ulcer": of two claws the first is the block's
        if claw == first + 1 and at > claw and isinstance(work.pieces[first], FEET):
            break  # "blocks left hind inner, right hind outer": each foot has its own
        if isinstance(work.pieces[at], CLAWS):
            if claw is not None and not work.link[at]:
                break  # "blocked her on the medial, lateral's got the ulcer"
            claw = at
        is_claw = isinstance(work.pieces[at], CLAWS)
        if not isinstance(work.pieces[at], FEET) and not (shared and is_claw):
            work.owned.add(at)
    return claw


def names_two(work: Work, head: int, first: int) -> bool:
    """ "Took off two blocks, left hind inner, right hind inner": each foot with its claw.

    Also "blocked left hind inner and right hind inner", where the second is of no lesion behind it.
    """
    listed = (Foot, Claw, Foot, Claw)
    pieces = work.pieces[first : first + len(listed)]
    if len(pieces) < len(listed) or not all(map(isinstance, pieces, listed)):
        return False
    if not _TWO.isdisjoint((*work.pieces[head].heard.split(), *work.said_before(head))):
        return True
    end = past(work.pieces, first + len(listed), ON_CLAW)
    free = _has_own_claw(work, end) or not begins_finding(get(work.pieces, end))
    return free and "and" in work.said_before(first + 2)


def _of_another(work: Work, head: int, at: int) -> bool:
    """Whether a site without "on" belongs to what follows: "drained, medial blocked"."""
    if at == head + 1 and kind_of(work, head) == "block" and "the" in work.said_before(at):
        return False  # "blocked the inner, wart right hind"
    if kind_of(work, head) == "block removed" and _is_off_claw(work, at):
        return False
    if at == head + 1 and _has_one_each(work, head):
        return True  # "inner blocked, outer pared"
    deed = work.pieces[head]
    of_claw = isinstance(deed, ActionSaid) and deed.on_lesion  # "corkscrew, cut back the outer"
    if kind_of(work, head) == WHOLE_ANIMAL and not of_claw:
        return not _is_object(work, head) or leads_to_finding(work, at)
    if of_claw and _has_lesion_behind(work, at):
        return True  # "opened the right hind outer to get at the abscess"
    if leads_to_finding(work, at):
        return True
    after = get(work.pieces, at + 1)
    blocks = isinstance(after, ActionSaid) and after.value == "block"
    return blocks and kind_of(work, head) != "block"


def _is_off_claw(work: Work, at: int) -> bool:
    """ "Took it off the outer, put one on the inner"; "block off left hind inner, ulcer healed".

    A block is on the sound claw, and of a hind foot that is mostly the inner one (common practice).
    """
    at += isinstance(work.pieces[at], Foot)
    foot, claw = get(work.pieces, at - 1), get(work.pieces, at)
    hind = isinstance(foot, Foot) and all(one.endswith("H") for one in foot.value)
    inner = isinstance(claw, Claw) and claw.value == "inner"
    told = isinstance(get(work.pieces, at + 2), Course)
    off = isinstance(claw, CLAWS) and "off" in work.said_before(at)
    return off or (hind and inner and told)


def _has_one_each(work: Work, head: int) -> bool:
    """Whether the claw before a told deed is its own, and the claw behind it the next deed's."""
    before, behind, after = (get(work.pieces, head + step) for step in (-1, 1, 2))
    claws = isinstance(before, CLAWS) and isinstance(behind, CLAWS)
    told = work.pieces[head].heard.endswith("ed") and isinstance(after, ActionSaid)
    return claws and told and head - 1 not in work.owned and not work.link[head + 1]


def _is_object(work: Work, head: int) -> bool:
    """Whether the site behind a trim is what was trimmed: "levelled the outers", "… back on the inner"."""
    at = head + 1
    words = {*work.said_before(at), *work.pieces[at].heard.split()[:1]}
    return work.link[at] or not words.isdisjoint(("the", "both", "all"))


def _has_lesion_behind(work: Work, at: int) -> bool:
    """Whether a lesion without a site of its own is told behind the claw that was worked on."""
    end = past(work.pieces, at + 1, ON_CLAW)
    lesion = get(work.pieces, end)
    own = isinstance(get(work.pieces, end + 1), (*FEET, *CLAWS))
    return isinstance(work.pieces[at], CLAWS) and isinstance(lesion, Lesion) and not own


def leads_to_finding(work: Work, at: int) -> bool:
    """Whether a site without "on" begins the next finding: "wrapped, inner sole ulcer"."""
    own_foot = FEET if isinstance(work.pieces[at], FEET) else ()
    end = past(work.pieces, at + 1, (*ON_CLAW, *own_foot))
    if any("for" in work.said_before(i) for i in range(at + 1, min(end + 1, len(work.pieces)))):
        return False  # "block on the left hind inner for the ulcer on the outer"
    if _is_spoken_of(work, end):
        return False  # "block off right hind inner, ulcer's grown over"
    if _has_own_claw(work, end) or "the" in work.said_before(min(end, len(work.pieces) - 1)):
        return False  # "block off left hind inner, the ulcer on the outer is healed"
    return begins_finding(get(work.pieces, end))


def _is_spoken_of(work: Work, at: int) -> bool:
    """Whether a lesion is the subject of what is said next: "ulcer's healed", "the wart is dry"."""
    lesion = get(work.pieces, at)
    if not isinstance(lesion, Lesion):
        return False
    healed = isinstance(get(work.pieces, at + 1), Course)
    return healed and (lesion.heard.endswith("'s") or not COPULAS.isdisjoint(work.said_behind(at)))


def _has_own_claw(work: Work, lesion: int) -> bool:
    """ "Block inner, ulcer outer right hind": a claw behind the lesion that begins nothing itself."""
    claw = past(work.pieces, lesion + 1, (Severity, Zone, Tissue))
    foot = isinstance(get(work.pieces, claw), FEET)
    claw += foot
    if not isinstance(get(work.pieces, claw), CLAWS):
        return False
    behind = get(work.pieces, past(work.pieces, claw + 1, (*FEET, Severity, Zone, Tissue)))
    return work.link[claw] or not (begins_finding(behind) or isinstance(behind, ActionSaid))


def _claw_before(work: Work, head: int) -> int | None:
    at = back(work.pieces, head - 1, (Material,))
    return at if isinstance(get(work.pieces, at), CLAWS) and at not in work.owned else None
