"""Stages of digital dermatitis (M0 to M4.1, Döpfer et al. and Berry et al.) as they were spoken."""

from collections.abc import Hashable, Iterable

from dictate.entry.terms import STAGES
from dictate.record.prevalence import Share, shares
from dictate.record.rows import FindingRow


def stage_distribution(findings: Iterable[FindingRow]) -> tuple[Share, ...]:
    """Return every stage, zeros included, as a share of the staged feet.

    One foot at one visit counts once, with the stage said last; feet with digital dermatitis and no
    stage said are `missing`, in no percentage.
    """
    return stages_of(
        ((row.animal_id, row.visit_id, row.foot), row.stage)
        for row in findings
        if row.lesion == "digital dermatitis" and row.is_lesion
    )


def stages_of(places: Iterable[tuple[Hashable, str | None]]) -> tuple[Share, ...]:
    """The same from each foot at each visit with the stage said of it, in order."""
    feet: dict[Hashable, str | None] = {}
    for place, stage in places:
        feet[place] = stage or feet.get(place)
    counted = {share.value: share for share in shares(feet.values())}
    staged = sum(share.count for share in counted.values())
    missing = sum(stage is None for stage in feet.values())
    return tuple(
        counted.get(stage)
        or Share(
            value=stage,
            count=0,
            out_of=staged,
            missing=missing,
        )
        for stage in STAGES
    )
