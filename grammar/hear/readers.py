"""What each rule of rules.toml makes of its chunks; a reader that cannot read them returns None."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from itertools import pairwise
from typing import Any, TypeVar

from grammar.hear import whens
from grammar.hear.chunks import Chunk
from grammar.hear.identifiers import identifier_readings
from grammar.hear.quantities import counted_on, quantity
from grammar.hear.words import UNKNOWN
from grammar.lexicon.lexicon import Lexicon
from grammar.lexicon.schema import WhenRow
from grammar.pieces import (
    AnimalSaid,
    Filler,
    Foot,
    ForeignBody,
    HalfFoot,
    MeasureSaid,
    Piece,
    Score,
    Severity,
    Stage,
    StatusSaid,
    TimeSaid,
    Zone,
)
from grammar.records import How

__all__ = ["READERS", "Context", "Span", "fixed_when"]

P = TypeVar("P", bound=Piece)


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """What the readers need besides the chunks."""

    lexicon: Lexicon
    on: date | None
    """The clip's own date."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """The chunks that a rule has matched."""

    chunks: tuple[Chunk, ...]
    rule: str

    @property
    def said(self) -> str:
        return " ".join(chunk.text for chunk in self.chunks)

    def of(self, tag: str) -> Chunk | None:
        """Return the first chunk with this tag."""
        return next((chunk for chunk in self.chunks if chunk.tag == tag), None)

    def counts(self, context: Context) -> list[Fraction] | None:
        """Return the quantities among the chunks, or None where one of them is no quantity."""
        numbers = context.lexicon.numbers
        read = [quantity(c.text.split(), numbers) for c in self.chunks if c.tag == "NUM"]
        return None if None in read else [value for value in read if value is not None]

    def make(self, kind: type[P], value: object, **own: Any) -> P:
        """Make the piece of all the words; `own` are the fields that only its kind has."""
        terms = (chunk.term for chunk in self.chunks)
        repaired = any(term is not None and term.how is How.REPAIRED for term in terms)
        words: dict[str, Any] = {
            "first": self.chunks[0].first, "last": self.chunks[-1].last, "heard": self.said,
            "rule": self.rule, "how": How.REPAIRED if repaired else How.EXACT, "value": value,
        }  # fmt: skip
        return kind(**words, **own)


_HER = "one"
"""Stands for her behind her kind, and is no number."""

Reader = Callable[[Span, Context], Piece | None]


def _is_whole(value: Fraction, low: int, high: int) -> bool:
    return value.denominator == 1 and low <= value <= high


# --- animals --------------------------------------------------------------------------------


def _animal(span: Span, context: Context) -> Piece | None:
    return _identified(span, context, ending=False)


def _ending(span: Span, context: Context) -> Piece | None:
    return _identified(span, context, ending=True)


def _identified(span: Span, context: Context, *, ending: bool) -> Piece | None:
    words, numbers = tuple(span.chunks[-1].text.split()), context.lexicon.numbers
    if words == (_HER,) and span.chunks[0].text in numbers.kinds.words:
        return None  # "the jersey one"
    readings = identifier_readings(words, numbers)
    return span.make(AnimalSaid, readings, words=words, ending=ending) if readings else None


# --- sites ----------------------------------------------------------------------------------


def _zone(span: Span, context: Context) -> Piece | None:
    numbers = context.lexicon.numbers
    zones: list[Fraction] = []
    for words in (chunk.text.split() for chunk in span.chunks if chunk.tag == "NUM"):
        one = quantity(words, numbers)
        zones += [one] if one is not None else map(Fraction, counted_on(words, numbers))
    if not zones or not all(_is_whole(zone, 0, 12) for zone in zones):
        return None
    return span.make(Zone, tuple(dict.fromkeys(int(zone) for zone in zones)))


def _pair(span: Span, context: Context) -> Piece | None:
    """ "left and right hind": the side said first has the end of the foot said second."""
    foot = span.of("FOOT")
    if foot is None or foot.term is None or len(foot.term.value) != 1:
        return None
    side = {"left": "L", "right": "R"}[span.chunks[0].text]
    other = str(foot.term.value[0])
    return span.make(Foot, tuple(dict.fromkeys((side + other[1], other))))


def _either_foot(span: Span, context: Context) -> Piece | None:
    """ "left or right hind": the first, with the other as what it may be."""
    foot = span.of("FOOT")
    if foot is None or foot.term is None or len(foot.term.value) != 1:
        return None
    other = str(foot.term.value[0])
    first = {"left": "L", "right": "R"}[span.chunks[0].text] + other[1]
    return span.make(Foot, (first,), rejected=(other,)) if first != other else None


def _either_side(span: Span, context: Context) -> Piece | None:
    """ "left or right": the first, with the other as what it may be."""
    first, _, other = span.said.split()
    return span.make(HalfFoot, first, rejected=(other,))


def _split_foot(span: Span, context: Context) -> Piece | None:
    """ "left outer hind" is the outer claw of the left hind."""
    claw, half = span.chunks[1].term, span.chunks[2].term
    if claw is None or half is None or half.row.end is None or claw.value == "both":
        return None
    foot = span.chunks[0].text[0].upper() + half.row.end[0].upper()
    return span.make(Foot, (foot,), claw=claw.value)


# --- details --------------------------------------------------------------------------------

_STAGES = {Fraction(n): f"M{n}" for n in range(5)} | {Fraction(41, 10): "M4.1"}


def _stage(span: Span, context: Context) -> Piece | None:
    values = span.counts(context)
    if not values or len(values) != 1 or values[0] not in _STAGES:
        return None
    return span.make(Stage, _STAGES[values[0]])


def _grade(span: Span, context: Context) -> Piece | None:
    values = span.counts(context)
    if not values or not all(_is_whole(value, 0, 10) for value in values):
        return None
    scale = f" of {values[1]}" if len(values) > 1 else ""
    return span.make(Severity, f"grade {values[0]}{scale}")


_SCALES = {5: "1-5", 3: "0-3"}


def _locomotion(span: Span, context: Context) -> Piece | None:
    """A score and its scale; 4 and 5 exist only on 1-5, 0 only on 0-3; else the words decide.

    "Lame three" is a lameness of three; of "lame one" the one may be the cow.
    """
    values = span.counts(context)
    if not values or not 0 <= values[0] <= 5 or span.said == "lame one":
        return None
    if values[0].denominator > 1:
        return span.make(StatusSaid, span.said)  # "locomotion two and a half": kept as said
    score = int(values[0])
    cue = span.of("LOCOMOTION")
    scale = cue.term.row.scale if cue is not None and cue.term is not None else None
    if cue is None and span.of("SCORE") is None:
        scale = "1-5"
    if len(values) > 1:
        scale = _SCALES.get(int(values[1]), scale)
    if score > 3:
        scale = "1-5"
    elif score == 0:
        scale = "0-3"
    return span.make(Score, score, scale=scale)


_DIGITS_SAID = 3
"""Digits said one by one that are a number, and count nothing."""
_WHOLLY = (Fraction(100), "%")
""" "A hundred percent sound" measures nothing."""


def _measure(span: Span, context: Context) -> Piece | None:
    unit, region, number = (span.of(tag) for tag in ("UNIT", "REGION", "NUM"))
    counts = span.counts(context)
    if unit is None or counts is None:
        return None
    if number is not None and not _may_stand_before(number, unit, span, context):
        return None
    size = counts[0] if counts else Fraction(1)
    if number is not None and unit.first < number.first:  # "an inch and a quarter"
        size += 1
    what = str(region.term.value) if region is not None and region.term is not None else ""
    symbol = context.lexicon.numbers.units[unit.text]
    if region is None and (size, symbol) == _WHOLLY:
        return span.make(Filler, span.said)
    return span.make(MeasureSaid, (size, symbol), what=what)


def _bare_measure(span: Span, context: Context) -> Piece | None:
    """ "toe length seven and a half": the unit is left open, and asked for."""
    region, counts = span.of("REGION"), span.counts(context)
    if region is None or region.term is None or not counts or not region.term.row.measured:
        return None
    return span.make(MeasureSaid, (counts[0], ""), what=str(region.term.value))


def _may_stand_before(number: Chunk, unit: Chunk, span: Span, context: Context) -> bool:
    """ "half an inch", "a quarter of an inch", but no "one an inch"."""
    between = any(number.last <= chunk.first < unit.first for chunk in span.chunks)
    return not between or number.text.split()[-1] in context.lexicon.numbers.fractions


def _objects(span: Span, context: Context) -> Piece | None:
    counts = span.counts(context)
    if not counts or not _is_whole(counts[0], 1, 20):
        return None
    return span.make(ForeignBody, span.said)


# --- times ----------------------------------------------------------------------------------


_RANGE_MAX = 12
"""The largest number at the end of a range said without "to"."""


def _side_by_side(span: Span) -> bool:
    return any(a.tag == b.tag == "NUM" for a, b in pairwise(span.chunks))


def _interval(span: Span, context: Context) -> Piece | None:
    unit = span.of("TIMEUNIT")
    counts = span.counts(context)
    if unit is None or counts is None:
        return None
    size = context.lexicon.numbers.time_units[unit.text]
    count = counts[0] if counts else Fraction(2 if "couple" in span.said else 1)
    if _side_by_side(span) and not (
        (span.chunks[0].first or span.chunks[0].tag != "NUM")
        and 0 < counts[0] < counts[1] <= _RANGE_MAX
    ):
        return None  # "in two three days" is a range as "two to three" is; "four two weeks" is none
    number = span.of("NUM")
    if number is not None and number.first > unit.first and " or " in span.said:  # "a week or two"
        count = Fraction(1)
    when = whens.from_count(span.said, count, size, context.on)
    if when is None or (
        span.said.endswith(f" a {unit.text}") and number is not None and count >= 1
    ):
        return None  # "half a year"; but of "zone four a week" the four is none
    return span.make(TimeSaid, when, unit=unit.text, every=size, since=context.on)


_WEEKS_MAX = 60
"""The most weeks that are counted on from a weekday."""


def _weekday(span: Span, context: Context) -> Piece | None:
    day, unit = span.of("WEEKDAY"), span.of("TIMEUNIT")
    if day is None:
        return None
    weeks = 0
    if unit is not None:
        days = context.lexicon.numbers.time_units[unit.text].days
        if not days or days % 7:
            return None
        counts = span.counts(context)
        if counts is None or not all(_is_whole(count, 1, _WEEKS_MAX) for count in counts):
            return None
        weeks = days // 7 * int(counts[0] if counts else 1)
    weekday = context.lexicon.numbers.weekdays[day.text]
    return span.make(TimeSaid, whens.from_weekday(span.said, weekday, weeks, context.on))


def _monthday(span: Span, context: Context) -> Piece | None:
    numbers = context.lexicon.numbers
    month = span.of("MONTH")
    counts = span.counts(context)
    if counts is None or not all(_is_whole(count, 1, 31) for count in counts):
        return None
    ordinals = (numbers.ordinals[c.text] for c in span.chunks if c.tag == "ORDINAL")
    day = int(sum(counts)) + sum(ordinals)
    number = numbers.months[month.text] if month is not None else None
    return span.make(TimeSaid, whens.from_month_day(span.said, day, number, context.on))


def _month_end(span: Span, context: Context) -> Piece | None:
    month = context.lexicon.numbers.months[span.chunks[-1].text]
    return span.make(TimeSaid, whens.from_month_end(span.said, month, context.on))


def _month(span: Span, context: Context) -> Piece | None:
    return span.make(TimeSaid, whens.When(said=span.said))


def fixed_when(row: WhenRow, said: str, on: date | None) -> whens.When:
    """Return the time of a phrase such as "tomorrow" or "end of the month"."""
    if row.days is not None:
        return whens.from_days(said, row.days, on)
    if row.calendar is not None:
        return whens.from_calendar(said, row.calendar, on)
    if row.month_day is not None:
        month, day = row.month_day
        return whens.from_month_day(said, day, month, on)
    return whens.When(said=said)


_HUNDRED = 100


def _talk(span: Span, context: Context) -> Piece | None:
    """ "Forty cows to go"; but "one oh three, sisters" is a number, digit by digit."""
    number, numbers = span.of("NUM"), context.lexicon.numbers
    counted, undone = span.of("COUNTEDINTALK"), span.of("LEFTUNDONE")
    if undone is not None and undone.text.split()[-1] != "do":
        return None
    if undone is not None or (counted is not None and counted.text.split()[0] == "left"):
        counts = span.counts(context)
        if not counts or counts[0] >= _HUNDRED:
            return None  # "four twelve left in the pen"
    alone = counted is not None and " " not in counted.text  # not "heifers done today"
    words = number.text.split() if number is not None and alone else []
    by_digits = {*numbers.digits, *numbers.identifier_digits}.issuperset(words)
    return span.make(Filler, span.said) if len(words) < _DIGITS_SAID or not by_digits else None


def _price(span: Span, context: Context) -> Piece | None:
    """ "Nine dollars forty"; but "nine dollars, four twelve" goes on with an animal."""
    last = span.chunks[-1]
    return None if last.tag == "NUM" and " " in last.text else _talk(span, context)


def _medicine(span: Span, context: Context) -> Piece | None:
    """ "Jab of" and the word that nobody knows behind it: kept in the speaker's own words."""
    cue = span.of("MEDICINE")
    named = [chunk.text for chunk in span.chunks if chunk.tag == "OTHER"]
    if UNKNOWN in named or (cue is span.chunks[0] and not cue.text.endswith(" of")):
        return None
    return span.make(StatusSaid, span.said, medicine=True)


def _condition(span: Span, context: Context) -> Piece | None:
    """ "One and three quarters body score"; a whole number before it may be her own."""
    counts = span.counts(context)
    if not counts or counts[0].denominator == 1:
        return None
    return span.make(StatusSaid, span.said)


def _told(span: Span, context: Context) -> Piece | None:
    """ "Condition score three", "milk withheld four days": kept as said."""
    return span.make(StatusSaid, span.said, medicine=span.of("MEDICINE") is not None)


READERS: dict[str, Reader] = {
    "animal": _animal,
    "bare measure": _bare_measure,
    "condition": _condition,
    "either foot": _either_foot,
    "either side": _either_side,
    "ending": _ending,
    "grade": _grade,
    "interval": _interval,
    "locomotion": _locomotion,
    "measure": _measure,
    "medicine": _medicine,
    "month": _month,
    "month end": _month_end,
    "monthday": _monthday,
    "objects": _objects,
    "pair": _pair,
    "price": _price,
    "split foot": _split_foot,
    "stage": _stage,
    "talk": _talk,
    "told": _told,
    "weekday": _weekday,
    "zone": _zone,
}
"""`makes` of a rule -> its reader."""
