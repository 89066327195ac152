"""The slots of a finding: its feet, claws and zones, and what is said of it besides its site."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import product
from typing import TypeVar

from grammar.join.work import Work
from grammar.lexicon.schema import RefineRow
from grammar.pieces import (
    Claw,
    Course,
    Foot,
    Lesion,
    Piece,
    Region,
    Severity,
    Stage,
    Tissue,
    Zone,
    slot_of,
)
from grammar.records import Finding, How, Slot

M = TypeVar("M", Stage, Severity, Course)

Feet = dict[int, tuple[str, ...]]
"""Position of a foot piece -> the feet it names."""


def foot_slots(work: Work, site: int | None, feet: Feet) -> list[Slot[str] | None]:
    if site is None:
        return [None]
    piece = work.pieces[site]
    how = None if isinstance(piece, Foot) else How.INFERRED
    return [slot_of(piece, foot, how) for foot in feet[site]] or [None]


def claw_slots(work: Work, claw: int | None) -> list[Slot[str] | None]:
    piece = work.pieces[claw] if claw is not None else None
    if isinstance(piece, Foot) and piece.claw:
        return [slot_of(piece, piece.claw)]
    if not isinstance(piece, Claw):
        return [None]
    values = ("outer", "inner") if piece.value == "both" else (piece.value,)
    return [slot_of(piece, value) for value in values]


def zone_slots(
    work: Work, head: int, zones: Sequence[int], regions: Sequence[int]
) -> list[Slot[int] | None]:
    """Spoken zones; else the zone of the region.  Zones said one after another: the last holds."""
    said = [piece for i in zones if isinstance(piece := work.pieces[i], Zone)]
    if said:
        others = tuple(zone for piece in said[:-1] for zone in piece.value)
        last = said[-1]
        if others:
            last = replace(last, rejected=(*last.rejected, *others))
        return [slot_of(last, zone) for zone in last.value]
    lesion = _lesion(work, head)
    if lesion.zone is not None:
        return [slot_of(lesion, lesion.zone, How.INFERRED)]
    for region in _regions(work, regions):
        row = _refine(work, lesion, region)
        zone = row.zone if row is not None and row.zone is not None else region.zone
        if zone is not None:
            return [slot_of(region, zone, How.INFERRED)]
    return [None]


def _lesion(work: Work, head: int) -> Lesion:
    piece = work.pieces[head]
    if not isinstance(piece, Lesion):
        raise TypeError(f"the piece at {head} is no lesion: {piece!r}")
    return piece


def _regions(work: Work, at: Sequence[int]) -> list[Region]:
    return [piece for i in at if isinstance(piece := work.pieces[i], Region)]


def _refine(work: Work, lesion: Lesion, region: Region) -> RefineRow | None:
    """Return what a region makes of a lesion said in plain words: "ulcer at the toe"."""
    for row in work.lexicon.refines:
        if row.region == region.value and (
            lesion.heard in row.heard or lesion.value in row.lesions
        ):
            return row
    return None


def _place_in_words(work: Work, lesion: Lesion) -> str | None:
    """ "Blood in the white line": the lesion's own words tell where."""
    rows = (row for row in work.lexicon.refines if lesion.value in row.lesions)
    return next((row.region for row in rows if row.region in lesion.heard), None)


def without_site(
    work: Work, head: int, regions: Sequence[int], modifiers: Sequence[int]
) -> Finding:
    """Return the finding without its site."""
    piece = _lesion(work, head)
    lesion = slot_of(piece, piece.value)
    places = _regions(work, regions)
    for place in places:
        row = _refine(work, piece, place)
        if row is not None and row.lesion is not None:
            lesion = replace(lesion, value=row.lesion, rejected=(*lesion.rejected, *row.unsure))
    region = slot_of(places[0], places[0].value) if places else None
    if region is None and (named := piece.region or _place_in_words(work, piece)):
        region = slot_of(piece, named)
    said = [work.pieces[i] for i in modifiers]
    stage = _last(said, Stage)
    if piece.stage is not None:
        own = slot_of(piece.stage, piece.stage.value)
        others = () if stage is None or stage.value == own.value else (stage.value,)
        stage = replace(own, rejected=(*own.rejected, *others))
    return Finding(
        lesion=lesion,
        stage=stage,
        severity=_last(said, Severity),
        course=_last(said, Course),
        object=slot_of(piece, piece.object) if piece.object is not None else None,
        tissue=tuple(slot_of(one, one.value) for one in _once(said)),
        region=region,
    )


def _once(said: Sequence[Piece]) -> list[Tissue]:
    """ "White line, oozing, got the pus out": what is seen is told once, however often said."""
    tissues = [one for one in said if isinstance(one, Tissue)]
    return list({one.value: one for one in reversed(tissues)}.values())[::-1]


def _last(said: Sequence[Piece], kind: type[M]) -> Slot[str] | None:
    """The last value said holds; the others stay with it, for the check on two values."""
    found: list[M] = [piece for piece in said if isinstance(piece, kind)]
    if not found:
        return None
    last: Stage | Severity | Course = found[-1]
    others: tuple[str, ...] = tuple(one.value for one in found[:-1] if one.value != last.value)
    slot: Slot[str] = slot_of(last, last.value)
    return replace(slot, rejected=(*slot.rejected, *others)) if others else slot


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
