"""What was done, with its own foot, claw and material."""

from collections.abc import Collection, Sequence
from dataclasses import replace
from itertools import pairwise

from grammar.join.action_feet import nearest_feet
from grammar.join.action_plans import WHOLE_ANIMAL, ActionPlan, kind_of, names_two
from grammar.join.cursor import find_back, get, past
from grammar.join.feet import ALL_FEET
from grammar.join.finding_slots import Feet, claw_slots
from grammar.join.findings import Found
from grammar.join.replacing import OTHER_CLAW
from grammar.join.work import Work
from grammar.pieces import (
    CLAWS,
    FEET,
    MODIFIERS,
    ActionSaid,
    Claw,
    Foot,
    Lesion,
    Material,
    OtherClaw,
    Piece,
    Region,
    TimeSaid,
    is_clean,
    slot_of,
)
from grammar.records import Action, How, Slot

__all__ = ["make_actions"]

_BOTH = frozenset({"both", "each"})
_ON = frozenset({"in", "of", "on", "the"})
_THE_LOT = ("the lot", "all round", "all around", "all the feet", "every foot")
_OF_ALL = frozenset({"topical", "wrap", "functional trim", "block", "block removed"})
"""What "all" before says of all feet named: "all sprayed"; "all drained" is wholly drained."""


def make_actions(
    work: Work,
    plans: Sequence[ActionPlan],
    feet: Feet,
    found: Found,
) -> list[Action]:
    """Make one action for each foot and claw said."""
    nearest = nearest_feet(work, [plan.head for plan in plans], feet)
    sore = {
        finding.foot.value if finding.foot else None: finding.claw.value
        for finding in found.findings
        if finding.claw and finding.lesion.value != "no lesion"
    }
    lesioned = {
        finding.foot.value
        for finding in found.findings
        if finding.foot and finding.lesion.value != "no lesion"
    }
    made: list[Action] = []
    for plan in plans:
        piece = work.pieces[plan.head]
        kind = slot_of(piece, kind_of(work, plan.head))
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
        plural = plural or _claw_on_both(work, plan)
        for at, foot in _feet_of(work, plan.head, feet, site, lesioned, both=plural) or [
            (None, None)
        ]:
            foot_slot = slot_of(work.pieces[at], foot) if foot and at is not None else None
            made += [
                Action(kind=kind, foot=foot_slot, claw=claw, material=_material(work, plan))
                for claw in _claw_slots(work, claw_piece, sore.get(foot))
            ]
        if not found.findings or names_two(work, plan.head, site or 0):
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


def _claw_on_both(work: Work, plan: ActionPlan) -> bool:
    """ "Blocks inside on both", "blocked the opposite claw on each"."""
    claw = plan.claw
    if claw is None or claw < plan.head or _BOTH.isdisjoint(work.said_behind(claw)):
        return False
    return not isinstance(get(work.pieces, claw + 1), (*FEET, *CLAWS))


def _said_once(made: Sequence[Action]) -> list[Action]:
    """ "Toes nipped, all four balanced" is one trim of each foot, and none without a foot.

    "Blocked now, left hind outer ulcer, block inner" is one block, on the inner.
    """
    blocks = [one for one in made if one.kind.value == "block" and one.foot]
    bare = {
        one.foot.value: one
        for one in blocks
        if one.foot and not one.claw and any(b.claw and _same_foot(b, one) for b in blocks)
    }
    made = [
        replace(one, material=one.material or bare[one.foot.value].material)
        if one.kind.value == "block" and one.foot and one.foot.value in bare
        else one
        for one in made
        if one not in bare.values()
    ]
    placed = any(one.kind.value == WHOLE_ANIMAL and one.foot is not None for one in made)
    kept: list[Action] = []
    for one in made:
        trim = one.kind.value == WHOLE_ANIMAL
        again = any(_same_deed(b, one) and _same_site(b, one) for b in kept)
        again = again or (trim and one.foot is None and any(_same_deed(b, one) for b in kept))
        if not again and not (placed and trim and one.foot is None):
            kept.append(one)  # "trimmed both hinds, not lame, just routine" is one trim
    return kept


def _same_deed(one: Action, other: Action) -> bool:
    """Whether two deeds are of one kind and material."""
    materials = one.material and one.material.value, other.material and other.material.value
    return one.kind.value == other.kind.value and materials[0] == materials[1]


def _same_site(one: Action, other: Action) -> bool:
    claws = one.claw and one.claw.value, other.claw and other.claw.value
    return one.foot is not None and _same_foot(one, other) and claws[0] == claws[1]


def _same_foot(one: Action, other: Action) -> bool:
    return bool(one.foot and other.foot and one.foot.value == other.foot.value)


def _listed_sites(work: Work, plan: ActionPlan, site: int | None) -> list[int]:
    """ "Took off two blocks, left hind inner, right hind inner": the further feet, claws behind.

    Only where the list, each foot with its claw, stands right behind the action and ends the note.
    """
    first = past(work.pieces, plan.head + 1, (Material, TimeSaid))
    if site != first or plan.claw != first + 1:
        return []
    if names_two(work, plan.head, first):
        return [first + 2]
    listed = range(first + 2, len(work.pieces), 2)
    whole = all(
        isinstance(work.pieces[at], Foot) and isinstance(get(work.pieces, at + 1), Claw)
        for at in listed
    )
    return list(listed) if whole else []


def _feet_of(
    work: Work, head: int, feet: Feet, site: int | None, sore: Collection[str], *, both: bool
) -> list[tuple[int | None, str | None]]:
    """Return the feet of an action with their pieces; "both sprayed" is of the last two said.

    sore: feet with a lesion. both: whether its claw is one of several feet: "both inners blocked".
    """
    if site is None:
        return []
    sites = [site]
    last = head
    while isinstance(get(work.pieces, last + 1), ActionSaid) and work.before[last + 1] == "and":
        last += 1  # "sprayed and wrapped both"
    after = get(work.pieces, last + 1)
    before = get(work.pieces, head - 1)
    both = both or ("both" in work.said_before(head) and not isinstance(before, ActionSaid))
    behind = [word for word in work.said_behind(last) if word not in _ON]
    blocks = work.pieces[head].heard.endswith("s")  # "blocks on both, inner"
    told = not isinstance(after, FEET if blocks else FEET + CLAWS)
    both = both or (behind[:1] == ["both"] and told)
    both = both or ("pair" in behind[:2] and told)  # "sprayed the pair of them"
    both = both or (behind[:2] == ["two", "them"] and told)
    if both and len(feet[site]) == 1:
        sites = [at for at in sorted(feet) if at <= site and feet[at] and at < head][-2:] or sites
    if "all" in work.said_before(head) and kind_of(work, head) in _OF_ALL and len(feet[site]) == 1:
        sites = [at for at in sorted(feet) if at < head and feet[at]] or sites
    if kind_of(work, head) == WHOLE_ANIMAL and site < head:
        if _is_of_all(work, head):
            return [(head, foot) for foot in ALL_FEET]
        sites = _clean_list(work, head, feet) or sites
    else:
        sites = _of_them(work, head, feet, sore) or sites
    sites += _told_alike(work, site, feet) if site > head else []
    by_foot = {foot: at for at in sites for foot in feet[at]}
    return [(at, foot) for foot, at in by_foot.items()]


def _of_them(work: Work, head: int, feet: Feet, sore: Collection[str]) -> list[int]:
    """ "Left hind M2, right hind M4, sprayed them": the sore feet before it that no deed stands between."""
    if "them" not in (*work.pieces[head].heard.split(), *work.said_behind(head)[:1]):
        return []
    sites = [at for at in sorted(feet) if at < head and not set(feet[at]).isdisjoint(sore)]
    for at, following in reversed(list(pairwise(sites))):
        if any(isinstance(one, (ActionSaid, Material)) for one in work.pieces[at:following]):
            return [site for site in sites if site > at]
    return sites


def _told_alike(work: Work, site: int, feet: Feet) -> list[int]:
    """ "Sprayed the left hind wart and the right hind wart": the further feet of the list."""
    found: list[int] = []
    at = site
    while True:
        lesion, other = get(work.pieces, at + 1), at + 2
        again = get(work.pieces, other + 1)
        if not isinstance(lesion, Lesion) or not feet.get(other) or not isinstance(again, Lesion):
            return found
        if "and" not in work.said_before(other) or again.value != lesion.value:
            return found
        found.append(other)
        at = other


def _is_of_all(work: Work, head: int) -> bool:
    """ "Left hind wart, fronts clean, trimmed the lot": the whole animal."""
    behind = [*work.said_behind(head)]
    ends = head + 1 == len(work.pieces) and behind == ["all"]  # "left hind ulcer, trimmed all"
    words = " ".join((work.pieces[head].heard, *behind))
    return ends or any(word in words for word in _THE_LOT)


def _clean_list(work: Work, head: int, feet: Feet) -> list[int]:
    """ "Left hind clean, right hind clean, trimmed": the clean feet said one after another."""
    found: list[int] = []
    end = head
    for at in sorted((at for at in feet if at < head and feet[at]), reverse=True):
        said = work.pieces[at + 1 : end]
        found_clean = any(is_clean(one) for one in said)  # "ulcer left hind outer" stands before it
        if not found_clean or not all(is_clean(one) or isinstance(one, CLAWS) for one in said):
            break
        found.insert(0, at)
        end = at
    return found if len(found) > 1 else []


def _is_on_lesion(piece: Piece) -> bool:
    """Whether it is done to the lesion's claw: drained, pared, sprayed; never a block or a wrap."""
    return isinstance(piece, Material) or (isinstance(piece, ActionSaid) and piece.on_lesion)


def _claw_of_lesion(
    work: Work, head: int, feet: Feet, site: int | None, found: Found
) -> int | None:
    """Return the one claw of the lesion worked on: said right behind, else the last before.

    None where the work was said for a foot that the lesion is not on.
    """
    behind = past(work.pieces, head + 1, (Material, Region))
    told = get(work.pieces, behind)  # "drained it, nothing on the inner" is of the one before
    if site is not None and site == behind and not isinstance(told, Lesion):
        behind = past(work.pieces, site + 1, (*CLAWS, *MODIFIERS))
        told = get(work.pieces, behind)  # "drained the left hind outer abscess"
    lesion = behind if isinstance(told, Lesion) and not is_clean(told) else None
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


def _material(work: Work, plan: ActionPlan) -> Slot[str] | None:
    said = (work.pieces[i] for i in plan.materials)
    parts = [piece for piece in said if isinstance(piece, Material)]
    piece = work.pieces[plan.head]
    if not parts:
        named = piece.material if isinstance(piece, ActionSaid) else None
        return slot_of(piece, named) if named else None
    words = [part.value for part in parts]
    heard = [part.heard for part in parts]
    if isinstance(piece, ActionSaid) and piece.material and parts[-1].last <= piece.first:
        words.append(piece.material)  # "rubber shoe"
        heard.append(piece.material)
    return Slot(
        value=" ".join(words),
        heard=" ".join(heard),
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
