"""What was done, with its own foot, claw and material."""

from collections.abc import Sequence
from dataclasses import dataclass

from grammar.join.finding_slots import Feet
from grammar.join.pieces import CLAW_KINDS, FOOT_KINDS, Piece, slot_of
from grammar.join.work import Work
from grammar.records import Action, Finding, How, Slot

__all__ = ["ActionPlan", "make_actions", "plan_actions"]

OTHER_CLAW = {"outer": "inner", "inner": "outer"}
_BETWEEN = CLAW_KINDS | FOOT_KINDS | {"region", "severity", "zone", "tissue"}
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
    for head in work.at("action"):
        if head and _repeats(work, head):
            continue
        materials = _materials(work, head, taken)
        taken.update(materials)
        plans.append(_plan(work, head, materials))
    for head in work.at("material"):
        if head in taken:
            continue
        if work.pieces[head].more == "topical":
            plans.append(_plan(work, head, (head,)))
        else:
            work.loose.add(head)
    return sorted(plans, key=lambda plan: plan.head)


def _repeats(work: Work, head: int) -> bool:
    """ "opened and drained" is one action."""
    before = work.pieces[head - 1]
    return before.kind == "action" and before.value == work.pieces[head].value


def _plan(work: Work, head: int, materials: tuple[int, ...]) -> ActionPlan:
    return ActionPlan(
        head=head,
        materials=materials,
        claw=_own_claw(work, head),
        claw_before=_claw_before(work, head),
    )


def _materials(work: Work, head: int, taken: set[int]) -> tuple[int, ...]:
    """ "rubber block", "block rubber", "sprayed with oxytet", "wrapped with salicylic paste"."""
    kind = str(work.pieces[head].value)
    found: list[int] = []
    at = head - 1
    while at >= 0 and at not in taken and _is_material(work, at, kind):
        found.insert(0, at)
        at -= 1
    at = head + 1
    while at < len(work.pieces) and _is_material(work, at, kind, after=True):
        found.append(at)
        at += 1
    return tuple(found)


def _is_material(work: Work, at: int, kind: str, *, after: bool = False) -> bool:
    piece = work.pieces[at]
    if piece.kind != "material":
        return False
    if kind == "wrap":
        return after and work.link[at] and piece.more == "topical"
    return bool(piece.more == kind)


def _own_claw(work: Work, head: int) -> int | None:
    """Sites joined by "on" or said directly behind an action are its own; else a claw before it."""
    at = head + 1
    while at < len(work.pieces) and work.pieces[at].kind == "material":
        at += 1
    claw: int | None = None
    while at < len(work.pieces) and work.pieces[at].kind in CLAW_KINDS | FOOT_KINDS | {"region"}:
        kind = work.pieces[at].kind
        if not work.link[at] and _of_another(work, head, at):
            break
        if kind in CLAW_KINDS:
            claw = at
        if kind not in FOOT_KINDS:
            work.owned.add(at)
        at += 1
    return claw


def _of_another(work: Work, head: int, at: int) -> bool:
    """Whether a site without "on" belongs to what follows: "drained, medial blocked"."""
    if work.pieces[head].value == _WHOLE_ANIMAL or _begins_finding(work, at):
        return True
    after = work.pieces[at + 1] if at + 1 < len(work.pieces) else None
    return (
        after is not None
        and after.kind == "action"
        and after.value == "block"
        and work.pieces[head].value != "block"
    )


def _begins_finding(work: Work, at: int) -> bool:
    """Whether a site without "on" begins the next finding: "wrapped, inner sole ulcer"."""
    of_foot = work.pieces[at].kind in FOOT_KINDS
    for piece in work.pieces[at + 1 :]:
        if not of_foot and piece.kind in FOOT_KINDS:
            return False
        if piece.kind not in _BETWEEN:
            return piece.kind in ("lesion", "stage", "denied")
    return False


def _claw_before(work: Work, head: int) -> int | None:
    at = head - 1
    while at >= 0 and work.pieces[at].kind == "material":
        at -= 1
    return at if at >= 0 and work.pieces[at].kind in CLAW_KINDS and at not in work.owned else None


def make_actions(
    work: Work,
    plans: Sequence[ActionPlan],
    feet: Feet,
    findings: Sequence[Finding],
    taken_claws: set[int],
) -> list[Action]:
    """Make one action for each foot and claw said."""
    nearest = _nearest_feet(work, [plan.head for plan in plans], feet)
    sore = {
        finding.foot.value if finding.foot else None: finding.claw.value
        for finding in findings
        if finding.claw and finding.lesion.value != "no lesion"
    }
    made: list[Action] = []
    for plan in plans:
        piece = work.pieces[plan.head]
        kind = slot_of(piece, piece.value if piece.kind == "action" else "topical")
        site = nearest.get(plan.head)
        claw_piece = plan.claw
        if claw_piece is None and plan.claw_before not in taken_claws:
            claw_piece = plan.claw_before
        for foot in (feet[site] if site is not None else ()) or (None,):
            foot_slot = slot_of(work.pieces[site], foot) if foot and site is not None else None
            made += [
                Action(kind=kind, foot=foot_slot, claw=claw, material=_material(work, plan))
                for claw in _claw_slots(work, claw_piece, sore.get(foot))
            ]
    return made


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
        elif position < len(sites) and work.pieces[head].value != _WHOLE_ANIMAL:
            found[head] = sites[position]
    return found


def _joined_foot(work: Work, head: int, feet: Feet, known: set[str]) -> int | None:
    """known: the feet named before, of which "wrap the left" picks one."""
    at = head + 1
    while at < len(work.pieces) and work.pieces[at].kind in CLAW_KINDS | {"material", "region"}:
        at += 1
    if at >= len(work.pieces) or work.pieces[at].kind not in FOOT_KINDS:
        return None
    if work.link[at]:
        return at
    softly = work.link[at - 1] or (work.before[at].endswith("the") and at == head + 1)
    if at == head + 1 and not softly:
        softly = _picked(work, at, feet[at], known)
    return at if softly and not _begins_finding(work, at) else None


def _picked(work: Work, at: int, feet: tuple[str, ...], known: set[str]) -> bool:
    """Whether a foot right behind an action is its own: "wrap the left", "wrapped left one".

    "Blocked, the rest trimmed": between two actions it is the later one's, unless that has its own
    ("wrapped the left, blocked the right").  A foot in full is the action's only where it ends the
    note and is among the feet named before, or they among it.
    """
    after = at + 1
    while after < len(work.pieces) and work.pieces[after].kind in _BETWEEN - FOOT_KINDS:
        after += 1
    last = after >= len(work.pieces)
    if not last and work.pieces[after].kind in ("action", "material"):
        listed = after + 1 < len(work.pieces) and work.pieces[after + 1].kind in FOOT_KINDS
        if not listed and "and" not in work.before[after].split():
            return False
    if work.pieces[at].kind == "foot":
        return last and (set(feet) < known or (bool(known) and known < set(feet)))
    return work.pieces[at].heard.startswith("the ") or set(feet) < known


def _material(work: Work, plan: ActionPlan) -> Slot[str] | None:
    parts = [work.pieces[i] for i in plan.materials]
    piece = work.pieces[plan.head]
    if not parts:
        named = piece.more.material if piece.kind == "action" else None
        return slot_of(piece, named) if named else None
    return Slot(
        value=" ".join(str(part.value) for part in parts),
        heard=" ".join(part.heard for part in parts),
        first=parts[0].first, last=parts[-1].last, how=parts[0].how,
        rejected=tuple(value for part in parts for value in part.rejected),
    )  # fmt: skip


def _claw_slots(work: Work, claw: int | None, sore: str | None) -> list[Slot[str] | None]:
    """The spoken claw; "the sound claw" is the one without the lesion, where that is known."""
    if claw is None:
        return [None]
    piece: Piece = work.pieces[claw]
    if piece.kind == "claw":
        values = ("outer", "inner") if piece.value == "both" else (piece.value,)
        return [slot_of(piece, value) for value in values]
    if sore is None:
        return [None]
    return [slot_of(piece, OTHER_CLAW[sore] if piece.value == "sound" else sore, How.INFERRED)]
