"""Checks: each looks at one entry and says what wants a person's look, where, why, and how to clear it.

A check never changes a value.  docs/reference/checks.md is written from this table.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from grammar.animals import Found
from grammar.lexicon import Lexicon
from grammar.records import Carry, Entry, Finding, How, Mark, Slot
from grammar.slots import Piece

__all__ = ["CHECKS", "Check", "Facts", "run_checks"]

HORN_REGIONS = frozenset({"wall", "dorsal wall", "outside wall", "inside wall", "sole"})
SKIN_ZONES = frozenset({0, 9, 10})
HORN_ZONES = frozenset({1, 2, 3, 4, 5, 7, 8, 11, 12})


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What checks may look at besides the entry."""

    lexicon: Lexicon
    carry: Carry
    on: date | None
    found: Found | None
    loose: tuple[Piece, ...] = ()
    cued: bool = True
    """Whether a word such as "cow" stood before the animal's number."""
    copied: tuple[int, int] | None = None
    """Where "same again on the other side" was said."""
    stray_numbers: tuple[tuple[int, int, str], ...] = ()


Finder = Callable[[Entry, Facts], Iterator[Mark]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """A row of the table of checks."""

    id: str
    what: str
    why: str
    clear: str
    find: Finder


CHECKS: dict[str, Check] = {}


def _check(id_: str, *, what: str, why: str, clear: str) -> Callable[[Finder], Finder]:
    def register(find: Finder) -> Finder:
        CHECKS[id_] = Check(id=id_, what=what, why=why, clear=clear, find=find)
        return find

    return register


def _mark(
    id_: str, what: str, at: Slot[object] | None = None, candidates: Sequence[str] = ()
) -> Mark:
    check = CHECKS[id_]
    first, last = (at.first, at.last) if at is not None else (-1, -1)
    return Mark(
        check=id_, what=what, first=first, last=last, why=check.why, clear=check.clear,
        candidates=tuple(candidates),
    )  # fmt: skip


def run_checks(entry: Entry, facts: Facts) -> tuple[Mark, ...]:
    """Run every check on one entry, in the table's order."""
    return tuple(mark for check in CHECKS.values() for mark in check.find(entry, facts))


# --- the animal -----------------------------------------------------------------------------


@_check(
    "animal-missing",
    what="No animal was said and none carries over.",
    why="A finding without an animal cannot be filed.",
    clear="Give the animal's number.",
)
def _animal_missing(entry: Entry, facts: Facts) -> Iterator[Mark]:
    if entry.animal is None:
        yield _mark("animal-missing", "no animal was said")


@_check(
    "animal-carried",
    what="The animal carries over from the note before.",
    why="A note that names no animal is taken to be about the one before, which may be wrong.",
    clear="Confirm the animal or give another.",
)
def _animal_carried(entry: Entry, facts: Facts) -> Iterator[Mark]:
    if entry.animal is not None and entry.animal.how is How.CARRIED:
        yield _mark(
            "animal-carried", f"{entry.animal.value} carries over from the note before",
            candidates=(entry.animal.value,),
        )  # fmt: skip


def _found_mark(id_: str, entry: Entry, facts: Facts, what: str) -> Iterator[Mark]:
    if facts.found is not None and facts.found.trouble == id_ and entry.animal is not None:
        yield _mark(id_, what, entry.animal, facts.found.candidates)


@_check(
    "animal-not-on-roster",
    what="The number is not on the farm's list.",
    why="It may be misheard or misread; the list may also be old.",
    clear="Choose an animal from the candidates, or confirm the number as new.",
)
def _animal_not_on_roster(entry: Entry, facts: Facts) -> Iterator[Mark]:
    value = entry.animal.value if entry.animal else ""
    yield from _found_mark("animal-not-on-roster", entry, facts, f"{value} is not on the roster")


@_check(
    "animal-ambiguous",
    what="The words fit several animals of the farm.",
    why="Numbers said in groups can be read in more than one way; the wrong animal does harm.",
    clear="Choose the animal from the candidates.",
)
def _animal_ambiguous(entry: Entry, facts: Facts) -> Iterator[Mark]:
    names = ", ".join(facts.found.candidates) if facts.found else ""
    yield from _found_mark("animal-ambiguous", entry, facts, f"the words fit {names}")


@_check(
    "animal-sounds-like",
    what="Another animal's number sounds like this one.",
    why="fifteen and fifty, five and nine are easily misheard, and both animals exist.",
    clear="Choose the animal from the candidates.",
)
def _animal_sounds_like(entry: Entry, facts: Facts) -> Iterator[Mark]:
    names = ", ".join(facts.found.candidates) if facts.found else ""
    yield from _found_mark("animal-sounds-like", entry, facts, f"these sound alike: {names}")


@_check(
    "animal-without-cue",
    what="A bare number in the middle of the note was taken as an animal.",
    why="Without a word such as cow before it the number may mean something else.",
    clear="Confirm the animal or take the entry apart.",
)
def _animal_without_cue(entry: Entry, facts: Facts) -> Iterator[Mark]:
    if not facts.cued and entry.animal is not None:
        what = f"{entry.animal.value} was said without cow or number before it"
        yield _mark("animal-without-cue", what, entry.animal)


@_check(
    "animal-seen-twice",
    what="The animal has been named before in this visit.",
    why="An animal seldom comes through the chute twice on one day; one of the numbers may be wrong.",
    clear="Confirm that both notes are about this animal, or change one.",
)
def _animal_seen_twice(entry: Entry, facts: Facts) -> Iterator[Mark]:
    animal = entry.animal
    if animal is None or animal.how is How.CARRIED or animal.how is How.INFERRED:
        return
    if animal.value in facts.carry.seen and animal.value != facts.carry.animal:
        yield _mark("animal-seen-twice", f"{animal.value} was named before in this visit", animal)


@_check(
    "eid-length",
    what="An electronic id has not 15 digits.",
    why="ISO 11784 ids have 3 digits of country or maker and 12 of the animal.",
    clear="Read the id again or choose the animal.",
)
def _eid_length(entry: Entry, facts: Facts) -> Iterator[Mark]:
    animal = entry.animal
    if animal is not None and 11 <= len(animal.value) != 15 and animal.value.isdigit():  # noqa: PLR2004
        yield _mark("eid-length", f"{animal.value} has {len(animal.value)} digits, not 15", animal)


# --- site and lesion ------------------------------------------------------------------------


def _lesions(entry: Entry) -> Iterator[Finding]:
    return (finding for finding in entry.findings if finding.lesion.value != "no lesion")


def _once(marks: Iterator[Mark]) -> Iterator[Mark]:
    """Pairs and "all four" give the same mark several times; one is enough."""
    yield from dict.fromkeys(marks)


@_check(
    "foot-missing",
    what="A lesion without a foot.",
    why="A lesion counts, and is found again, only with its foot.",
    clear="Give the foot.",
)
def _foot_missing(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for finding in _lesions(entry):
        if finding.foot is None:
            yield _mark("foot-missing", f"no foot for {finding.lesion.value}", finding.lesion)


@_check(
    "lesion-site",
    what="The lesion cannot sit where it was said to be.",
    why="A skin lesion was said on horn, or a horn lesion between the claws.",
    clear="Correct the lesion or the zone, or confirm both.",
)
def _lesion_site(entry: Entry, facts: Facts) -> Iterator[Mark]:
    yield from _once(
        _mark("lesion-site", f"{finding.lesion.value} {where}", finding.zone or finding.lesion)
        for finding in _lesions(entry)
        if (where := _impossible(finding, facts.lexicon))
    )


def _impossible(finding: Finding, lexicon: Lexicon) -> str:
    row = lexicon.lesions[finding.lesion.value]
    zone = finding.zone.value if finding.zone else None
    region = finding.region.value if finding.region else ""
    if row.on == "skin" and (zone in HORN_ZONES or region in HORN_REGIONS):
        return "is a skin lesion, said on horn" + (f" (zone {zone})" if zone is not None else "")
    if row.on == "horn" and zone in (0, 10):
        return f"is a horn lesion, said on skin (zone {zone})"
    return ""


@_check(
    "zone-unusual",
    what="The lesion is unusual in this zone.",
    why="Published maps place it elsewhere; a misheard zone or lesion is likely.",
    clear="Correct the zone or the lesion, or confirm both.",
)
def _zone_unusual(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for finding in _lesions(entry):
        row = facts.lexicon.lesions[finding.lesion.value]
        zone = finding.zone
        if zone is None or not row.zones or zone.value in row.zones or zone.how is How.INFERRED:
            continue
        if not _impossible(finding, facts.lexicon):
            usual = ", ".join(str(number) for number in row.zones)
            what = f"{finding.lesion.value} in zone {zone.value}; usual: {usual}"
            yield from _once(iter([_mark("zone-unusual", what, zone)]))


@_check(
    "stage-without-dermatitis",
    what="An M stage without digital dermatitis.",
    why="M0 to M4.1 describe digital dermatitis only.",
    clear="Correct the lesion or take the stage out.",
)
def _stage_without_dermatitis(entry: Entry, facts: Facts) -> Iterator[Mark]:
    yield from _once(
        _mark("stage-without-dermatitis", f"{f.stage.value} with {f.lesion.value}", f.stage)
        for f in entry.findings
        if f.stage is not None and f.lesion.value != "digital dermatitis"
    )


@_check(
    "stage-from-word",
    what="A stage was taken from a word such as active or chronic.",
    why="The word leaves more than one M stage open.",
    clear="Choose the stage.",
)
def _stage_from_word(entry: Entry, facts: Facts) -> Iterator[Mark]:
    yield from _once(
        _mark(
            "stage-from-word", f"{f.stage.heard} was taken as {f.stage.value}", f.stage,
            (f.stage.value, *f.stage.rejected),
        )
        for f in entry.findings
        if f.stage is not None and not any(char.isdigit() for char in f.stage.heard)
        and f.stage.heard in ("active", "chronic")
    )  # fmt: skip


@_check(
    "block-on-lesion-claw",
    what="A block was said on the claw with the lesion.",
    why="A block normally goes on the sound claw of the same foot (common practice).",
    clear="Correct the claw of the block or of the lesion, or confirm both.",
)
def _block_on_lesion_claw(entry: Entry, facts: Facts) -> Iterator[Mark]:
    sore = {
        (f.foot.value, f.claw.value) for f in _lesions(entry) if f.foot and f.claw
    }
    for action in entry.actions:
        if action.kind.value == "block" and action.foot and action.claw:
            site = (action.foot.value, action.claw.value)
            if site in sore:
                what = f"block on {site[0]} {site[1]}, where a lesion was found"
                yield _mark("block-on-lesion-claw", what, action.claw)


@_check(
    "contradiction",
    what="A lesion and no lesion at the same site.",
    why="Both cannot be true.",
    clear="Take one of the two out.",
)
def _contradiction(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for clean in entry.findings:
        if clean.lesion.value != "no lesion" or clean.foot is None:
            continue
        for finding in _lesions(entry):
            same_foot = finding.foot is not None and finding.foot.value == clean.foot.value
            same_claw = clean.claw is None or (
                finding.claw is not None and finding.claw.value == clean.claw.value
            )
            if same_foot and same_claw:
                what = f"{finding.lesion.value} and no lesion, both at {clean.foot.value}"
                yield _mark("contradiction", what, clean.lesion)


@_check(
    "two-values",
    what="Two values for one slot.",
    why="Only one can be kept; the last one said was.",
    clear="Choose the value.",
)
def _two_values(entry: Entry, facts: Facts) -> Iterator[Mark]:
    corrected = {c.was for c in entry.corrections}
    for finding in entry.findings:
        for name in ("stage", "severity", "course"):
            found = getattr(finding, name)
            if found is None or not found.rejected or found.heard in ("active", "chronic"):
                continue
            if not corrected:
                values = (found.value, *found.rejected)
                what = f"{name}: " + " or ".join(str(value) for value in values)
                yield _mark("two-values", what, found, values)


# --- actions, follow-ups, scores ------------------------------------------------------------


@_check(
    "follow-up-past",
    what="A follow-up is due before the note's own date.",
    why="Nothing can be due in the past; the date or the number is likely misheard.",
    clear="Correct the date.",
)
def _follow_up_past(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for follow_up in entry.follow_ups:
        if follow_up.on is not None and facts.on is not None and follow_up.on < facts.on:
            what = f"{follow_up.kind.value} on {follow_up.on.isoformat()} is in the past"
            yield _mark("follow-up-past", what, follow_up.kind)


@_check(
    "time-without-follow-up",
    what="A date or an interval was said without what is due.",
    why="What is to be done then is not known.",
    clear="Say what is due, or take the time out.",
)
def _time_without_follow_up(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for piece in facts.loose:
        if piece.kind == "when":
            yield _loose_mark("time-without-follow-up", piece, "was said without what is due")


@_check(
    "detail-without-lesion",
    what="A zone, region, stage, severity or other detail without a lesion.",
    why="The lesion it belongs to was not understood.",
    clear="Give the lesion, or take the detail out.",
)
def _detail_without_lesion(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for piece in facts.loose:
        if piece.kind in ("zone", "region", "stage", "severity", "course", "tissue"):
            yield _loose_mark("detail-without-lesion", piece, "was said without a lesion")


@_check(
    "material-without-action",
    what="A material without an action.",
    why="What was done with it was not understood.",
    clear="Give the action, or take the material out.",
)
def _material_without_action(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for piece in facts.loose:
        if piece.kind == "material":
            yield _loose_mark("material-without-action", piece, "was said without an action")


def _loose_mark(id_: str, piece: Piece, what: str) -> Mark:
    where: Slot[object] = Slot(
        value=piece.heard, heard=piece.heard, first=piece.first, last=piece.last
    )
    return _mark(id_, f"{piece.heard!r} {what}", where)


@_check(
    "score-scale",
    what="A score without its scale.",
    why="Three on the 1 to 5 scale and three on the 0 to 3 scale are different cows.",
    clear="Choose the scale.",
)
def _score_scale(entry: Entry, facts: Facts) -> Iterator[Mark]:
    score = entry.locomotion
    if score is not None and score.scale is None:
        what = f"score {score.score.value}: of 1-5 or of 0-3?"
        yield _mark("score-scale", what, score.score, ("1-5", "0-3"))


# --- how it was heard -----------------------------------------------------------------------


@_check(
    "term-repaired",
    what="A mis-heard term was repaired.",
    why="The words heard are not in the lexicon; the nearest term that fits was taken.",
    clear="Confirm the term or choose another; a term taught here is known next time.",
)
def _term_repaired(entry: Entry, facts: Facts) -> Iterator[Mark]:
    seen: dict[tuple[int, int], Mark] = {}
    for found in _slots(entry):
        if found.how is How.REPAIRED:
            what = f"{found.heard!r} was taken as {found.value!r}"
            candidates = (str(found.value), *(str(value) for value in found.rejected))
            seen.setdefault(
                (found.first, found.last), _mark("term-repaired", what, found, candidates)
            )
    yield from seen.values()


def _slots(entry: Entry) -> Iterator[Slot[object]]:
    for record in (*entry.findings, *entry.actions, *entry.follow_ups):
        for name in record.__dataclass_fields__:
            value = getattr(record, name)
            if isinstance(value, Slot):
                yield value
            elif isinstance(value, tuple):
                yield from (item for item in value if isinstance(item, Slot))
    yield from entry.status


@_check(
    "copied",
    what="Findings were copied by same again.",
    why="Everything said for one foot or claw was taken over for another.",
    clear="Confirm the copy or change it.",
)
def _copied(entry: Entry, facts: Facts) -> Iterator[Mark]:
    if facts.copied is not None:
        first, last = facts.copied
        where: Slot[object] = Slot(value="", heard="", first=first, last=last)
        yield _mark("copied", "findings were copied by same again", where)


@_check(
    "number-left-over",
    what="A number was left over.",
    why="A number that no rule took may be a misheard term or a lost part of another number.",
    clear="Look at the words and complete what is missing.",
)
def _number_left_over(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for first, last, said in facts.stray_numbers:
        where: Slot[object] = Slot(value=said, heard=said, first=first, last=last)
        yield _mark("number-left-over", f"{said!r} was not understood", where)
