"""Findings that say the same are one; the one that says most stays."""

from dataclasses import replace

from grammar.records import Finding

__all__ = ["merge"]

_DETAILS = ("lesion", "foot", "claw", "zone", "stage", "severity", "course", "object", "region")


def merge(findings: list[Finding]) -> list[Finding]:
    """ "dermatitis both hinds, left M2, right M4": a bare finding gives way to its detailed one.

    So does one that says again, in no more detail, what another says: "sole ulcer and white line,
    drained the white line".  Two foreign bodies are two.
    """
    findings = _last_stages(findings)
    return [
        one
        for at, one in enumerate(findings)
        if (one.foot is None and one.lesion.value != "no lesion")
        or one.object is not None
        or not any(
            _says_no_more(one, other) and (not _says_no_more(other, one) or before < at)
            for before, other in enumerate(findings)
            if before != at and (one.foot is None) == (other.foot is None)
        )
    ]


def _last_stages(findings: list[Finding]) -> list[Finding]:
    """ "M2 both hinds, no, the left is an M4": the stage told of the foot itself holds."""
    found: list[Finding] = []
    for one in findings:
        of_it = [
            at
            for at, other in enumerate(found)
            if one.stage and other.stage and one.foot and other.foot
            if (one.lesion.value, one.foot.value) == (other.lesion.value, other.foot.value)
            if one.stage.value != other.stage.value
        ]  # fmt: skip
        if not of_it or one.stage is None:
            found.append(one)
            continue
        was = found[of_it[-1]].stage
        rejected = (*one.stage.rejected, was.value) if was is not None else one.stage.rejected
        kept = replace(one, stage=replace(one.stage, rejected=rejected))
        earlier = found[of_it[-1]].foot
        if earlier and one.foot and earlier.heard != one.foot.heard:
            found[of_it[-1]] = kept
        else:
            found.append(kept)  # both may be there; the two stages are marked
    return found


def _says_no_more(one: Finding, other: Finding) -> bool:
    """Whether every detail of a finding is also the other's."""
    return set(one.tissue) <= set(other.tissue) and all(
        mine is None or (theirs is not None and mine.value == theirs.value)
        for name in _DETAILS
        for mine, theirs in ((getattr(one, name), getattr(other, name)),)
    )
