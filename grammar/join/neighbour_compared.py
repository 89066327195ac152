"""Comparison and grading by little words: "nothing sore", "worse than a month ago", "call it a one", "from M2 to M3"."""

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace

from grammar.join.cursor import back, find_back, get, past
from grammar.join.hocks import is_hock
from grammar.join.near import is_word, silent
from grammar.lexicon.lexicon import Lexicon
from grammar.lexicon.schema import ComparedWords
from grammar.pieces import (
    DEEDS,
    FEET,
    FINDINGS,
    LINKS,
    MODIFIERS,
    Claw,
    CorrectionCue,
    Course,
    Filler,
    Foot,
    HalfFoot,
    Lesion,
    MeasureSaid,
    Not,
    Number,
    On,
    Past,
    Piece,
    Region,
    Score,
    Severity,
    Stage,
    StatusSaid,
    TimeSaid,
    Tissue,
    Undone,
    Zone,
    is_clean,
    is_side,
    turned,
)

__all__ = [
    "as_it_was",
    "grade_of_side",
    "graded",
    "month_gone",
    "not_so",
    "nothing_of_it",
    "one_of_side",
    "same_size",
    "stage_before",
    "than_foot",
    "than_then",
]

_NOTHING = frozenset({"nothing", "nowt"})
_ADJECTIVES = (Tissue, Severity, Course)
_SWELLINGS = frozenset({"swollen", "swelled"})
_OWN_NUMBER = (Zone, Stage, Score, Severity, TimeSaid, MeasureSaid, Number)
_GRADE_MAX = 5
_A = frozenset({"a"})
_BOTH = frozenset({"both"})
_AS_FAR = 4
"""Pieces before "as" in which the word may stand that makes it compare."""


def nothing_of_it(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Trimmed, nothing sore", "nothing too deep": denies the word behind it, and finds no clean foot."""
    piece, said = pieces[at], past(pieces, at + 1, (Filler,))
    state, between = get(pieces, said), pieces[at + 1 : said]
    if piece.heard not in _NOTHING or not lexicon.denials.degrees.issuperset(
        word for one in between for word in one.heard.split()
    ):
        return None
    of_her = isinstance(state, StatusSaid) and state.opposite is not None
    swollen = isinstance(state, Lesion) and state.heard in _SWELLINGS
    if not (isinstance(state, _ADJECTIVES) or of_her or swollen):
        return None
    if not swollen and isinstance(get(pieces, said + 1), FINDINGS):
        return None  # "fronts nothing, severe ulcer left hind"
    return [turned(piece, Not, value="not", contrasts=False)]


def than_then(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Worse than three weeks ago", "longer than it was in august": today is measured by it, and holds."""
    measured = _is_measure(pieces, at, lexicon.compared, lexicon.compared.to_then)
    return [silent(pieces[at])] if measured else None


def as_it_was(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """The time of "worse than three weeks ago", "than the one we saw in august"."""
    ago = isinstance(get(pieces, at + 1), Past)
    told = is_word(get(pieces, at - 1), lexicon.compared.to_then)
    return than_then(pieces, at, lexicon) if ago or told else None


def than_foot(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Right hind ulcer, deeper than the left", "worse than the one on the right": nothing new of that foot."""
    if find_back(pieces, at - 1, (*FEET, *FINDINGS)) is None or _is_of_both(pieces, at):
        return None
    measured = _is_measure(pieces, at, lexicon.compared, lexicon.compared.to_foot)
    return [silent(pieces[at])] if measured else None


def _is_of_both(pieces: Sequence[Piece], at: int) -> bool:
    """ "Off hind worse than near hind, white line on both outers": the lesion is of both feet."""
    then = past(pieces, at + 1, (*LINKS, *MODIFIERS))
    claw = get(pieces, past(pieces, then + 1, LINKS))
    told = isinstance(get(pieces, then), FINDINGS)
    of_both = isinstance(claw, Claw) and claw.of_both_feet
    both = is_word(get(pieces, then + 2), _BOTH) and isinstance(get(pieces, then + 1), On)
    return told and (of_both or both)


def _is_measure(
    pieces: Sequence[Piece], at: int, words: ComparedWords, between: AbstractSet[str]
) -> bool:
    """Whether a piece is what something is compared with: behind "than", or "as" and its like."""
    place = at - 1
    if pieces[at].heard == "ago" and isinstance(get(pieces, place), TimeSaid):
        place -= 1
    if between is words.to_then and _is_comparison(get(pieces, place)):
        return (
            True  # "worse than it was last time"; "better than before, right hind …" is told anew
        )
    while place >= 0 and pieces[place].heard in between and not _compares(pieces, place, words):
        place -= 1
    while isinstance(get(pieces, place), (*FEET, Stage)) and between is words.to_then:
        place -= 1  # "than the one on the right that we saw in august"
        while place >= 0 and pieces[place].heard in between:
            place -= 1
    return place >= 0 and _compares(pieces, place, words)


def _is_comparison(piece: Piece | None) -> bool:
    return isinstance(piece, Course) and piece.heard.endswith(("than it was", "than before"))


def _compares(pieces: Sequence[Piece], at: int, words: ComparedWords) -> bool:
    """Whether a word is "than"; "as" only behind another: "as deep as", "same size as"."""
    if not is_word(pieces[at], words.compares):
        return False
    led = [one.heard for one in pieces[max(0, at - _AS_FAR) : at]]
    return pieces[at].heard != "as" or (led[-1:] != ["well"] and not words.as_much.isdisjoint(led))


def same_size(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Same size as the left was": alike in that, and nothing said over again."""
    words, as_ = lexicon.compared, get(pieces, at + 2)
    alike = is_word(get(pieces, at + 1), words.alike) and is_word(as_, words.compares)
    return [silent(pieces[at])] if alike else None


def not_so(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "But not so deep" excepts no foot."""
    state = get(pieces, past(pieces, at + 1, (Filler,)))
    denied = pieces[at].heard == "but not" and isinstance(state, _ADJECTIVES)
    return [turned(pieces[at], Not, value="not")] if denied else None


def grade_of_side(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Left is a two and right is a three", "severity two on the left and one on the right"."""
    number, words = pieces[at], lexicon.compared
    grade = _grade(number)
    head = find_back(pieces, at - 1, (*FINDINGS, Region))
    lesion = pieces[head] if head is not None else None
    if isinstance(lesion, Region) and not is_hock(lesion):
        head = find_back(pieces, at - 1, FINDINGS)
        lesion = pieces[head] if head is not None else None
    if grade is None or not isinstance(lesion, (Lesion, Region)) or is_clean(lesion):
        return None
    staged = isinstance(lesion, Lesion) and lexicon.lesions[lesion.value].staged
    if staged or isinstance(get(pieces, at + 1), FINDINGS):
        return None
    side = at - 1
    while is_word(get(pieces, side), words.to_grade):
        side -= 1
    ahead = at + 1
    while isinstance(one := get(pieces, ahead), On) or is_word(one, words.of_grade):
        ahead += 1
    in_turn = number.heard != "one" and _is_side(get(pieces, at + 1))  # "left three, right two"
    before = _is_side(get(pieces, side)) and (side < at - 1 or in_turn)
    of_hock = is_hock(lesion) and isinstance(get(pieces, ahead), Foot)
    graded = _is_graded(pieces, at)
    of_side = (graded or is_hock(lesion)) and _is_side(get(pieces, ahead))
    of_end = graded and _is_end(get(pieces, ahead), linked=ahead > at + 1)
    behind = of_end or (ahead > at + 1 and (of_hock or of_side))
    return [turned(number, Severity, value=f"grade {grade}")] if before or behind else None


def _is_graded(pieces: Sequence[Piece], at: int) -> bool:
    """Whether a lesion was graded by a number before."""
    return any(
        isinstance(one, Score) or (isinstance(one, Severity) and one.value.startswith("grade"))
        for one in pieces[:at]
    )


def _is_end(piece: Piece | None, *, linked: bool) -> bool:
    """ "Score one in front, two behind", "two in the backs"; "two hinds" are counted."""
    return isinstance(piece, Foot) and len(piece.value) > 1 and (linked or piece.place)


def one_of_side(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Left three right one": the right is a one, as the left is a three."""
    half, before = pieces[at], get(pieces, at - 1)
    if not half.heard.endswith(" one") or not isinstance(before, Number):
        return None
    if grade_of_side(pieces, at - 1, lexicon) is None:
        return None
    words, end = half.heard.removesuffix(" one"), half.last - 1
    one = turned(half, Severity, value="grade 1", heard="one", first=end)
    return [replace(half, heard=words, last=end), one]


def _grade(piece: Piece) -> int | None:
    """Return what grade a number may be."""
    score = piece.quantity if isinstance(piece, Number) else None
    return int(score) if score is not None and score in range(_GRADE_MAX + 1) else None


def _is_side(piece: Piece | None) -> bool:
    single = isinstance(piece, Foot) and len(piece.value) == 1
    return single or isinstance(piece, HalfFoot) or is_side(piece)


def graded(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """The number of "heel erosion, call it a one", where the lesion has no number of its own yet.

    Behind a grade "a one" is one more: "grade two, same on the other side, only a one".
    """
    number, cue = pieces[at], get(pieces, back(pieces, at - 1, (Filler,)))
    score = _grade(number)
    if score is None:
        return None
    if is_word(get(pieces, at - 1), _A) and _is_graded(pieces, at):
        more = isinstance(get(pieces, at + 1), (*FINDINGS, *MODIFIERS))
        return None if more else [turned(number, Severity, value=f"grade {score}")]
    if not isinstance(cue, CorrectionCue) or not cue.heard.endswith(lexicon.compared.calls):
        return None
    head = find_back(pieces, at - 1, (*FINDINGS, *_OWN_NUMBER))
    lesion = pieces[head] if head is not None else None
    if not isinstance(lesion, Lesion) or is_clean(lesion):
        return None
    return [turned(number, Severity, value=f"grade {score}")]


def stage_before(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """The M2 of "gone from M2 to M3", "was M2, is M4", "M2 down to M1": what it was is no value of today."""
    piece, then, told = pieces[at], past(pieces, at + 1, LINKS), lexicon.compared
    led = get(pieces, at - 1)
    if find_back(pieces, at - 1, (Stage,)) is not None and is_word(led, told.compares):
        return [silent(piece)]  # "m three, compared with m two at the last visit"
    stage, between = get(pieces, then), pieces[at + 1 : then]
    if not isinstance(stage, Stage) or any(map(is_side, between)):
        return None
    words = {word for one in between for word in one.heard.split()}
    if not told.joins.isdisjoint(words):
        return None
    moved = "to" in words and (is_word(led, told.from_) or not told.from_.isdisjoint(words))
    return [silent(piece)] if moved or not told.became.isdisjoint(words) else None


def month_gone(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Had foot rot on the left hind in august": a month behind what she had is over."""
    kinds = (*FINDINGS, *MODIFIERS, *DEEDS, Undone, TimeSaid)
    piece, head = pieces[at], find_back(pieces, at - 1, kinds)
    month = piece.heard.removeprefix("in ") in lexicon.numbers.months
    if head is None or not month or not isinstance(pieces[head], (*FINDINGS, *MODIFIERS)):
        return None
    led = back(pieces, head - 1, MODIFIERS)
    words = pieces[back(pieces, led, (Filler,)) + 1 : head]
    had = any(is_word(one, lexicon.compared.had) for one in words)
    return [turned(piece, Past, value="past", behind=True)] if had else None
