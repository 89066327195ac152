"""What each rule of rules.toml makes of its chunks; a reader that cannot read them returns None."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from grammar.hear import whens
from grammar.hear.chunks import Chunk
from grammar.hear.identifiers import identifier_readings
from grammar.hear.quantities import quantity
from grammar.lexicon.lexicon import Lexicon
from grammar.records import How

__all__ = ["READERS", "Context", "Made", "fixed_when"]

Made = dict[str, Any]
"""Fields of the piece that a reader makes: kind, value and whatever differs from the default."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """What the readers need besides the chunks."""

    lexicon: Lexicon
    on: date | None
    """The clip's own date."""


Reader = Callable[[Sequence[Chunk], Context], Made | None]


def _counts(chunks: Sequence[Chunk], context: Context) -> list[Fraction] | None:
    """Return the quantities among the chunks, or None where one of them is no quantity."""
    read = [quantity(c.text.split(), context.lexicon.numbers) for c in chunks if c.tag == "NUM"]
    return None if None in read else [value for value in read if value is not None]


def _is_whole(value: Fraction, low: int, high: int) -> bool:
    return value.denominator == 1 and low <= value <= high


def _said(chunks: Sequence[Chunk]) -> str:
    return " ".join(chunk.text for chunk in chunks)


def _of(chunks: Sequence[Chunk], tag: str) -> Chunk | None:
    return next((chunk for chunk in chunks if chunk.tag == tag), None)


# --- animals --------------------------------------------------------------------------------


def _animal(chunks: Sequence[Chunk], context: Context) -> Made | None:
    return _identified(chunks, context, ending=False)


def _ending(chunks: Sequence[Chunk], context: Context) -> Made | None:
    return _identified(chunks, context, ending=True)


def _identified(chunks: Sequence[Chunk], context: Context, *, ending: bool) -> Made | None:
    words = chunks[-1].text.split()
    readings = identifier_readings(words, context.lexicon.numbers)
    if not readings:
        return None
    return {"kind": "animal", "value": readings, "more": {"ending": ending, "words": words}}


# --- sites ----------------------------------------------------------------------------------


def _zone(chunks: Sequence[Chunk], context: Context) -> Made | None:
    zones = _counts(chunks, context)
    if not zones or not all(_is_whole(zone, 0, 12) for zone in zones):
        return None
    return {"kind": "zone", "value": tuple(dict.fromkeys(int(zone) for zone in zones))}


def _pair(chunks: Sequence[Chunk], context: Context) -> Made | None:
    """ "left and right hind": the side said first has the end of the foot said second."""
    foot = _of(chunks, "FOOT")
    if foot is None or foot.term is None or len(foot.term.value) != 1:
        return None
    side = {"left": "L", "right": "R"}[chunks[0].text]
    other = str(foot.term.value[0])
    return {"kind": "foot", "value": tuple(dict.fromkeys((side + other[1], other)))}


def _split_foot(chunks: Sequence[Chunk], context: Context) -> Made | None:
    """ "left outer hind" is the outer claw of the left hind."""
    claw, half = chunks[1].term, chunks[2].term
    if claw is None or half is None or half.row.end is None or claw.value == "both":
        return None
    foot = chunks[0].text[0].upper() + half.row.end[0].upper()
    return {"kind": "foot", "value": (foot,), "more": {"claw": claw.value}}


# --- details --------------------------------------------------------------------------------

_STAGES = {Fraction(n): f"M{n}" for n in range(5)} | {Fraction(41, 10): "M4.1"}


def _stage(chunks: Sequence[Chunk], context: Context) -> Made | None:
    values = _counts(chunks, context)
    if not values or len(values) != 1 or values[0] not in _STAGES:
        return None
    return {"kind": "stage", "value": _STAGES[values[0]]}


def _grade(chunks: Sequence[Chunk], context: Context) -> Made | None:
    values = _counts(chunks, context)
    if not values or not all(_is_whole(value, 0, 10) for value in values):
        return None
    scale = f" of {values[1]}" if len(values) > 1 else ""
    return {"kind": "severity", "value": f"grade {values[0]}{scale}"}


_SCALES = {5: "1-5", 3: "0-3"}


def _locomotion(chunks: Sequence[Chunk], context: Context) -> Made | None:
    """A score and its scale; 4 and 5 exist only on 1-5, 0 only on 0-3; else the words decide."""
    values = _counts(chunks, context)
    if not values or not _is_whole(values[0], 0, 5):
        return None
    score = int(values[0])
    cue = _of(chunks, "LOCOMOTION")
    scale = cue.term.row.scale if cue is not None and cue.term is not None else None
    if len(values) > 1:
        scale = _SCALES.get(int(values[1]), scale)
    if score > 3:
        scale = "1-5"
    elif score == 0:
        scale = "0-3"
    return {"kind": "locomotion", "value": score, "more": scale}


def _measure(chunks: Sequence[Chunk], context: Context) -> Made | None:
    unit, region, number = (_of(chunks, tag) for tag in ("UNIT", "REGION", "NUM"))
    counts = _counts(chunks, context)
    if unit is None or counts is None:
        return None
    if number is not None and not _may_stand_before(number, unit, chunks, context):
        return None
    size = counts[0] if counts else Fraction(1)
    if number is not None and unit.first < number.first:  # "an inch and a quarter"
        size += 1
    what = str(region.term.value) if region is not None and region.term is not None else ""
    symbol = context.lexicon.numbers.units[unit.text]
    return {"kind": "measure", "value": (size, symbol), "more": what}


def _may_stand_before(
    number: Chunk, unit: Chunk, chunks: Sequence[Chunk], context: Context
) -> bool:
    """ "half an inch", "a quarter of an inch", but no "one an inch"."""
    between = [c for c in chunks if number.last <= c.first < unit.first]
    return not between or number.text.split()[-1] in context.lexicon.numbers.fractions


def _objects(chunks: Sequence[Chunk], context: Context) -> Made | None:
    found = _of(chunks, "OBJECT")
    counts = _counts(chunks, context)
    if found is None or not counts or not _is_whole(counts[0], 1, 20):
        return None
    return {"kind": "object", "value": _said(chunks)}


# --- times ----------------------------------------------------------------------------------


def _when(value: whens.When) -> Made:
    return {"kind": "when", "value": value}


def _interval(chunks: Sequence[Chunk], context: Context) -> Made | None:
    unit = _of(chunks, "TIMEUNIT")
    counts = _counts(chunks, context)
    if unit is None or counts is None:
        return None
    size = context.lexicon.numbers.time_units[unit.text]
    said = _said(chunks)
    count = counts[0] if counts else Fraction(2 if "couple" in said else 1)
    amount = count * (size.months or size.days)
    if amount.denominator != 1:
        return None
    make = whens.from_months if size.months else whens.from_days
    return _when(make(said, int(amount), context.on))


def _weekday(chunks: Sequence[Chunk], context: Context) -> Made | None:
    day, unit = _of(chunks, "WEEKDAY"), _of(chunks, "TIMEUNIT")
    if day is None:
        return None
    weeks = 0
    if unit is not None:
        days = context.lexicon.numbers.time_units[unit.text].days
        if not days or days % 7:
            return None
        weeks = days // 7
    weekday = context.lexicon.numbers.weekdays[day.text]
    return _when(whens.from_weekday(_said(chunks), weekday, weeks, context.on))


def _monthday(chunks: Sequence[Chunk], context: Context) -> Made | None:
    numbers = context.lexicon.numbers
    month = _of(chunks, "MONTH")
    counts = _counts(chunks, context)
    if counts is None or not all(_is_whole(count, 1, 31) for count in counts):
        return None
    day = int(sum(counts)) + sum(numbers.ordinals[c.text] for c in chunks if c.tag == "ORDINAL")
    number = numbers.months[month.text] if month is not None else None
    return _when(whens.from_month_day(_said(chunks), day, number, context.on))


def _month_end(chunks: Sequence[Chunk], context: Context) -> Made | None:
    month = context.lexicon.numbers.months[chunks[-1].text]
    return _when(whens.from_month_end(_said(chunks), month, context.on))


def _month(chunks: Sequence[Chunk], context: Context) -> Made | None:
    return _when(whens.When(said=_said(chunks)))


def fixed_when(row: Any, said: str, on: date | None) -> whens.When:
    """Return the time of a phrase such as "tomorrow" or "end of the month"."""
    if row.days is not None:
        return whens.from_days(said, row.days, on)
    if row.calendar is not None:
        return whens.from_calendar(said, row.calendar, on)
    return whens.When(said=said)


def repaired(chunks: Sequence[Chunk]) -> bool:
    """Whether any of the chunks is a repaired term."""
    return any(chunk.term is not None and chunk.term.how is How.REPAIRED for chunk in chunks)


READERS: dict[str, Reader] = {
    "animal": _animal,
    "ending": _ending,
    "grade": _grade,
    "interval": _interval,
    "locomotion": _locomotion,
    "measure": _measure,
    "month": _month,
    "month end": _month_end,
    "monthday": _monthday,
    "objects": _objects,
    "pair": _pair,
    "split foot": _split_foot,
    "stage": _stage,
    "weekday": _weekday,
    "zone": _zone,
}
"""`makes` of a rule -> its reader."""
