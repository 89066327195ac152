"""Whether the values of an entry go together, and are whole."""

from collections.abc import Iterator

from grammar.checks.findings import STAGE_WORDS, lesions_of
from grammar.checks.sites import two_sides
from grammar.checks.table import Facts, check, mark
from grammar.pieces import No
from grammar.records import Entry, Finding, Mark

_TREATS = frozenset({"block", "wrap", "topical", "drained"})
"""What is done to a foot with a lesion; a trim is done to any."""


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
        for other in lesions_of(entry):
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
    """ "Overgrown, nothing underneath", "hock swollen, foot clean", "ulcer healed, no lesion", "M zero, clean"."""
    row = facts.lexicon.lesions[finding.lesion.value]
    healed = finding.course is not None and finding.course.value == "healed"
    healed = healed or (finding.stage is not None and finding.stage.value == "M0")  # sound skin
    heard = {word.removesuffix("'s") for word in finding.lesion.heard.split()}
    heard |= {finding.region.value} if finding.region else set()
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
    sore = {finding.foot.value for finding in lesions_of(entry) if finding.foot}
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
