"""Whether the finding can be as it was said."""

from collections.abc import Iterator

from grammar.checks.sites import is_asked
from grammar.checks.table import Facts, check, check_of_questions, mark
from grammar.join.feet import ALL_FEET
from grammar.lexicon.schema import LesionRow
from grammar.pieces import Except, Foot, LeftUndone, Not, Undone
from grammar.records import Entry, Finding, Mark

HORN_REGIONS = frozenset({"wall", "dorsal wall", "outside wall", "inside wall", "sole"})
SKIN_ZONES = frozenset({0, 10})
"""Zones between the digits (facts: interdigital skin and cleft)."""
HORN_ZONES = frozenset({1, 2, 3, 4, 5, 7, 8, 11, 12})
STAGE_WORDS = frozenset({"active", "chronic"})
_DEGREES = frozenset({"mild", "moderate", "severe"})
_WHITE_LINE = "white line"
_OF_WHITE_LINE = "white line disease"
"""The lesion whose zones are those of the white line."""
_BESIDE = 3
"""Words between a foot and what says that it was left out, at most."""
_PLACED = ("toe ", "bulb ")
"""Lesions named by their place; another place said for one is of something else."""


def lesions_of(entry: Entry) -> Iterator[Finding]:
    """Return the findings that are lesions."""
    return (finding for finding in entry.findings if finding.lesion.value != "no lesion")


@check(
    "foot-missing",
    what="A lesion without a foot.",
    why="A lesion counts, and is found again, only with its foot.",
    clear="Give the foot.",
    example="cow four twelve sole ulcer",
)
def _foot_missing(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for finding in lesions_of(entry):
        if finding.foot is None:
            yield mark("foot-missing", f"no foot for {finding.lesion.value}", finding.lesion)


@check(
    "foot-alone",
    what="A foot of which nothing was said.",
    why="What was found there may not have been heard, or may stand at another foot.",
    clear="Add what was found there, or move it there.",
    example="cow four twelve left hind sole ulcer m two on the right hind",
)
def _foot_alone(entry: Entry, facts: Facts) -> Iterator[Mark]:
    denied = [one for one in entry.denied if one.value not in _DEGREES]  # "left hind not bad"
    if not entry.findings or denied or entry.corrections:
        return  # a treatment alone need not hold every foot; what was denied or put right had one
    feet = [one.foot for one in entry.findings] + [one.foot for one in entry.actions]
    feet += [foot for one in entry.follow_ups for foot in one.feet]
    held = {foot.value for foot in feet if foot is not None}
    said = [piece for piece in facts.pieces if isinstance(piece, Foot)]
    held |= {foot for piece in said if _is_left_out(piece, facts) for foot in piece.value}
    for piece in said:
        if piece.place or is_asked(piece, facts):
            continue
        alone = [foot for foot in piece.value if foot not in held]
        if alone and not (piece.value == ALL_FEET and None in feet):  # "trimmed all round"
            yield mark("foot-alone", f"nothing was said of {', '.join(alone)}", piece)


def _is_left_out(foot: Foot, facts: Facts) -> bool:
    """ "Couldn't get the left hind up", "all but the right": it is told that nothing is said of it."""
    for piece in facts.pieces:
        before, behind = foot.first - piece.last, piece.first - foot.last
        if isinstance(piece, Not) and before == 0:
            return True
        if isinstance(piece, (Undone, Except)) and 0 <= before <= _BESIDE:
            return True
        if isinstance(piece, LeftUndone) and 0 <= behind <= _BESIDE:
            return True
    return False


check_of_questions(
    "foot-between",
    what="A lesion stands between two feet, and may be of either.",
    why="Something was done to the foot before it and to the foot behind it; the words fit both.",
    clear="Choose the foot of the lesion, or confirm the one it has.",
    example="cow four twelve left hind wrapped wart right hind sprayed",
)


@check(
    "ambiguous-term",
    what="A term that speakers use for more than one lesion.",
    why="A crack, for one, may run down the wall, across it, or along its inner side.",
    clear="Confirm the lesion or choose another.",
    example="cow four twelve right hind crack in the wall",
)
def _ambiguous_term(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for finding in lesions_of(entry):
        term = facts.lexicon.terms.get(finding.lesion.heard)
        others = term.others if term is not None else ()
        for row in facts.lexicon.refines:
            if (
                row.unsure
                and row.lesion == finding.lesion.value
                and finding.lesion.heard in row.heard
            ):
                others = row.unsure
        if others:
            what = f"{finding.lesion.heard} was taken as {finding.lesion.value}"
            yield mark("ambiguous-term", what, finding.lesion, (finding.lesion.value, *others))


@check(
    "lesion-site-odd",
    what="The lesion cannot sit where it was said to be.",
    why="A lesion of the skin was said on horn, or a lesion of horn on skin.",
    clear="Correct the lesion or the zone, or confirm both.",
    example="cow four twelve left hind digital dermatitis zone four",
)
def _site_odd(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for finding in lesions_of(entry):
        what = _impossible(finding, facts.lexicon.lesions[finding.lesion.value])
        if what:
            yield mark("lesion-site-odd", what, finding.zone or finding.region or finding.lesion)


def _impossible(finding: Finding, row: LesionRow) -> str:
    zone = finding.zone.value if finding.zone else None
    region = finding.region.value if finding.region else ""
    named = f" (zone {zone})" if zone is not None else ""
    if (
        row.on == "skin"
        and (zone in HORN_ZONES or region in HORN_REGIONS)
        and zone not in row.zones
    ):
        return f"{finding.lesion.value} is a lesion of the skin, said on horn{named}"
    if row.on == "horn" and zone in SKIN_ZONES:
        return f"{finding.lesion.value} is a lesion of horn, said on skin{named}"
    return ""


@check(
    "zone-odd-for-lesion",
    what="The lesion is unusual in this zone.",
    why="Published maps place it elsewhere; a misheard zone or lesion is likely.",
    clear="Correct the zone or the lesion, or confirm both.",
    example="cow four twelve left hind outer sole ulcer zone eight",
)
def _zone_odd(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for finding in lesions_of(entry):
        zones = facts.lexicon.lesions[finding.lesion.value].zones
        zone = finding.zone
        if finding.region is not None and finding.region.value == _WHITE_LINE:
            zones = (*zones, *facts.lexicon.lesions[_OF_WHITE_LINE].zones)
        if zone is None or not zones or zone.value in zones:
            continue
        placed = finding.lesion.value.startswith(_PLACED)  # "toe ulcer and a bit in the heel too"
        if placed or zone.heard.startswith(("zone", "area")):
            usual = ", ".join(str(number) for number in zones)
            what = f"{finding.lesion.value} in zone {zone.value}; usual: {usual}"
            yield mark("zone-odd-for-lesion", what, zone)


@check(
    "stage-without-dermatitis",
    what="An M stage without digital dermatitis.",
    why="M0 to M4.1 describe digital dermatitis only.",
    clear="Correct the lesion or take the stage out.",
    example="cow four twelve left hind sole ulcer m two",
)
def _stage_without_dermatitis(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for finding in entry.findings:
        if finding.stage is not None and not facts.lexicon.lesions[finding.lesion.value].staged:
            what = f"{finding.stage.value} with {finding.lesion.value}"
            yield mark("stage-without-dermatitis", what, finding.stage)


@check(
    "stage-from-word",
    what="A stage was taken from a word such as active or chronic.",
    why="The word leaves more than one M stage open.",
    clear="Choose the stage.",
    example="cow four twelve left hind active digital dermatitis",
)
def _stage_from_word(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for finding in entry.findings:
        stage = finding.stage
        if stage is not None and stage.heard in STAGE_WORDS:
            what = f"{stage.heard} was taken as {stage.value}"
            yield mark("stage-from-word", what, stage, (stage.value, *stage.rejected))
