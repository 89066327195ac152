"""Stages of digital dermatitis (M0 to M4.1, Döpfer et al. and Berry et al.) as they were spoken."""

from collections.abc import Iterable

from dictate.entry.terms import STAGES
from dictate.record.prevalence import Share, shares
from dictate.record.rows import FindingRow

__all__ = ["stage_distribution"]


def stage_distribution(findings: Iterable[FindingRow]) -> tuple[Share, ...]:
    """Return every stage, zeros included, as a share of the staged feet.

    One foot at one visit counts once, with the stage said last; feet with digital dermatitis and no
    stage said are `missing`, in no percentage.
    """
    feet: dict[tuple[int, int, str | None], str | None] = {}
    for finding in findings:
        if finding.lesion == "digital dermatitis" and finding.is_lesion:
            place = (finding.animal_id, finding.visit_id, finding.foot)
            feet[place] = finding.stage or feet.get(place)
    counted = {share.value: share for share in shares(feet.values())}
    staged = sum(share.count for share in counted.values())
    return tuple(
        counted.get(stage)
        or Share(
            value=stage,
            count=0,
            out_of=staged,
            missing=sum(stage is None for stage in feet.values()),
        )
        for stage in STAGES
    )
