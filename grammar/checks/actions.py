"""Whether the action, the follow-up or the score can be as it was said."""

from collections.abc import Iterator

from grammar.checks.table import Facts, check, check_of_questions, mark
from grammar.join.cursor import get
from grammar.join.feet import ALL_FEET
from grammar.join.near import next_to
from grammar.pieces import (
    CLAWS,
    FEET,
    Lesion,
    Material,
    Severity,
    StatusSaid,
    TimeSaid,
    Tissue,
    Zone,
)
from grammar.records import Entry, Mark, Question

_SCORE = "locomotion score"
"""The rule that reads a bare score."""
_OF_A_LESION = (Zone, Severity, Tissue)
"""What is said of a lesion alone, and so what stands right behind it."""


@check(
    "block-on-lesion-claw",
    what="A block was said on the claw with the lesion.",
    why="A block normally goes on the sound claw of the same foot (common practice).",
    clear="Correct the claw of the block or of the lesion, or confirm both.",
    example="cow four twelve left hind outer sole ulcer block on the outer",
)
def _block_on_lesion_claw(entry: Entry, facts: Facts) -> Iterator[Mark]:
    sore = {
        (finding.foot.value, finding.claw.value)
        for finding in entry.findings
        if finding.foot and finding.claw and finding.lesion.value != "no lesion"
    }
    for action in entry.actions:
        if action.kind.value == "block" and action.foot and action.claw:
            site = (action.foot.value, action.claw.value)
            if site in sore:
                what = f"block on {site[0]} {site[1]}, where a lesion was found"
                yield mark("block-on-lesion-claw", what, action.claw)


@check(
    "block-claw-unsaid",
    what="A block was said without its claw.",
    why="Which claw carries the cow is what the next person at her foot must know; none is supplied.",
    clear="Give the claw that the block is on.",
    example="cow four twelve left hind outer sole ulcer blocked",
)
def _block_claw_unsaid(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for action in entry.actions:
        if action.kind.value == "block" and action.foot is not None and action.claw is None:
            what = f"block on {action.foot.value}: which claw?"
            yield mark("block-claw-unsaid", what, action.kind, ("outer", "inner"))


_OF_A_FOOT = frozenset({"block", "wrap"})
"""Actions that somebody must find again on the cow."""


@check(
    "action-foot-missing",
    what="A block or a wrap without a foot.",
    why="It has to come off again, and is found only with its foot.",
    clear="Give the foot.",
    example="cow four twelve wrapped",
)
def _action_foot_missing(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for action in entry.actions:
        if action.kind.value in _OF_A_FOOT and action.foot is None:
            yield mark(
                "action-foot-missing", f"no foot for {action.kind.value}", action.kind, ALL_FEET
            )


check_of_questions(
    "action-not-done",
    what="An action was said as still to be done, or as done by somebody else.",
    why="What was not done today must not be billed, and somebody has to know that it is due.",
    clear="Add the action if it was done; else confirm the entry without it.",
    example="cow four twelve left hind outer sole ulcer needs a block",
)


@check(
    "said-of-past",
    what="A lesion or an action was said of an earlier time.",
    why="Only what was found and done today belongs in today's record.",
    clear="Add it if it is there today; else confirm the entry without it.",
    example="cow four twelve left hind used to have an ulcer and blocked the inner",
)
def _of_past(entry: Entry, facts: Facts) -> Iterator[Mark]:
    """Not where its site is said to be clean or healed now: then nothing is left open."""
    for one in facts.questions:
        if one.check == "said-of-past" and not _is_over(one, entry, facts):
            yield mark("said-of-past", one.what, one, one.candidates)


def _is_over(one: Question, entry: Entry, facts: Facts) -> bool:
    """Whether the next thing said to be found, of the same foot, is no lesion, or a healed one."""
    behind = [f for f in entry.findings if f.lesion.first >= one.last]
    if not behind:
        return False
    after = min(behind, key=lambda f: f.lesion.first)
    feet = [piece.first for piece in facts.pieces if isinstance(piece, FEET)]
    parted = any(one.last <= foot < after.lesion.first for foot in feet)
    if parted and any(foot < one.first for foot in feet):
        return False  # "left hind wrapped last week, right hind clean"
    healed = after.course is not None and after.course.value == "healed"
    return healed or after.lesion.value == "no lesion"


check_of_questions(
    "said-and-denied",
    what="A lesion, an action or a follow-up was said, and then denied, perhaps of another foot.",
    why="Only one can be true of a foot, and what was not done must not be billed.",
    clear="Take out what was denied, or confirm it.",
    example="cow four twelve left hind ulcer vet friday no need for the vet",
)


@check(
    "material-without-action",
    what="A material without an action.",
    why="What was done with it was not understood.",
    clear="Give the action, or take the material out.",
    example="cow four twelve left hind sole ulcer wooden",
)
def _material_without_action(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for piece in facts.loose:
        if isinstance(piece, Material):
            what = f"{piece.heard!r} was said without an action"
            yield mark("material-without-action", what, piece)


@check(
    "medicine-said",
    what="A medicine was said to be given.",
    why="It is kept as words only; a treatment record needs its product, dose and withdrawal time.",
    clear="Enter it in the farm's treatment record as vet, label and local law want it, and confirm.",
    example="cow four twelve right hind foul gave her a jab of penicillin",
)
def _medicine(entry: Entry, facts: Facts) -> Iterator[Mark]:
    said = {p.first for p in facts.pieces if isinstance(p, StatusSaid) and p.medicine}
    for status in entry.status:
        if status.first in said:
            yield mark("medicine-said", f"{status.value!r} was said", status)


@check(
    "follow-up-past",
    what="A follow-up is due before the note's own date.",
    why="Nothing can be due in the past; the date or the number is likely misheard.",
    clear="Correct the date.",
    example="cow four twelve wrap off yesterday",
)
def _follow_up_past(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for follow_up in entry.follow_ups:
        dated = follow_up.on is not None and facts.on is not None and follow_up.on < facts.on
        if dated or (follow_up.in_days is not None and follow_up.in_days < 0):
            what = f"{follow_up.kind.value} {follow_up.when} is in the past"
            yield mark("follow-up-past", what, follow_up.kind)


_FAR = {"day": 60, "week": 26}
"""More of them than this are said in longer units: "sixty weeks" is a misheard six."""


@check(
    "follow-up-far",
    what="A follow-up is due many more days or weeks ahead than people count in days or weeks.",
    why="Six and sixty, nine and ninety are easily misheard; who means a year says a year.",
    clear="Correct the interval, or confirm it.",
    example="cow four twelve left hind sole ulcer look again in sixty weeks",
)
def _follow_up_far(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for piece in facts.pieces:
        if not isinstance(piece, TimeSaid) or piece.every is None or piece.value.in_days is None:
            continue
        unit = piece.unit.removesuffix("s")
        if unit in _FAR and piece.value.in_days > _FAR[unit] * piece.every.days:
            yield mark("follow-up-far", f"{piece.heard!r} is a long time", piece)


@check(
    "date-impossible",
    what="No calendar has the day that was said.",
    why="The day or the month is misheard, or a slip of the tongue; no date was made of it.",
    clear="Give the date.",
    example="cow four twelve left hind sole ulcer look again on the thirty first of april",
)
def _date_impossible(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for piece in facts.pieces:
        if isinstance(piece, TimeSaid) and piece.value.no_day:
            yield mark("date-impossible", f"there is no {piece.heard!r}", piece)


@check(
    "wrap-unsaid",
    what="A wrap is to come off a foot that was treated, and none was said to be put on.",
    why="“Spray, bandage, off by Wednesday” says both; with the wrap lost it is not on the bill.",
    clear="Add the wrap if it was put on today, or confirm if it was on her before.",
    example="cow four twelve left hind digital dermatitis blue spray bandage off by wednesday",
)
def _wrap_unsaid(entry: Entry, facts: Facts) -> Iterator[Mark]:
    kinds = {action.kind.value for action in entry.actions}
    if "topical" in kinds and "wrap" not in kinds:
        for follow_up in entry.follow_ups:
            if follow_up.kind.value == "wrap off":
                what = "the wrap is to come off: was it put on today?"
                yield mark("wrap-unsaid", what, follow_up.kind)


@check(
    "time-without-follow-up",
    what="A date or an interval was said without what is due.",
    why="What is to be done then is not known. Behind a block or a wrap the day is kept as that of a look, and asked.",
    clear="Say what is due, or take the time out.",
    example="cow four twelve left hind sole ulcer in two weeks",
)
def _time_without_follow_up(entry: Entry, facts: Facts) -> Iterator[Mark]:
    for piece in facts.loose:
        if isinstance(piece, TimeSaid) and not _is_past(piece):
            what = f"{piece.heard!r} was said without what is due"
            if any(one.kind.first == piece.first for one in entry.follow_ups):
                what = f"{piece.heard!r} was said without what is due, and taken as a look again"
            yield mark("time-without-follow-up", what, piece)


def _is_past(piece: TimeSaid) -> bool:
    """ "The farmer jabbed her yesterday": nothing can be due then."""
    return piece.value.in_days is not None and piece.value.in_days < 0


@check(
    "locomotion-scale-open",
    what="A score without its scale.",
    why="Three on the 1 to 5 scale and three on the 0 to 3 scale are different cows.",
    clear="Choose the scale.",
    example="cow four twelve score three",
)
def _scale_open(entry: Entry, facts: Facts) -> Iterator[Mark]:
    score = entry.locomotion
    if score is not None and score.scale is None:
        what = f"score {score.score.value}: of 1-5 or of 0-3?"
        yield mark("locomotion-scale-open", what, score.score, ("1-5", "0-3"))


@check(
    "score-of-what",
    what="A bare score behind a lesion was taken for how bad the lesion is.",
    why="It may as well be how the cow walks.",
    clear="Confirm it, or put it at how she walks.",
    example="cow four twelve left hind sole ulcer score two",
)
def _score_of_what(entry: Entry, facts: Facts) -> Iterator[Mark]:
    """Two scores tell two lesions apart, and beside a score of her walk one can be no other.

    Nor where it stands among what is said of the lesion: "zone four score two", "score two left hind".
    """
    scored = [
        (at, piece)
        for at, piece in enumerate(facts.pieces)
        if isinstance(piece, Severity) and piece.rule == _SCORE
    ]
    if len(scored) != 1 or entry.locomotion is not None:
        return
    at, piece = scored[0]
    before, behind = get(facts.pieces, at - 1), next_to(facts.pieces, at)
    sited = isinstance(before, Lesion) and isinstance(behind, (*FEET, *CLAWS, Zone))
    if not (sited or isinstance(before, _OF_A_LESION)):
        what = f"{piece.heard!r}: how bad the lesion is, or how she walks?"
        yield mark("score-of-what", what, piece)
