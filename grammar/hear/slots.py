"""Chunks to pieces: rules.toml joins chunks ("zone" + "four"), every other chunk stands alone."""

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from grammar.hear.chunks import Chunk, shared_vocab
from grammar.hear.identifiers import identifier_readings
from grammar.hear.quantities import quantity
from grammar.hear.readers import READERS, Context, fixed_when, repaired
from grammar.join.pieces import Piece
from grammar.lexicon.lexicon import Lexicon, Term
from grammar.records import How
from grammar.spacy_alone import Doc, Matcher

__all__ = ["to_pieces"]

_LOST_CUES = frozenset({"zone", "m", "grade", "locomotion", "score", "ending", "outof"})
"""Cues that mean nothing without their number."""


@lru_cache(maxsize=4)
def _matcher(lexicon: Lexicon) -> Matcher:
    matcher = Matcher(shared_vocab())
    for rule in lexicon.rules:
        matcher.add(rule.id, [_pattern(text) for text in rule.patterns], greedy="LONGEST")
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
    """Return the rule matches, the longest first, then the leftmost, then in the file's order."""
    vocab = shared_vocab()
    words = [chunk.text if chunk.tag == "FILL" else chunk.tag for chunk in chunks]
    doc = Doc(vocab, words=words, tags=[chunk.tag for chunk in chunks])
    order = {rule.id: rank for rank, rule in enumerate(lexicon.rules)}
    found = [(first, last, vocab.strings[key]) for key, first, last in _matcher(lexicon)(doc)]
    return sorted(found, key=lambda span: (span[0] - span[1], span[0], order[span[2]]))


def to_pieces(chunks: Sequence[Chunk], context: Context) -> list[Piece]:
    """Read the chunks; every chunk is in exactly one piece."""
    makes = {rule.id: rule.makes for rule in context.lexicon.rules}
    used = [False] * len(chunks)
    joined: dict[int, tuple[int, Piece]] = {}
    for first, last, rule in _rule_spans(chunks, context.lexicon) if chunks else ():
        span = chunks[first:last]
        if any(used[first:last]) or (made := READERS[makes[rule]](span, context)) is None:
            continue
        used[first:last] = [True] * (last - first)
        joined[first] = (last, _joined(span, rule, made))
    pieces: list[Piece] = []
    at = 0
    while at < len(chunks):
        at, piece = joined[at] if at in joined else (at + 1, _alone(chunks[at], context))
        pieces.append(piece)
    return pieces


def _joined(chunks: Sequence[Chunk], rule: str, made: dict[str, Any]) -> Piece:
    fields: dict[str, Any] = {
        "first": chunks[0].first,
        "last": chunks[-1].last,
        "heard": " ".join(chunk.text for chunk in chunks),
        "rule": rule,
        "how": How.REPAIRED if repaired(chunks) else How.EXACT,
    }
    return Piece(**(fields | made))


def _alone(chunk: Chunk, context: Context) -> Piece:
    kind, value, more, rule = chunk.tag.lower(), chunk.text, None, ""
    how, rejected = How.EXACT, ()
    if chunk.tag == "NUM":
        more = _both_readings(chunk, context)
    elif chunk.term is None:
        rule = "filler word" if chunk.tag == "FILL" else ""
    else:
        kind, value, more, rejected = _of_term(chunk.term, chunk.text, context)
        rule, how = ("" if kind == "other" else chunk.term.id), chunk.term.how
    return Piece(
        kind=kind, value=value, first=chunk.first, last=chunk.last, heard=chunk.text, rule=rule,
        how=how, rejected=rejected, more=more,
    )  # fmt: skip


def _both_readings(chunk: Chunk, context: Context) -> dict[str, Any]:
    """A number that no rule took keeps both readings; corrections and bare animals choose one."""
    words, numbers = chunk.text.split(), context.lexicon.numbers
    return {
        "identifier": identifier_readings(words, numbers),
        "quantity": quantity(words, numbers),
    }


def _of_term(term: Term, text: str, context: Context) -> tuple[str, Any, Any, tuple[Any, ...]]:
    """Return kind, value, more and rejected of a lexicon phrase that stands alone."""
    kind = term.tag.lower()
    if kind in _LOST_CUES:
        return "other", text, None, ()
    if kind == "animal":
        return "fill", text, None, ()
    if kind == "command":
        return str(term.value), text, None, ()
    if kind == "stageword":
        return "stage", term.value, "word", term.row.others
    if kind == "material":
        return kind, term.meant if term.how is How.REPAIRED else text, term.row.for_, ()
    if kind == "when":
        return kind, fixed_when(term.row, text, context.on), None, ()
    if kind == "object":
        return kind, term.meant if term.how is How.REPAIRED else text, term.row, ()
    return kind, term.value, term.row, term.others
