"""Chunks to pieces: rules.toml joins chunks ("zone" + "four"), every other chunk stands alone.

A piece is one slot value as said, with its words; attaching it to an animal, foot and finding is
the next stage.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import lru_cache
from typing import Any

from spacy.matcher import Matcher
from spacy.tokens import Doc

from grammar.chunks import Chunk, blank
from grammar.lexicon import Lexicon
from grammar.numbers import identifier_readings, quantity
from grammar.records import Correction, How
from grammar import whens

__all__ = ["Piece", "to_pieces"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One slot value as said."""

    kind: str
    value: Any
    first: int
    last: int
    heard: str
    rule: str
    how: How = How.EXACT
    rejected: tuple[Any, ...] = ()
    more: Any = None
    """What only this kind has: the scale of a score, the lexicon row of an action …"""
    corrections: tuple[Correction, ...] = ()
    """What this piece has replaced."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """What the readers need besides the chunks."""

    lexicon: Lexicon
    on: date | None


Reader = Callable[[Sequence[Chunk], Context], dict[str, Any] | None]


def _nums(chunks: Sequence[Chunk], context: Context) -> list[Fraction]:
    read = (quantity(c.text.split(), context.lexicon.numbers) for c in chunks if c.tag == "NUM")
    return [value for value in read if value is not None]


def _whole(value: Fraction, low: int, high: int) -> bool:
    return value.denominator == 1 and low <= value <= high


def _animal(chunks: Sequence[Chunk], context: Context) -> dict[str, Any] | None:
    return _identified(chunks, context, ending=False)


def _ending(chunks: Sequence[Chunk], context: Context) -> dict[str, Any] | None:
    return _identified(chunks, context, ending=True)


def _identified(
    chunks: Sequence[Chunk], context: Context, *, ending: bool
) -> dict[str, Any] | None:
    words = chunks[-1].text.split()
    readings = identifier_readings(words, context.lexicon.numbers)
    if not readings:
        return None
    return {"kind": "animal", "value": readings, "more": {"ending": ending, "words": words}}


def _zone(chunks: Sequence[Chunk], context: Context) -> dict[str, Any] | None:
    zones = _nums(chunks, context)
    spoken = sum(chunk.tag == "NUM" for chunk in chunks)
    if len(zones) != spoken or not all(_whole(zone, 0, 12) for zone in zones):
        return None
    return {"kind": "zone", "value": tuple(dict.fromkeys(int(zone) for zone in zones))}


_STAGES = {Fraction(n): f"M{n}" for n in range(5)} | {Fraction(41, 10): "M4.1"}


def _stage(chunks: Sequence[Chunk], context: Context) -> dict[str, Any] | None:
    values = _nums(chunks, context)
    if len(values) != 1 or values[0] not in _STAGES:
        return None
    return {"kind": "stage", "value": _STAGES[values[0]]}


def _grade(chunks: Sequence[Chunk], context: Context) -> dict[str, Any] | None:
    values = _nums(chunks, context)
    if not values or any(not _whole(value, 0, 10) for value in values):
        return None
    scale = f" of {values[1]}" if len(values) > 1 else ""
    return {"kind": "severity", "value": f"grade {values[0]}{scale}"}


def _locomotion(chunks: Sequence[Chunk], context: Context) -> dict[str, Any] | None:
    values = _nums(chunks, context)
    if not values or not _whole(values[0], 0, 5):
        return None
    score = int(values[0])
    cues = [c.term.row.scale for c in chunks if c.term is not None and c.tag == "LOCOMOTION"]
    scale = cues[0] if cues else None
    if len(values) > 1:
        scale = {5: "1-5", 3: "0-3", 4: "0-3"}.get(int(values[1]), scale)
    if score >= 4:  # noqa: PLR2004
        scale = "1-5"
    elif score == 0:
        scale = "0-3"
    return {"kind": "locomotion", "value": score, "more": scale}


def _when(value: whens.When) -> dict[str, Any]:
    return {"kind": "when", "value": value}


def _said(chunks: Sequence[Chunk]) -> str:
    return " ".join(chunk.text for chunk in chunks)


def _interval(chunks: Sequence[Chunk], context: Context) -> dict[str, Any] | None:
    unit = next(chunk for chunk in chunks if chunk.tag == "TIMEUNIT")
    size = context.lexicon.numbers.time_units[unit.text]
    counts = _nums(chunks, context)
    if any(chunk.tag == "NUM" for chunk in chunks) and not counts:
        return None
    count = counts[0] if counts else Fraction(2 if "couple" in _said(chunks) else 1)
    said = _said(chunks)
    if size.months:
        if (count * size.months).denominator != 1:
            return None
        return _when(whens.from_months(said, int(count * size.months), context.on))
    if (count * size.days).denominator != 1:
        return None
    return _when(whens.from_days(said, int(count * size.days), context.on))


def _weekday(chunks: Sequence[Chunk], context: Context) -> dict[str, Any] | None:
    day = next(chunk for chunk in chunks if chunk.tag == "WEEKDAY")
    unit = next((chunk for chunk in chunks if chunk.tag == "TIMEUNIT"), None)
    weeks = 0
    if unit is not None:
        days = context.lexicon.numbers.time_units[unit.text].days
        if not days or days % 7:
            return None
        weeks = days // 7
    weekday = context.lexicon.numbers.weekdays[day.text]
    return _when(whens.from_weekday(_said(chunks), weekday, weeks, context.on))


def _monthday(chunks: Sequence[Chunk], context: Context) -> dict[str, Any] | None:
    numbers = context.lexicon.numbers
    month = next((numbers.months[c.text] for c in chunks if c.tag == "MONTH"), None)
    day = sum(numbers.ordinals[c.text] for c in chunks if c.tag == "ORDINAL")
    counts = _nums(chunks, context)
    if any(not _whole(count, 1, 31) for count in counts):
        return None
    day += int(sum(counts))
    return _when(whens.from_month_day(_said(chunks), day, month, context.on)) if day else None


def _measure(chunks: Sequence[Chunk], context: Context) -> dict[str, Any] | None:
    counts = _nums(chunks, context)
    unit = next((chunk for chunk in chunks if chunk.tag == "UNIT"), None)
    region = next((chunk for chunk in chunks if chunk.tag == "REGION"), None)
    if unit is None:
        return None
    spoken = any(chunk.tag == "NUM" for chunk in chunks)
    if spoken and not counts:
        return None
    number = counts[0] if counts else Fraction(1)
    if spoken and chunks.index(unit) < next(i for i, c in enumerate(chunks) if c.tag == "NUM"):
        number += 1
    what = str(region.term.value) if region is not None and region.term else ""
    symbol = context.lexicon.numbers.units[unit.text]
    return {"kind": "measure", "value": (number, symbol), "more": what}


READERS: dict[str, Reader] = {
    "animal": _animal,
    "ending": _ending,
    "zone": _zone,
    "stage": _stage,
    "grade": _grade,
    "locomotion": _locomotion,
    "interval": _interval,
    "weekday": _weekday,
    "monthday": _monthday,
    "measure": _measure,
}


# --- matching -------------------------------------------------------------------------------


@lru_cache(maxsize=4)
def _rule_matcher(rules: tuple[Any, ...]) -> Matcher:
    matcher = Matcher(blank().vocab)
    for rule in rules:
        patterns = [_pattern(pattern) for pattern in rule.patterns]
        matcher.add(rule.id, patterns, greedy="LONGEST")
    return matcher


def _pattern(text: str) -> list[dict[str, str]]:
    """Compile "ANIMAL+ FILL* NUM" to spaCy's token patterns."""
    tokens = []
    for word in text.split():
        name = word.rstrip("?*+")
        token = {"TAG" if name.isupper() else "ORTH": name}
        if word != name:
            token["OP"] = word[len(name) :]
        tokens.append(token)
    return tokens


def _rule_spans(chunks: Sequence[Chunk], lexicon: Lexicon) -> list[tuple[int, int, str]]:
    """Return the non-overlapping rule matches, longest and leftmost first."""
    rules = lexicon.files["rules"].rule  # type: ignore[attr-defined]
    nlp = blank()
    words = [chunk.text if chunk.tag in ("FILL", "ON") else chunk.tag for chunk in chunks]
    doc = Doc(nlp.vocab, words=words, tags=[chunk.tag for chunk in chunks])
    order = {rule.id: rank for rank, rule in enumerate(rules)}
    found = [(first, last, nlp.vocab.strings[key]) for key, first, last in _rule_matcher(rules)(doc)]
    found.sort(key=lambda span: (-(span[1] - span[0]), span[0], order[span[2]]))
    return found


def to_pieces(chunks: Sequence[Chunk], context: Context) -> list[Piece]:
    """Read the chunks; every chunk gives one piece, alone or joined with others by a rule."""
    makes = {rule.id: rule.makes for rule in context.lexicon.files["rules"].rule}  # type: ignore[attr-defined]
    taken: dict[int, tuple[int, Piece]] = {}
    used = [False] * len(chunks)
    for first, last, rule in _rule_spans(chunks, context.lexicon) if chunks else ():
        if any(used[first:last]):
            continue
        made = READERS[makes[rule]](chunks[first:last], context)
        if made is None:
            continue
        used[first:last] = [True] * (last - first)
        taken[first] = (last, _piece(chunks[first:last], rule, made))
    pieces, at = [], 0
    while at < len(chunks):
        if at in taken:
            at, piece = taken[at]
        else:
            piece = _alone(chunks[at], context)
            at += 1
        pieces.append(piece)
    return pieces


def _piece(chunks: Sequence[Chunk], rule: str, made: dict[str, Any]) -> Piece:
    repaired = any(c.term is not None and c.term.how is How.REPAIRED for c in chunks)
    return Piece(
        first=chunks[0].first,
        last=chunks[-1].last,
        heard=_said(chunks),
        rule=rule,
        how=How.REPAIRED if repaired else How.EXACT,
        **made,
    )


def _alone(chunk: Chunk, context: Context) -> Piece:
    term = chunk.term
    if chunk.tag == "NUM":
        return _bare_number(chunk, context)
    if term is None:
        return Piece(
            kind=chunk.tag.lower(), value=chunk.text, first=chunk.first, last=chunk.last,
            heard=chunk.text, rule="filler word" if chunk.tag == "FILL" else "",
        )  # fmt: skip
    kind, value, more = chunk.tag.lower(), term.value, None
    row: Any = term.row
    rejected: tuple[Any, ...] = ()
    if kind == "command":
        kind = str(value)
    elif kind == "stageword":
        kind, rejected, more = "stage", row.others, "word"
    elif kind in ("region", "half", "action", "followup"):
        more = row
    elif kind == "material":
        value, more = chunk.text, row.for_
    elif kind == "when":
        value = _fixed_when(row, chunk.text, context.on)
    elif kind == "object":
        value = chunk.text if term.how is not How.REPAIRED else term.meant
    return Piece(
        kind=kind, value=value, first=chunk.first, last=chunk.last, heard=chunk.text,
        rule=term.id, how=term.how, rejected=rejected, more=more,
    )  # fmt: skip


def _bare_number(chunk: Chunk, context: Context) -> Piece:
    words, numbers = chunk.text.split(), context.lexicon.numbers
    return Piece(
        kind="num",
        value=chunk.text,
        first=chunk.first,
        last=chunk.last,
        heard=chunk.text,
        rule="",
        more={
            "identifier": identifier_readings(words, numbers),
            "quantity": quantity(words, numbers),
        },
    )


def _fixed_when(row: Any, said: str, on: date | None) -> whens.When:
    if row.days is not None:
        return whens.from_days(said, row.days, on)
    if row.calendar is not None:
        return whens.from_calendar(said, row.calendar, on)
    return whens.undated(said)
