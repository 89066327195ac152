"""What was done, with its own foot, claw and material."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from grammar.join.beside import begins_finding
from grammar.join.cursor import back, find_back, get, past
from grammar.join.feet import ALL_FEET
from grammar.join.finding_slots import OTHER_CLAW, Feet, claw_slots
from grammar.join.findings import Found
from grammar.join.work import Work
from grammar.pieces import (
    CLAWS,
    FEET,
    ActionSaid,
    Claw,
    Foot,
    Lesion,
    Material,
    OtherClaw,
    Piece,
    Region,
    Severity,
    Tissue,
    Zone,
    slot_of,
)
from grammar.records import Action, How, Slot

__all__ = ["ActionPlan", "make_actions", "plan_actions"]

_ON_CLAW = (*CLAWS, Region, Severity, Zone, Tissue)
"""What may stand between a foot and what is said of it."""
_OF_ALL = frozenset({"topical", "wrap", "functional trim", "block", "block removed"})
"""What "all" before says of all feet named: "all sprayed"; "all drained" is wholly drained."""
_TWO = frozenset({"two", "both"})
_WHOLE_ANIMAL = "functional trim"
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
        if (head and _repeats(work, head)) or _is_named_next(work, head):
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
    return isinstance(before, ActionSaid) and before.value == _kind(work, head)


def _is_said_anew(work: Work, before: ActionPlan, head: int) -> bool:
    """ "Blocked inner, plastic block" is one block."""
    same = _kind(work, head) == _kind(work, before.head) == "block"
    between = past(work.pieces, before.head + 1, (*CLAWS, Material))
    claw = isinstance(get(work.pieces, head + 1), CLAWS)
    return same and between == head and not claw and not before.materials


def _is_named_next(work: Work, head: int) -> bool:
    """ "blocked with a plastic shoe" is one block."""
    following = get(work.pieces, past(work.pieces, head + 1, (Material,)))
    same = isinstance(following, ActionSaid) and following.value == _kind(work, head)
    return same and isinstance(following, ActionSaid) and following.material is not None


def _kind(work: Work, head: int) -> str:
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
    kind = _kind(work, head)
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
    first = past(work.pieces, head + 1, (Material,))
    if _names_two(work, head, first):
        work.owned.add(first + 1)
        if not isinstance(get(work.pieces, first + 4), Lesion):
            work.owned.add(first + 3)
        return first + 1
    for at in range(first, past(work.pieces, first, (*CLAWS, *FEET, Region))):
        two = isinstance(work.pieces[at], CLAWS) and isinstance(get(work.pieces, at + 1), CLAWS)
        if not work.link[at] and not two and _of_another(work, head, at):
            break  # "block inner for the outer sole ulcer": of two claws the first is the block's
        if claw == first + 1 and at > claw and isinstance(work.pieces[first], FEET):
            break  # "blocks left hind inner, right hind outer": each foot has its own
        if isinstance(work.pieces[at], CLAWS):
            claw = at
        if not isinstance(work.pieces[at], FEET):
            work.owned.add(at)
    return claw


def _names_two(work: Work, head: int, first: int) -> bool:
    """ "Took off two blocks, left hind inner, right hind inner": each foot with its claw."""
    said = work.pieces[head].heard.split()
    listed = (Foot, Claw, Foot, Claw)
    pieces = work.pieces[first : first + len(listed)]
    return (
        not _TWO.isdisjoint(said)
        and len(pieces) == len(listed)
        and all(map(isinstance, pieces, listed))
    )


def _of_another(work: Work, head: int, at: int) -> bool:
    """Whether a site without "on" belongs to what follows: "drained, medial blocked"."""
    if _kind(work, head) == _WHOLE_ANIMAL or _begins_finding(work, at):
        return True
    after = get(work.pieces, at + 1)
    blocks = isinstance(after, ActionSaid) and after.value == "block"
    return blocks and _kind(work, head) != "block"


def _begins_finding(work: Work, at: int) -> bool:
    """Whether a site without "on" begins the next finding: "wrapped, inner sole ulcer"."""
    own_foot = FEET if isinstance(work.pieces[at], FEET) else ()
    end = past(work.pieces, at + 1, (*_ON_CLAW, *own_foot))
    if any("for" in work.said_before(i) for i in range(at + 1, min(end + 1, len(work.pieces)))):
        return False  # "block on the left hind inner for the ulcer on the outer"
    claw = past(work.pieces, end + 1, (Severity, Zone, Tissue))
    own = isinstance(get(work.pieces, claw), CLAWS) and work.link[claw]
    if own or "the" in work.said_before(min(end, len(work.pieces) - 1)):
        return False  # "block off left hind inner, the ulcer on the outer is healed"
    return begins_finding(get(work.pieces, end))


def _claw_before(work: Work, head: int) -> int | None:
    at = back(work.pieces, head - 1, (Material,))
    return at if isinstance(get(work.pieces, at), CLAWS) and at not in work.owned else None


def make_actions(
    work: Work,
    plans: Sequence[ActionPlan],
    feet: Feet,
    found: Found,
) -> list[Action]:
    """Make one action for each foot and claw said."""
    nearest = _nearest_feet(work, [plan.head for plan in plans], feet)
    sore = {
        finding.foot.value if finding.foot else None: finding.claw.value
        for finding in found.findings
        if finding.claw and finding.lesion.value != "no lesion"
    }
    made: list[Action] = []
    for plan in plans:
        piece = work.pieces[plan.head]
        kind = slot_of(piece, _kind(work, plan.head))
        site = nearest.get(plan.head)
        claw_piece = plan.claw
        if claw_piece is None and plan.claw_before not in found.taken_claws:
            claw_piece = plan.claw_before
        spoken = (plan.claw, plan.claw_before)
        if claw_piece is None and _is_on_lesion(piece):
            claw_piece = _claw_of_lesion(work, plan.head, feet, site, found)
        own = work.pieces[claw_piece] if claw_piece is not None else None
        named = site is not None and site > plan.head and claw_piece == plan.claw_before
        plural = (
            claw_piece in spoken
            and not named
            and (
                (isinstance(own, Claw) and own.of_both_feet)
                or (isinstance(own, OtherClaw) and own.heard.endswith("s"))
            )
        )
        for at, foot in _feet_of(work, plan.head, feet, site, both=plural) or [(None, None)]:
            foot_slot = slot_of(work.pieces[at], foot) if foot and at is not None else None
            made += [
                Action(kind=kind, foot=foot_slot, claw=claw, material=_material(work, plan))
                for claw in _claw_slots(work, claw_piece, sore.get(foot))
            ]
        if not found.findings or _names_two(work, plan.head, site or 0):
            made += [
                Action(
                    kind=kind,
                    foot=slot_of(work.pieces[at], foot),
                    claw=claw,
                    material=_material(work, plan),
                )
                for at in _listed_sites(work, plan, site)
                for foot in feet[at]
                for claw in _claw_slots(work, at + 1, sore.get(foot))
            ]
    return _said_once(made)


def _said_once(made: Sequence[Action]) -> list[Action]:
    """ "Toes nipped, all four balanced" is one trim of each foot, and none without a foot."""
    placed = any(one.kind.value == _WHOLE_ANIMAL and one.foot is not None for one in made)
    return [
        one for one in made if not (placed and one.kind.value == _WHOLE_ANIMAL and one.foot is None)
    ]


def _listed_sites(work: Work, plan: ActionPlan, site: int | None) -> list[int]:
    """ "Took off two blocks, left hind inner, right hind inner": the further feet, claws behind.

    Only where the list, each foot with its claw, stands right behind the action and ends the note.
    """
    first = past(work.pieces, plan.head + 1, (Material,))
    if site != first or plan.claw != first + 1:
        return []
    if _names_two(work, plan.head, first):
        return [first + 2]
    listed = range(first + 2, len(work.pieces), 2)
    whole = all(
        isinstance(work.pieces[at], Foot) and isinstance(get(work.pieces, at + 1), Claw)
        for at in listed
    )
    return list(listed) if whole else []


def _feet_of(
    work: Work, head: int, feet: Feet, site: int | None, *, both: bool
) -> list[tuple[int | None, str | None]]:
    """Return the feet of an action with their pieces; "both sprayed" is of the last two said.

    both: whether its claw is one of several feet: "both inners blocked".
    """
    if site is None:
        return []
    sites = [site]
    after = get(work.pieces, head + 1)
    both = both or "both" in work.said_before(head)
    both = both or (work.said_behind(head)[:1] == ["both"] and not isinstance(after, FEET + CLAWS))
    if both and len(feet[site]) == 1:
        sites = [at for at in sorted(feet) if at <= site and feet[at] and at < head][-2:] or sites
    if "all" in work.said_before(head) and _kind(work, head) in _OF_ALL and len(feet[site]) == 1:
        sites = [at for at in sorted(feet) if at < head and feet[at]] or sites
    by_foot = {foot: at for at in sites for foot in feet[at]}
    return [(at, foot) for foot, at in by_foot.items()]


def _is_on_lesion(piece: Piece) -> bool:
    """Whether it is done to the lesion's claw: drained, pared, sprayed; never a block or a wrap."""
    return isinstance(piece, Material) or (isinstance(piece, ActionSaid) and piece.on_lesion)


def _claw_of_lesion(
    work: Work, head: int, feet: Feet, site: int | None, found: Found
) -> int | None:
    """Return the one claw of the lesion worked on: said right behind, else the last before.

    None where the work was said for a foot that the lesion is not on.
    """
    behind = past(work.pieces, head + 1, (Material,))
    lesion = behind if isinstance(get(work.pieces, behind), Lesion) else None
    if lesion is None:
        lesion = find_back(work.pieces, head - 1, (Lesion,), ())
    if lesion is None or lesion not in found.claw_of:
        return None
    claw = found.claw_of[lesion]
    own = found.foot_of.get(lesion)
    same = own == site or (
        own is not None and site is not None and set(feet[site]) <= set(feet[own])
    )
    return claw if same and len(claw_slots(work, claw)) == 1 else None


def _nearest_feet(work: Work, heads: Sequence[int], feet: Feet) -> dict[int, int]:
    """An action's foot: joined to it by "on", else the nearest before, else the first after."""
    sites = sorted(feet)
    found: dict[int, int] = {}
    position, before = 0, -1
    for head in heads:
        while position < len(sites) and sites[position] < head:
            before = sites[position]
            position += 1
        known = {foot for site in sites[:position] for foot in feet[site]}
        own = _joined_foot(work, head, feet, known)
        if own is not None:
            found[head] = own
        elif before >= 0:
            found[head] = before
        elif position < len(sites) and _kind(work, head) != _WHOLE_ANIMAL:
            found[head] = sites[position]
    return found


def _joined_foot(work: Work, head: int, feet: Feet, known: set[str]) -> int | None:
    """known: the feet named before, of which "wrap the left" picks one."""
    at = past(work.pieces, head + 1, (*CLAWS, Material, Region))
    if not isinstance(get(work.pieces, at), FEET):
        return None
    if "and" in work.said_before(at) and _is_told_of(work, at):
        return None  # "all sprayed, and the hinds wrapped"
    if work.link[at]:
        return at
    softly = work.link[at - 1] or (work.before[at].endswith("the") and at == head + 1)
    if at == head + 1 and not softly:
        softly = _picked(work, at, feet[at], known)
    if not softly and isinstance(work.pieces[at - 1], CLAWS):  # "block inner left hind" at the end
        softly = past(work.pieces, at + 1, _ON_CLAW) >= len(work.pieces)
    return at if softly and not _begins_finding(work, at) else None


def _is_told_of(work: Work, foot: int) -> bool:
    """Whether something of its own is said of a foot behind it."""
    after = get(work.pieces, past(work.pieces, foot + 1, _ON_CLAW))
    return isinstance(after, (ActionSaid, Material)) or begins_finding(after)


def _picked(work: Work, at: int, feet: tuple[str, ...], known: set[str]) -> bool:
    """Whether a foot right behind an action is its own: "wrap the left", "wrapped left one".

    "Blocked, the rest trimmed": between two actions it is the later one's, unless that has its own
    ("wrapped the left, blocked the right").  A foot in full is the action's only where it ends the
    note and is among the feet named before, or they among it.
    """
    if "only" in work.said_behind(at):
        return True  # "trimmed in front only"
    after = past(work.pieces, at + 1, _ON_CLAW)
    last = after >= len(work.pieces)
    if isinstance(get(work.pieces, after), (ActionSaid, Material)):
        listed = isinstance(get(work.pieces, after + 1), FEET)
        if not listed and "and" not in work.said_before(after):
            return False
    if isinstance(work.pieces[at], Foot):
        whole = _kind(work, at - 1) == _WHOLE_ANIMAL and set(feet) == set(ALL_FEET)
        return whole or (last and (not known or set(feet) < known or known <= set(feet)))
    return work.pieces[at].heard.startswith("the ") or set(feet) < known


def _material(work: Work, plan: ActionPlan) -> Slot[str] | None:
    said = (work.pieces[i] for i in plan.materials)
    parts = [piece for piece in said if isinstance(piece, Material)]
    piece = work.pieces[plan.head]
    if not parts:
        named = piece.material if isinstance(piece, ActionSaid) else None
        return slot_of(piece, named) if named else None
    return Slot(
        value=" ".join(part.value for part in parts),
        heard=" ".join(part.heard for part in parts),
        first=parts[0].first, last=parts[-1].last, how=parts[0].how,
        rejected=tuple(value for part in parts for value in part.rejected),
    )  # fmt: skip


def _claw_slots(work: Work, claw: int | None, sore: str | None) -> list[Slot[str] | None]:
    """The spoken claw; "the sound claw" is the one without the lesion, where that is known."""
    piece = work.pieces[claw] if claw is not None else None
    if isinstance(piece, OtherClaw) and sore is not None:
        value = OTHER_CLAW[sore] if piece.value == "sound" else sore
        return [slot_of(piece, value, How.INFERRED)]
    return claw_slots(work, claw if isinstance(piece, Claw) else None)
