"""Whether the finding can be as it was said."""

from collections.abc import Iterator

from grammar.checks.sites import is_asked, two_sides
from grammar.checks.table import Facts, check, check_of_questions, mark
from grammar.join.feet import ALL_FEET
from grammar.lexicon.schema import LesionRow
from grammar.pieces import Foot, LeftUndone, No, Not, Undone
from grammar.records import Entry, Finding, Mark

HORN_REGIONS = frozenset({"wall", "dorsal wall", "outside wall", "inside wall", "sole"})
SKIN_ZONES = frozenset({0, 10})
"""Zones between the digits (facts: interdigital skin and cleft)."""
HORN_ZONES = frozenset({1, 2, 3, 4, 5, 7, 8, 11, 12})
STAGE_WORDS = frozenset({"active", "chronic"})
_DEGREES = frozenset({"mild", "moderate", "severe"})
_TREATS = frozenset({"block", "wrap", "topical", "drained"})
"""What is done to a foot with a lesion; a trim is done to any."""
_BESIDE = 3
"""Words between a foot and what says that it was left out, at most."""
_PLACED = ("toe ", "bulb ")
"""Lesions named by their place; another place said for one is of something else."""


def _lesions(entry: Entry) -> Iterator[Finding]:
    return (finding for finding in entry.findings if finding.lesion.value != "no lesion")


@check(
    "foot-missing",
    what="A lesion without a foot.",
    why="A lesion counts, and is found again, only with its foot.",
    clear="Give the foot.",
    example="cow four twelve sole ulcer",
)
def _foot_missing(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for finding in _lesions(entry):
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
    held = {foot.value for foot in feet if foot is not None}
    for piece in facts.pieces:
        if not isinstance(piece, Foot) or piece.place or is_asked(piece, facts):
            continue
        if _is_left_out(piece, facts):
            continue
        alone = [foot for foot in piece.value if foot not in held]
        if alone and not (piece.value == ALL_FEET and None in feet):  # "trimmed all round"
            yield mark("foot-alone", f"nothing was said of {', '.join(alone)}", piece)


def _is_left_out(foot: Foot, facts: Facts) -> bool:
    """ "Couldn't get the left hind up", "fronts not done": it is told that nothing was done there."""
    for piece in facts.pieces:
        before, behind = foot.first - piece.last, piece.first - foot.last
        if isinstance(piece, Not) and before == 0:
            return True
        if isinstance(piece, Undone) and 0 <= before <= _BESIDE:
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
    for finding in _lesions(entry):
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
    for finding in _lesions(entry):
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
    for finding in _lesions(entry):
        zones = facts.lexicon.lesions[finding.lesion.value].zones
        zone = finding.zone
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


@check(
    "contradiction",
    what="A lesion and no lesion at the same site, or a foot treated that was said to be clean.",
    why="Both cannot be true.",
    clear="Take one of the two out, or give what was done to the foot with the lesion.",
    example="cow four twelve left hind sole ulcer left hind clean",
)
def _contradiction(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for clean in entry.findings:
        if clean.lesion.value != "no lesion" or clean.foot is None or clean.region is not None:
            continue
        site = clean.foot.value + (f" {clean.claw.value}" if clean.claw else "")
        for other in _lesions(entry):
            if site not in _sites(other) or _goes_with_clean(other, clean, facts):
                continue
            what = f"{other.lesion.value} and no lesion, both at {site}"
            yield mark("contradiction", what, clean.lesion)
            break
    yield from _clean_treated(entry)


def _sites(finding: Finding) -> tuple[str, ...]:
    """Return the foot of a finding, and its claw with the foot."""
    if finding.foot is None:
        return ()
    foot = finding.foot.value
    return (foot, f"{foot} {finding.claw.value}") if finding.claw else (foot,)


def _goes_with_clean(finding: Finding, clean: Finding, facts: Facts) -> bool:
    """ "Overgrown, nothing underneath", "hock swollen, foot clean", "ulcer healed, no lesion"."""
    row = facts.lexicon.lesions[finding.lesion.value]
    healed = finding.course is not None and finding.course.value == "healed"
    heard = {word.removesuffix("'s") for word in finding.lesion.heard.split()}
    shape = row.group == "shape" and not _turned_clean(finding, clean, facts)
    return healed or shape or not heard.isdisjoint(row.above_foot)


def _turned_clean(finding: Finding, clean: Finding, facts: Facts) -> bool:
    """ "A corkscrew claw, no, nothing there", "… and now it's clean", "corkscrew claw has healed"."""
    if "healed" in clean.lesion.heard.split():
        return True
    first, last = finding.lesion.last, clean.lesion.first
    for piece in facts.pieces:
        if first <= piece.first <= clean.lesion.last and piece.heard == "now":
            return True
        if isinstance(piece, No) and piece.last == last and first <= piece.first:
            return True
    return False


def _clean_treated(entry: Entry) -> Iterator[Mark]:
    """ "Left hind ulcer, right hind clean, block on the inner": on which foot?"""
    sore = {finding.foot.value for finding in _lesions(entry) if finding.foot}
    clean = {
        finding.foot.value
        for finding in entry.findings
        if finding.lesion.value == "no lesion" and finding.foot and not finding.claw
    }
    treated: dict[int, set[str]] = {}
    """Where an action was said -> its feet: "sprayed both" may be of a clean one too."""
    for action in entry.actions:
        if action.foot:
            treated.setdefault(action.kind.first, set()).add(action.foot.value)
    for action in entry.actions:
        feet = treated.get(action.kind.first, set())
        if sore and feet and action.kind.value in _TREATS and feet <= clean - sore:
            what = f"{action.kind.value} on a foot that was said to be clean"
            yield mark("contradiction", what, action.kind)


@check(
    "two-values",
    what="Two values for one slot.",
    why="Only one can be right; the last one said was kept.",
    clear="Choose the value.",
    example="cow four twelve left hind sole ulcer zone four zone five",
)
def _two_values(entry: Entry, facts: Facts) -> Iterator[Mark]:
    slots = [
        (name, getattr(finding, name))
        for finding in entry.findings
        for name in ("zone", "stage", "severity", "course")
    ]
    if entry.locomotion is not None:
        slots.append(("locomotion", entry.locomotion.score))
    corrected = {correction.now for correction in entry.corrections}
    for name, slot in slots:
        if slot is not None and slot.rejected and slot.heard not in STAGE_WORDS | corrected:
            values = (slot.value, *slot.rejected)
            what = f"{name}: " + " or ".join(str(value) for value in values)
            yield mark("two-values", what, slot, values)
    yield from two_sides(facts)


@check(
    "unit-missing",
    what="A measure without its unit.",
    why="Seven and a half may be centimetres or inches, and a record needs to know.",
    clear="Give the unit, or take the measure out.",
    example="cow four twelve left hind toe length seven and a half",
)
def _unit_missing(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for measure in entry.measures:
        if not measure.unit:
            yield mark("unit-missing", f"{measure.what} {measure.number}: of what unit?")
