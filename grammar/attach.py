"""One animal's pieces to its findings, actions, follow-ups, score, measures."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction
from itertools import product
from typing import Any

from grammar.records import (
    Action,
    Correction,
    Finding,
    FollowUp,
    How,
    Locomotion,
    Measure,
    Slot,
)
from grammar.sites import assign_carried, assign_own
from grammar.slots import Piece
from grammar.whens import When

__all__ = ["Attached", "attach"]

ALL_FEET = ("LF", "RF", "LH", "RH")
_LINKS = frozenset({"fill", "on", "with"})
_FOOT_KINDS = frozenset({"foot", "half", "footword"})
_CLAW_KINDS = frozenset({"claw", "clawword"})
_MODIFIERS = ("stage", "severity", "course", "tissue")
OTHER_CLAW = {"outer": "inner", "inner": "outer"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Attached:
    """What one animal's pieces came to."""

    findings: tuple[Finding, ...] = ()
    actions: tuple[Action, ...] = ()
    follow_ups: tuple[FollowUp, ...] = ()
    locomotion: Locomotion | None = None
    measures: tuple[Measure, ...] = ()
    status: tuple[Slot[str], ...] = ()
    denied: tuple[Slot[str], ...] = ()
    corrections: tuple[Correction, ...] = ()
    loose: tuple[Piece, ...] = ()
    """Pieces that fitted nowhere: an interval without a follow-up, a zone without a lesion …"""


@dataclass(slots=True, kw_only=True)
class _Work:
    """The pieces of one animal with what has been decided about each."""

    pieces: list[Piece]
    link: list[bool] = field(default_factory=list)
    """Whether "on", "with" … stood directly before the piece."""
    owned: set[int] = field(default_factory=set)
    """Sites, regions and materials that belong to an action."""
    loose: set[int] = field(default_factory=set)

    def at(self, *kinds: str) -> list[int]:
        return [i for i, piece in enumerate(self.pieces) if piece.kind in kinds]


def slot(piece: Piece, value: Any, how: How | None = None) -> Slot[Any]:
    """Make the slot of a piece."""
    return Slot(
        value=value, heard=piece.heard, first=piece.first, last=piece.last,
        how=how or piece.how, rejected=tuple(piece.rejected),
    )  # fmt: skip


def attach(pieces: Sequence[Piece]) -> Attached:
    """Attach one animal's pieces; never raises."""
    work = _prepare(pieces)
    denied = _take_denied(work)
    feet = _resolve_feet(work)
    actions, action_claws = _actions(work)
    findings = _findings(work, feet)
    follow_ups, dated = _follow_ups(work)
    made = _make_actions(work, actions, action_claws, feet, findings, dated)
    scores = work.at("locomotion")
    return Attached(
        findings=tuple(findings),
        actions=tuple(made),
        follow_ups=tuple(follow_ups),
        locomotion=_locomotion(work.pieces[scores[-1]]) if scores else None,
        measures=tuple(_measure(work.pieces[i]) for i in work.at("measure")),
        status=tuple(slot(work.pieces[i], work.pieces[i].value) for i in work.at("status")),
        denied=denied,
        corrections=tuple(c for piece in pieces for c in piece.corrections),
        loose=tuple(work.pieces[i] for i in sorted(work.loose)),
    )


# --- getting ready --------------------------------------------------------------------------


def _prepare(pieces: Sequence[Piece]) -> _Work:
    """Drop the fillers, remembering where "on" stood, and join foreign bodies with their size."""
    kept: list[Piece] = []
    link: list[bool] = []
    linked = False
    for piece in pieces:
        if piece.kind in _LINKS:
            linked = linked or piece.kind in ("on", "with") or piece.value in ("to", "under", "onto")
            continue
        if piece.kind == "object":
            piece = _foreign_body(piece, kept, link)
        elif piece.kind == "region" and piece.more.lesion_alone and _alone(piece, kept, pieces):
            piece = replace(
                piece, kind="lesion", value=piece.more.lesion_alone,
                how=How.ALIAS, more={"zone": piece.more.zone},
            )  # fmt: skip
        kept.append(piece)
        link.append(linked)
        linked = False
    return _Work(pieces=kept, link=link)


def _foreign_body(piece: Piece, kept: list[Piece], link: list[bool]) -> Piece:
    """"half inch screw" and "foreign body, a screw" are one foreign body."""
    first, heard, corrections = piece.first, piece.heard, piece.corrections
    if kept and kept[-1].kind == "measure" and not kept[-1].more:
        size = kept.pop()
        link.pop()
        heard, first = f"{size.heard} {heard}", size.first
        corrections = size.corrections + corrections
    named = piece.value if heard == piece.heard else f"{heard[: -len(piece.heard)]}{piece.value}"
    named = named.removeprefix("a ").removeprefix("an ")
    if kept and kept[-1].kind == "lesion" and kept[-1].value == "foreign body":
        body = kept.pop()
        link.pop()
        heard, first = f"{body.heard} {heard}", body.first
    return replace(
        piece, kind="lesion", value="foreign body", first=first, heard=heard,
        more={"object": named}, corrections=corrections, how=How.EXACT,
    )  # fmt: skip


def _alone(piece: Piece, kept: Sequence[Piece], pieces: Sequence[Piece]) -> bool:
    """Whether no lesion stands beside a region such as "white line at the toe"."""
    skip = _LINKS | _CLAW_KINDS | {"severity", "tissue", "stage"}
    before = next((p for p in reversed(kept) if p.kind not in skip), None)
    after = next((p for p in pieces if p.first >= piece.last and p.kind not in skip), None)
    return not any(p is not None and p.kind in ("lesion", "object") for p in (before, after))


def _take_denied(work: _Work) -> tuple[Slot[str], ...]:
    """"no ulcer there": the denied piece is kept as denied and makes no finding or action."""
    denied: list[Slot[str]] = []
    gone: set[int] = set()
    for i in work.at("no", "not"):
        gone.add(i)
        after = i + 1
        while after < len(work.pieces) and work.pieces[after].kind in ("severity", "tissue", "material", "course"):
            after += 1
        if after < len(work.pieces) and work.pieces[after].kind in ("lesion", "action", "followup"):
            gone |= set(range(i, after + 1))
            denied.append(slot(work.pieces[after], work.pieces[after].value))
        elif after - 1 > i:
            gone |= set(range(i, after))
            denied.append(slot(work.pieces[i + 1], work.pieces[i + 1].value))
    keep = [i for i in range(len(work.pieces)) if i not in gone]
    work.link = [work.link[i] for i in keep]
    work.pieces = [work.pieces[i] for i in keep]
    return tuple(denied)


# --- feet -----------------------------------------------------------------------------------


def _resolve_feet(work: _Work) -> dict[int, tuple[str, ...]]:
    """Return the feet each foot piece means; "the left", "other hind", "the rest" by context."""
    feet: dict[int, tuple[str, ...]] = {}
    current: tuple[str, ...] = ()
    named = {
        foot for i in work.at("foot") for foot in work.pieces[i].value
    }
    first = next((work.pieces[i].value for i in work.at("foot")), ())
    for i in work.at("foot", "half", "footword"):
        piece = work.pieces[i]
        if piece.kind == "foot":
            found = piece.value
        elif piece.kind == "half":
            found = _complete(piece, current or first)
        else:
            found = _foot_word(piece, current, named)
        feet[i] = found
        current = found or current
    return feet


def _complete(piece: Piece, known: tuple[str, ...]) -> tuple[str, ...]:
    row = piece.more
    side = row.side if row is not None else (piece.value if piece.value in ("left", "right") else None)
    end = row.end if row is not None else None
    if side:
        return tuple(dict.fromkeys(side[0].upper() + foot[1] for foot in known))
    if end:
        return tuple(dict.fromkeys(foot[0] + end[0].upper() for foot in known))
    return ()


def _foot_word(piece: Piece, known: tuple[str, ...], named: set[str]) -> tuple[str, ...]:
    if piece.value == "same":
        return known
    if piece.value == "rest":
        return tuple(foot for foot in ALL_FEET if foot not in named)
    other = {"L": "R", "R": "L"}
    return tuple(other[foot[0]] + foot[1] for foot in known)


# --- actions --------------------------------------------------------------------------------


def _actions(work: _Work) -> tuple[list[tuple[int, list[int]]], dict[int, int]]:
    """Return each action (or lone topical product) with its material pieces, and its own claw."""
    actions: list[tuple[int, list[int]]] = []
    claws: dict[int, int] = {}
    heads = work.at("action")
    taken: set[int] = set()
    for i in heads:
        materials = _materials(work, i, taken)
        taken.update(materials)
        actions.append((i, materials))
        _own_sites(work, i, claws)
    lone = [i for i in work.at("material") if i not in taken and work.pieces[i].more == "topical"]
    for i in lone:
        actions.append((i, [i]))
        _own_sites(work, i, claws)
    work.loose |= {i for i in work.at("material") if i not in taken and i not in lone}
    return sorted(actions), claws


def _materials(work: _Work, i: int, taken: set[int]) -> list[int]:
    kind = work.pieces[i].value
    before, after = i - 1, i + 1
    found: list[int] = []
    while before >= 0 and before not in taken and _fits(work, before, kind):
        found.insert(0, before)
        before -= 1
    while after < len(work.pieces) and _fits(work, after, kind, after=True):
        found.append(after)
        after += 1
    return found


def _fits(work: _Work, i: int, kind: str, *, after: bool = False) -> bool:
    piece = work.pieces[i]
    if piece.kind != "material":
        return False
    if kind in ("block", "topical"):
        return bool(piece.more == kind)
    return after and work.link[i] and piece.more == "topical" and kind == "wrap"


def _own_sites(work: _Work, i: int, claws: dict[int, int]) -> None:
    """Sites linked to an action by "on" are its own; so is a claw said directly after or before."""
    after = i + 1
    while after < len(work.pieces) and work.pieces[after].kind == "material":
        after += 1
    while after < len(work.pieces):
        kind = work.pieces[after].kind
        if kind not in _CLAW_KINDS | _FOOT_KINDS | {"region"}:
            break
        follows = next(
            (p.kind for p in work.pieces[after + 1 : after + 4]
             if p.kind not in _CLAW_KINDS | _FOOT_KINDS | {"region", "severity", "zone"}), "",
        )  # fmt: skip
        if not work.link[after] and follows == "lesion":
            break
        if kind in _CLAW_KINDS:
            claws[i] = after
            work.owned.add(after)
        elif kind == "region":
            work.owned.add(after)
        after += 1
    if i not in claws:
        before = i - 1
        while before >= 0 and work.pieces[before].kind == "material":
            before -= 1
        if before >= 0 and work.pieces[before].kind in _CLAW_KINDS:
            claws[i] = before


def _make_actions(
    work: _Work,
    actions: Sequence[tuple[int, list[int]]],
    claws: dict[int, int],
    feet: dict[int, tuple[str, ...]],
    findings: Sequence[Finding],
    dated: set[int],
) -> list[Action]:
    made: list[Action] = []
    sites = sorted(feet)
    nearest = _action_feet(work, [i for i, _ in actions], sites)
    for i, materials in actions:
        if i in dated:
            continue
        piece = work.pieces[i]
        kind = slot(piece, piece.value if piece.kind == "action" else "topical")
        material = _material_slot(work, i, materials)
        site = nearest.get(i)
        spoken = feet.get(site, ()) if site is not None else ()
        for foot in spoken or (None,):
            foot_slot = slot(work.pieces[site], foot) if foot and site is not None else None
            for claw in _action_claws(work, claws.get(i), foot, findings):
                made.append(Action(kind=kind, foot=foot_slot, claw=claw, material=material))
    return made


def _action_feet(work: _Work, heads: Sequence[int], sites: Sequence[int]) -> dict[int, int]:
    """An action's foot: linked directly after it, else the nearest before, else the first after."""
    found: dict[int, int] = {}
    position, before = 0, -1
    for head in heads:
        while position < len(sites) and sites[position] < head:
            before = sites[position]
            position += 1
        own = next(
            (i for i in range(head + 1, min(head + 4, len(work.pieces)))
             if work.pieces[i].kind in _FOOT_KINDS and _reaches(work, head, i)), None,
        )  # fmt: skip
        if own is not None:
            found[head] = own
        elif before >= 0:
            found[head] = before
        elif position < len(sites) and work.pieces[head].value != "functional trim":
            found[head] = sites[position]
    return found


def _reaches(work: _Work, head: int, site: int) -> bool:
    between = work.pieces[head + 1 : site]
    return work.link[site] and all(
        piece.kind in _CLAW_KINDS | {"material", "region"} for piece in between
    )


def _material_slot(work: _Work, i: int, materials: Sequence[int]) -> Slot[str] | None:
    parts = [work.pieces[m] for m in materials]
    if parts:
        return Slot(
            value=" ".join(part.value for part in parts),
            heard=" ".join(part.heard for part in parts),
            first=parts[0].first, last=parts[-1].last, how=parts[0].how,
            rejected=tuple(value for part in parts for value in part.rejected),
        )  # fmt: skip
    piece = work.pieces[i]
    named = piece.more.material if piece.kind == "action" and piece.more is not None else None
    return slot(piece, named) if named else None


def _action_claws(
    work: _Work, claw: int | None, foot: str | None, findings: Sequence[Finding]
) -> list[Slot[str] | None]:
    if claw is None:
        return [None]
    piece = work.pieces[claw]
    if piece.kind == "claw":
        values = ("outer", "inner") if piece.value == "both" else (piece.value,)
        return [slot(piece, value) for value in values]
    lesion = next(
        (f.claw.value for f in reversed(findings)
         if f.claw and f.lesion.value != "no lesion" and (f.foot.value if f.foot else None) == foot), None,
    )  # fmt: skip
    if lesion is None:
        return [None]
    return [slot(piece, OTHER_CLAW[lesion] if piece.value == "sound" else lesion, How.INFERRED)]


# --- findings -------------------------------------------------------------------------------


def _findings(work: _Work, feet: dict[int, tuple[str, ...]]) -> list[Finding]:
    heads = work.at("lesion")
    foot_of = assign_carried(heads, sorted(feet))
    claw_of = _claws_of(work, heads, foot_of)
    zone_of = assign_own(heads, work.at("zone"))
    regions = [i for i in work.at("region") if i not in work.owned]
    region_of = assign_own(heads, regions)
    modifiers = {kind: _modifiers_of(work, heads, work.at(kind)) for kind in _MODIFIERS}
    if not heads:
        work.loose |= set(work.at("zone", *_MODIFIERS)) | set(regions)
    findings: list[Finding] = []
    for head in heads:
        site = foot_of.get(head)
        findings += _expand(
            work, head,
            feet=[(site, foot) for foot in feet.get(site, ())] if site is not None else [],
            claw=claw_of.get(head),
            zones=zone_of[head],
            region=next(iter(region_of[head]), None),
            marks={kind: found[head] for kind, found in modifiers.items()},
        )  # fmt: skip
    return findings


def _claws_of(
    work: _Work, heads: Sequence[int], foot_of: dict[int, int]
) -> dict[int, int]:
    """Claws are assigned within each foot's part of the note."""
    claws = [i for i in work.at("claw", "clawword") if i not in work.owned]
    found: dict[int, int] = {}
    position = 0
    start = -1
    index = 0
    while index < len(heads):
        end = index
        site = foot_of.get(heads[index])
        while end < len(heads) and foot_of.get(heads[end]) == site:
            end += 1
        group = heads[index:end]
        stop = _part_end(work, group, site, heads[end] if end < len(heads) else None)
        while position < len(claws) and claws[position] <= start:
            position += 1
        mine = []
        while position < len(claws) and claws[position] < stop:
            mine.append(claws[position])
            position += 1
        found.update(assign_carried(group, mine))
        start, index = stop - 1, end
    return found


def _part_end(
    work: _Work, group: Sequence[int], site: int | None, following: int | None
) -> int:
    """Return where a foot's part ends: at the next foot, or after the sites behind its own foot."""
    if following is None:
        return len(work.pieces)
    if site is not None and site > group[-1]:
        end = site + 1
        while end < following and work.pieces[end].kind in _CLAW_KINDS | {"zone", "region"}:
            end += 1
        return end
    for i in range(group[-1] + 1, following):
        if work.pieces[i].kind in _FOOT_KINDS:
            return i
    return following


def _modifiers_of(
    work: _Work, heads: Sequence[int], sites: Sequence[int]
) -> dict[int, list[int]]:
    """A modifier directly before a lesion is that lesion's; else it goes with the one before it."""
    found: dict[int, list[int]] = {head: [] for head in heads}
    if not heads:
        return found
    position = 0
    for site in sites:
        while position < len(heads) and heads[position] < site:
            position += 1
        before = heads[position - 1] if position else None
        after = heads[position] if position < len(heads) else None
        if before is None or (
            after is not None
            and _directly_before(work, site, after, before, taken=bool(found[before]))
        ):
            found[after if after is not None else heads[-1]].append(site)
        else:
            found[before].append(site)
    return found


def _directly_before(
    work: _Work, site: int, after: int, before: int, *, taken: bool
) -> bool:
    """"severe sole ulcer", but "sole ulcer severe": nothing but modifiers up to the lesion."""
    ahead = all(piece.kind in _MODIFIERS for piece in work.pieces[site + 1 : after])
    behind = all(piece.kind in _MODIFIERS for piece in work.pieces[before + 1 : site])
    return ahead and (taken or not behind)


def _expand(
    work: _Work,
    head: int,
    *,
    feet: Sequence[tuple[int, str]],
    claw: int | None,
    zones: Sequence[int],
    region: int | None,
    marks: dict[str, list[int]],
) -> list[Finding]:
    """One finding for each foot, claw and zone said."""
    piece = work.pieces[head]
    more = piece.more if isinstance(piece.more, dict) else {}
    foot_slots = [slot(work.pieces[i], foot) for i, foot in feet] or [None]
    zone_slots = [slot(work.pieces[i], value) for i in zones for value in work.pieces[i].value]
    region_piece = work.pieces[region] if region is not None else None
    if not zone_slots and more.get("zone") is not None:
        zone_slots = [slot(piece, more["zone"], How.INFERRED)]
    if not zone_slots and region_piece is not None and region_piece.more.zone is not None:
        zone_slots = [slot(region_piece, region_piece.more.zone, How.INFERRED)]

    def last(kind: str) -> Slot[str] | None:
        found = marks[kind]
        if not found:
            return None
        made = slot(work.pieces[found[-1]], work.pieces[found[-1]].value)
        others = tuple(work.pieces[i].value for i in found[:-1])
        return replace(made, rejected=(*made.rejected, *others)) if others else made

    base = Finding(
        lesion=slot(piece, piece.value),
        stage=last("stage"),
        severity=last("severity"),
        course=last("course"),
        object=slot(piece, more["object"]) if "object" in more else None,
        tissue=tuple(slot(work.pieces[i], work.pieces[i].value) for i in marks["tissue"]),
        region=slot(region_piece, region_piece.value) if region_piece is not None else None,
    )
    return [
        replace(base, foot=foot, claw=claw_slot, zone=zone)
        for foot, claw_slot, zone in product(
            foot_slots, _finding_claws(work, claw), zone_slots or [None]
        )
    ]


def _finding_claws(work: _Work, claw: int | None) -> list[Slot[str] | None]:
    if claw is None or work.pieces[claw].kind != "claw":
        return [None]
    piece = work.pieces[claw]
    values = ("outer", "inner") if piece.value == "both" else (piece.value,)
    return [slot(piece, value) for value in values]


# --- follow-ups, scores, measures ---------------------------------------------------------------


def _follow_ups(work: _Work) -> tuple[list[FollowUp], set[int]]:
    """Join each follow-up with its time; an action such as "wrap off" with a time is one too."""
    made: list[FollowUp] = []
    dated: set[int] = set()
    pending: int | None = None
    open_head: int | None = None
    for i, piece in enumerate(work.pieces):
        if piece.kind == "when":
            if open_head is not None:
                _follow(work, open_head, i, made, dated)
                open_head = None
            elif pending is None:
                pending = i
            else:
                work.loose.add(i)
        elif piece.kind == "followup" or (piece.kind == "action" and piece.more.if_dated):
            if open_head is not None:
                _follow(work, open_head, None, made, dated)
                open_head = None
            if pending is not None:
                _follow(work, i, pending, made, dated)
                pending = None
            else:
                open_head = i
        elif piece.kind in ("lesion", "action", "animal"):
            if open_head is not None:
                _follow(work, open_head, None, made, dated)
                open_head = None
            if pending is not None:
                work.loose.add(pending)
                pending = None
    if open_head is not None:
        _follow(work, open_head, None, made, dated)
    if pending is not None:
        work.loose.add(pending)
    return made, dated


def _follow(
    work: _Work, head: int, when: int | None, made: list[FollowUp], dated: set[int]
) -> None:
    piece = work.pieces[head]
    time = work.pieces[when].value if when is not None else When(said="")
    if piece.kind == "action":
        if when is None:
            return
        dated.add(head)
        kind = slot(piece, piece.more.if_dated)
    else:
        if piece.more is not None and piece.more.only_dated and when is None:
            work.loose.add(head)
            return
        kind = slot(piece, piece.value)
    made.append(FollowUp(kind=kind, in_days=time.in_days, on=time.on, when=time.said))


def _locomotion(piece: Piece) -> Locomotion:
    return Locomotion(score=slot(piece, piece.value), scale=piece.more)


def _measure(piece: Piece) -> Measure:
    number, unit = piece.value
    return Measure(what=piece.more or "", number=_decimal(number), unit=unit)


def _decimal(number: Fraction) -> Decimal:
    """Exact where the fraction ends; thirds to four places."""
    exact = Decimal(number.numerator) / Decimal(number.denominator)
    return exact if exact == exact.quantize(Decimal("0.000001")) else round(exact, 4)
