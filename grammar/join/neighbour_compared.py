"""Comparison and grading by little words: "nothing sore", "worse than a month ago", "call it a one", "from M2 to M3"."""

from collections.abc import Sequence

from grammar.join.cursor import back, find_back, get, past
from grammar.join.near import is_word, silent
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    DEEDS,
    FINDINGS,
    LINKS,
    MODIFIERS,
    CorrectionCue,
    Course,
    Filler,
    Lesion,
    MeasureSaid,
    Not,
    Number,
    Past,
    Piece,
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

__all__ = ["as_it_was", "graded", "month_gone", "nothing_of_it", "stage_before", "than_then"]

_NOTHING = frozenset({"nothing", "nowt"})
_ADJECTIVES = (Tissue, Severity, Course)
_SWELLINGS = frozenset({"swollen", "swelled"})
_COMPARES = frozenset({"than", "as", "compared to", "compared with"})
_CALLS = ("call it", "call that")
_OWN_NUMBER = (Zone, Stage, Score, Severity, TimeSaid, MeasureSaid, Number)
_GRADE_MAX = 5
_HAD = frozenset({"had", "was", "were", "there was"})
_BECAME = frozenset({"is", "it's", "now", "become", "becomes", "became", "turned"})
_JOINS = frozenset({"and", "or"})
_FROM = frozenset({"from", "down", "up", "gone", "went"})


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


def than_then(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Worse than three weeks ago": what is compared with today is no finding of the past."""
    return [silent(pieces[at])] if _is_compared(pieces, at) else None


def as_it_was(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """The time of "worse than three weeks ago"."""
    ago = isinstance(get(pieces, at + 1), Past) and _is_compared(pieces, at + 1)
    return [silent(pieces[at])] if ago else None


def _is_compared(pieces: Sequence[Piece], past_cue: int) -> bool:
    time = past_cue - 1
    if pieces[past_cue].heard == "ago" and isinstance(get(pieces, time), TimeSaid):
        time -= 1
    return is_word(get(pieces, time), _COMPARES)


def graded(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """The number of "heel erosion, call it a one", where the lesion has no number of its own yet."""
    number, cue = pieces[at], get(pieces, back(pieces, at - 1, (Filler,)))
    if not isinstance(number, Number) or not isinstance(cue, CorrectionCue):
        return None
    score = number.quantity
    if not cue.heard.endswith(_CALLS) or score is None or score not in range(_GRADE_MAX + 1):
        return None
    head = find_back(pieces, at - 1, (*FINDINGS, *_OWN_NUMBER))
    lesion = pieces[head] if head is not None else None
    if not isinstance(lesion, Lesion) or is_clean(lesion):
        return None
    return [turned(number, Severity, value=f"grade {int(score)}")]


def stage_before(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """The M2 of "gone from M2 to M3", "was M2, is M4", "M2 down to M1": what it was is no value of today."""
    piece, then = pieces[at], past(pieces, at + 1, LINKS)
    stage, between = get(pieces, then), pieces[at + 1 : then]
    if not isinstance(stage, Stage) or any(map(is_side, between)):
        return None
    words = {word for one in between for word in one.heard.split()}
    if not _JOINS.isdisjoint(words):
        return None
    led = get(pieces, at - 1)
    moved = "to" in words and (is_word(led, _FROM) or not _FROM.isdisjoint(words))
    return [silent(piece)] if moved or not _BECAME.isdisjoint(words) else None


def month_gone(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Had foot rot on the left hind in august": a month behind what she had is over."""
    piece, head = pieces[at], find_back(pieces, at - 1, (*FINDINGS, *DEEDS, Undone, TimeSaid))
    month = piece.heard.removeprefix("in ") in lexicon.numbers.months
    if head is None or not month or not isinstance(pieces[head], FINDINGS):
        return None
    led = back(pieces, head - 1, MODIFIERS)
    words = pieces[back(pieces, led, (Filler,)) + 1 : head]
    had = any(is_word(one, _HAD) for one in words)
    return [turned(piece, Past, value="past", behind=True)] if had else None
