"""The slots of a finding: its feet, claws and zones, and what is said of it besides its site."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import product
from typing import Any

from grammar.join.pieces import Piece, slot_of
from grammar.join.work import Work
from grammar.lexicon.schema import RefineRow
from grammar.records import Finding, How, Slot

__all__ = ["Feet", "claw_slots", "expand", "foot_slots", "without_site", "zone_slots"]

Feet = dict[int, tuple[str, ...]]
"""Position of a foot piece -> the feet it names."""


def foot_slots(work: Work, site: int | None, feet: Feet) -> list[Slot[str] | None]:
    if site is None:
        return [None]
    piece = work.pieces[site]
    how = How.INFERRED if piece.kind != "foot" else None
    return [slot_of(piece, foot, how) for foot in feet[site]] or [None]


def claw_slots(work: Work, claw: int | None) -> list[Slot[str] | None]:
    piece = work.pieces[claw] if claw is not None else None
    if piece is not None and piece.kind == "foot":
        return [slot_of(piece, piece.more["claw"])]
    if piece is None or piece.kind != "claw":
        return [None]
    values = ("outer", "inner") if piece.value == "both" else (piece.value,)
    return [slot_of(piece, value) for value in values]


def zone_slots(
    work: Work, head: int, zones: Sequence[int], regions: Sequence[int]
) -> list[Slot[int] | None]:
    """Spoken zones; else the zone of the region.  Zones said one after another: the last holds."""
    if zones:
        piece = work.pieces[zones[-1]]
        others = tuple(zone for i in zones[:-1] for zone in work.pieces[i].value)
        piece = replace(piece, rejected=(*piece.rejected, *others))
        return [slot_of(piece, zone) for zone in piece.value]
    piece = work.pieces[head]
    more = piece.more if isinstance(piece.more, dict) else {}
    if more.get("zone") is not None:
        return [slot_of(piece, more["zone"], How.INFERRED)]
    for i in regions:
        region = work.pieces[i]
        row = _refine(work, piece, region)
        zone = row.zone if row is not None and row.zone is not None else region.more.zone
        if zone is not None:
            return [slot_of(region, zone, How.INFERRED)]
    return [None]


def _refine(work: Work, lesion: Piece, region: Piece) -> RefineRow | None:
    """Return what a region makes of a lesion said in plain words: "ulcer at the toe"."""
    for row in work.lexicon.refines:
        if row.region == region.value and (
            lesion.heard in row.heard or lesion.value in row.lesions
        ):
            return row
    return None


def without_site(
    work: Work, head: int, regions: Sequence[int], modifiers: dict[str, list[int]]
) -> Finding:
    """Return the finding without its site."""
    piece = work.pieces[head]
    more: dict[str, Any] = piece.more if isinstance(piece.more, dict) else {}
    lesion = slot_of(piece, piece.value)
    for i in regions:
        row = _refine(work, piece, work.pieces[i])
        if row is not None and row.lesion is not None:
            lesion = replace(lesion, value=row.lesion, rejected=(*lesion.rejected, *row.unsure))
    region = slot_of(work.pieces[regions[0]], work.pieces[regions[0]].value) if regions else None
    if region is None and "region" in more:
        region = slot_of(piece, more["region"])
    stage = _last(work, modifiers["stage"])
    if "stage" in more:
        own = slot_of(more["stage"], more["stage"].value)
        others = () if stage is None or stage.value == own.value else (stage.value,)
        stage = replace(own, rejected=(*own.rejected, *others))
    return Finding(
        lesion=lesion,
        stage=stage,
        severity=_last(work, modifiers["severity"]),
        course=_last(work, modifiers["course"]),
        object=slot_of(piece, more["object"]) if "object" in more else None,
        tissue=tuple(slot_of(work.pieces[i], work.pieces[i].value) for i in modifiers["tissue"]),
        region=region,
    )


def _last(work: Work, found: Sequence[int]) -> Slot[Any] | None:
    """The last value said holds; the others stay with it, for the check on two values."""
    if not found:
        return None
    piece = work.pieces[found[-1]]
    others = tuple(work.pieces[i].value for i in found[:-1] if work.pieces[i].value != piece.value)
    return slot_of(replace(piece, rejected=(*piece.rejected, *others)), piece.value)


def expand(
    base: Finding,
    *,
    feet: Sequence[Slot[str] | None],
    claws: Sequence[Slot[str] | None],
    zones: Sequence[Slot[int] | None],
) -> list[Finding]:
    return [
        replace(base, foot=foot, claw=claw, zone=zone)
        for foot, claw, zone in product(feet, claws, zones)
    ]
