"""Chunks to pieces: rules.toml joins chunks ("zone" + "four"), every other chunk stands alone."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from grammar.hear.chunks import Chunk
from grammar.hear.identifiers import identifier_readings
from grammar.hear.quantities import quantity
from grammar.hear.readers import READERS, Context, Span, fixed_when
from grammar.lexicon.lexicon import Lexicon, Term
from grammar.pieces import (
    ActionSaid,
    Again,
    Asked,
    Claw,
    CorrectionCue,
    Course,
    Dangling,
    Either,
    EndOfNote,
    Except,
    Filler,
    FollowUpSaid,
    Foot,
    ForeignBody,
    Gone,
    HalfFoot,
    Leftover,
    LeftUndone,
    Lesion,
    Material,
    NextCow,
    No,
    Not,
    NotNeeded,
    Number,
    On,
    OtherClaw,
    OtherFeet,
    Others,
    Past,
    Piece,
    Region,
    SameCow,
    Scratch,
    Severity,
    Stage,
    StatusSaid,
    TakenOff,
    TimeSaid,
    Tissue,
    Undone,
    With,
    WrongCow,
)
from grammar.records import How
from grammar.spacy_alone import Doc, Matcher, Vocab

Making = tuple[type[Piece], dict[str, Any]]
"""A kind of piece and the fields that differ from what every term gives."""


def _row(kind: type[Piece], *columns: str) -> Callable[[Term, str, Context], Making]:
    """Make a piece with the term's value and these columns of its row."""
    return lambda term, _, __: (kind, {name: getattr(term.row, name) for name in columns})


def _in_words(term: Term, text: str) -> str:
    """What the record keeps in the speaker's own words: as heard, or as repaired."""
    return term.meant if term.how is How.REPAIRED else text


_COMMANDS: dict[str, Making] = {
    "scratch that": (Scratch, {}),
    "scratch all": (Scratch, {"whole": True}),
    "scratch the": (Scratch, {"named": True}),
    "same cow": (SameCow, {}),
    "next cow": (NextCow, {}),
    "end of note": (EndOfNote, {}),
}


def _command(kind: str, text: str) -> Making:
    made, own = _COMMANDS[kind]
    return made, own | {"value": text}


_OF_TERM: dict[str, Callable[[Term, str, Context], Making]] = {
    "ACTION": _row(ActionSaid, "material", "if_dated", "on_lesion", "tissue"),
    "AGAIN": _row(Again),
    "CLAW": _row(Claw, "of_both_feet"),
    "CLAWWORD": _row(OtherClaw),
    "COMMAND": lambda term, text, _: _command(str(term.value), text),
    "CORRECTION": _row(CorrectionCue, "restates"),
    "COURSE": _row(Course, "stands_before"),
    "EITHER": _row(Either),
    "EXCEPT": _row(Except),
    "FOLLOWUP": _row(FollowUpSaid, "only_dated"),
    "FOOT": _row(Foot, "place"),
    "FOOTWORD": _row(OtherFeet),
    "HALF": _row(HalfFoot),
    "LESION": _row(Lesion),
    "LOOK": lambda _, text, __: (Tissue, {"value": text, "rejected": ()}),
    "MATERIAL": lambda term, text, _: (
        Material, {"value": _in_words(term, text), "of": term.row.for_, "rejected": ()},
    ),
    "NO": _row(No),
    "NOT": _row(Not, "contrasts"),
    "UNDONE": _row(Undone, "later", "passes_over"),
    "LEFTUNDONE": _row(LeftUndone),
    "PAST": _row(Past, "behind"),
    "GONE": _row(Gone),
    "TAKENOFF": _row(TakenOff),
    "NOTNEEDED": _row(NotNeeded),
    "OBJECT": lambda term, text, _: (
        ForeignBody, {"value": _in_words(term, text), "rejected": ()},
    ),
    "ON": _row(On),
    "REGION": _row(Region, "zone", "lesion_alone", "measured"),
    "SEVERITY": _row(Severity, "stands_before"),
    "STAGEWORD": lambda term, _, __: (Stage, {"rejected": term.row.others}),
    "STATUS": _row(StatusSaid, "opposite"),
    "TOLD": lambda _, text, __: (StatusSaid, {"value": text}),
    "MEDICINE": lambda _, text, __: (StatusSaid, {"value": text, "medicine": True}),
    "QUESTION": _row(Asked),
    "TISSUE": _row(Tissue, "stands_before"),
    "WHEN": lambda term, text, context: (
        TimeSaid, {"value": fixed_when(term.row, text, context.on), "rejected": ()},
    ),
    "WITH": _row(With),
    "WRONGCOW": _row(WrongCow),
}  # fmt: skip
"""Tag of a phrase that stands alone -> what it is; the tags left out mean nothing alone."""
_SILENT = frozenset(
    {"ANIMAL", "FILL", "COUNTEDINTALK", "TOLDINTALK", "TOLDOFHER", "CONDITION", "PRICE", "GAVE"}
)
"""Phrases that say nothing alone."""
_DANGLING = frozenset({"UNIT", "TIMEUNIT", "WEEKDAY", "ORDINAL", "MONTH"})


@dataclass(frozen=True, slots=True)
class _Rule:
    """One rule with a matcher of its own, which is asked only where the rule may fit."""

    id: str
    makes: str
    matcher: Matcher
    needs: frozenset[frozenset[str]]
    """Tags and words that stand in whatever the rule fits: one of these sets, whole."""


@lru_cache(maxsize=1)
def _vocab() -> Vocab:
    """Return the store of strings that matchers and documents share; no model is loaded."""
    return Vocab()


@lru_cache(maxsize=4)
def _rules(lexicon: Lexicon) -> tuple[tuple[_Rule, ...], frozenset[str]]:
    """Return the rules of a lexicon, made once, and the words that they name."""
    rules: list[_Rule] = []
    named: set[str] = set()
    for row in lexicon.rules:
        matcher = Matcher(_vocab())
        matcher.add(row.id, [_pattern(text) for text in row.patterns], greedy="LONGEST")
        patterns = [text.split() for text in row.patterns]
        named |= {word.rstrip("?*+") for words in patterns for word in words if word.islower()}
        sets = {
            frozenset(word.rstrip("+") for word in words if word[-1] not in "?*")
            for words in patterns
        }
        needs = frozenset(one for one in sets if not any(other < one for other in sets))
        rules.append(_Rule(id=row.id, makes=row.makes, matcher=matcher, needs=needs))
    return tuple(rules), frozenset(named)


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


@lru_cache(maxsize=4096)
def _may_fit(there: frozenset[str], lexicon: Lexicon) -> tuple[int, ...]:
    """Return the positions of the rules that may fit where these tags and words are."""
    rules, _ = _rules(lexicon)
    return tuple(i for i, rule in enumerate(rules) if any(map(there.issuperset, rule.needs)))


def _rule_spans(chunks: Sequence[Chunk], lexicon: Lexicon) -> list[tuple[int, int, int]]:
    """Return where rules fit, the longest first, then the leftmost, then in the file's order.

    Each is (first chunk, one past the last, position of the rule).
    """
    rules, named = _rules(lexicon)
    tags = [chunk.tag for chunk in chunks]
    # Only words that a rule names: the vocabulary must not grow with what people say.
    words = [chunk.text if chunk.text in named else chunk.tag for chunk in chunks]
    doc = Doc(_vocab(), words=words, tags=tags)
    found = [
        (first, last, position)
        for position in _may_fit(frozenset(tags).union(words), lexicon)
        for _, first, last in rules[position].matcher(doc)
    ]
    return sorted(found, key=lambda span: (span[0] - span[1], span[0], span[2]))


def to_pieces(chunks: Sequence[Chunk], context: Context) -> list[Piece]:
    """Read the chunks; every chunk is in exactly one piece."""
    rules, _ = _rules(context.lexicon)
    used = [False] * len(chunks)
    joined: dict[int, tuple[int, Piece]] = {}
    for first, last, position in _rule_spans(chunks, context.lexicon) if chunks else ():
        if any(used[first:last]):
            continue
        rule = rules[position]
        piece = READERS[rule.makes](Span(chunks=tuple(chunks[first:last]), rule=rule.id), context)
        if piece is not None:
            used[first:last] = [True] * (last - first)
            joined[first] = (last, piece)
    pieces: list[Piece] = []
    at = 0
    while at < len(chunks):
        at, piece = joined[at] if at in joined else (at + 1, _alone(chunks[at], context))
        pieces.append(piece)
    return pieces


def _alone(chunk: Chunk, context: Context) -> Piece:
    """Return the piece of a chunk that no rule has joined to others."""
    words: dict[str, Any] = {
        "first": chunk.first,
        "last": chunk.last,
        "heard": chunk.text,
        "value": chunk.text,
    }
    term = chunk.term
    if chunk.tag == "NUM":
        said, numbers = chunk.text.split(), context.lexicon.numbers
        readings = identifier_readings(said, numbers)
        return Number(**words, identifier=readings, quantity=quantity(said, numbers))
    if term is None:
        if chunk.tag == "FILL":
            return Filler(**words, rule="filler word")
        return (Dangling if chunk.tag in _DANGLING else Leftover)(**words)
    if chunk.tag == "FILL" and term.row.others:
        return Others(**words, rule=term.id, how=term.how)
    if chunk.tag in _SILENT:
        return Filler(**words, rule=term.id, how=term.how)
    if chunk.tag not in _OF_TERM:
        return Leftover(**words, how=term.how)
    kind, own = _OF_TERM[chunk.tag](term, chunk.text, context)
    shared = {"rule": term.id, "how": term.how, "value": term.value, "rejected": term.others}
    return kind(**(words | shared | own))
