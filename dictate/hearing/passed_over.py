"""Words that came to nothing, and that another hearing of the same sound has as something to record.

"Half inch screw left wrap off", and the next hearing "half inch screw wrapped wrap off": the wrap is in
no slot, so no slot's certainty tells of it. What the words that stand in its place are worth is judged
as that of a slot which the other hearing disputes, and the mark is theirs.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from rapidfuzz.distance import Levenshtein

from dictate.decoder.language import FILLER
from dictate.entry.values import MarkValues
from dictate.hearing.agreement import Opinion
from dictate.hearing.certainty import is_unsure_word, named_slots
from grammar import Word
from grammar.records import Entry

UNSURE_WORD = "unsure-word"
"""Check of words that no slot took; its candidates are the words that may stand in their place."""
_ANIMAL = "animal"
"""What the number may be is asked of the number."""


def marks_of_words(
    entry: Entry,
    words: Sequence[Word],
    rivals: Iterable[tuple[Entry | None, Sequence[Word]]],
    opinion: Opinion | None = None,
    *,
    voice: bool = False,
) -> list[MarkValues]:
    """Return a mark for each stretch of words in place of which a rival has something to record.

    Args:
        entry: As it was read.
        words: Of the hearing that was read.
        rivals: The likeliest other hearings, each with its entry at the same place.
        opinion: What a second listener heard; what it did not hear either is not asked.
        voice: Whether the model had learnt the speaker's voice.
    """
    held = _held(entry)
    found: dict[tuple[int, int], dict[str, None]] = {}
    for other, heard in rivals:
        if other is None:
            continue
        for first, last, instead in _instead(entry, other, words, heard, opinion):
            confidences = [word.confidence for word in words[first:last]]
            known = [one for one in confidences if one is not None]
            open_ = known and held.isdisjoint(range(first, last))
            if open_ and is_unsure_word(min(known), voice=voice):
                found.setdefault((first, last), {})[instead] = None
    return [_mark(words, first, last, tuple(said)) for (first, last), said in found.items()]


def _held(entry: Entry) -> set[int]:
    """The places of words that a slot rests on, or that a mark points at already."""
    spans = [(slot.first, slot.last) for _, slot in named_slots(entry)]
    spans += [(mark.first, mark.last) for mark in entry.marks]
    return {at for first, last in spans for at in range(max(first, 0), last)}


def _instead(
    entry: Entry,
    other: Entry,
    words: Sequence[Word],
    heard: Sequence[Word],
    opinion: Opinion | None,
) -> Iterator[tuple[int, int, str]]:
    """Yield the stretches that other words stand for in which the other entry has more, with those."""
    more = _more(entry, other, opinion)
    if not more:
        return
    texts, there = [word.text for word in words], [word.text for word in heard]
    for change in Levenshtein.opcodes(texts, there):
        instead = there[change.dest_start : change.dest_end]
        places = range(change.dest_start, change.dest_end)
        if change.tag == "replace" and more.intersection(places) and FILLER not in instead:
            yield change.src_start, change.src_end, " ".join(instead)


def _more(entry: Entry, other: Entry, opinion: Opinion | None) -> set[int]:
    """The places, in the other hearing, of words on which something rests that the entry lacks."""
    kept = Counter((kind, value) for kind, value, _ in _said(entry))
    places: set[int] = set()
    for kind, value, span in _said(other):
        kept[kind, value] -= 1
        if kept[kind, value] < 0 and (opinion is None or opinion.bears_out(kind, value)):
            places.update(span)
    return places


def _said(entry: Entry) -> Iterator[tuple[str, str, range]]:
    """Yield what each slot is called in its record, its value, and the places of its words."""
    for name, slot in named_slots(entry):
        if name != _ANIMAL:
            kind = name.rpartition(".")[2].partition("[")[0]
            yield kind, str(slot.value), range(max(slot.first, 0), max(slot.last, 0))


def _mark(words: Sequence[Word], first: int, last: int, instead: tuple[str, ...]) -> MarkValues:
    heard = " ".join(word.text for word in words[first:last])
    return MarkValues(
        id=UNSURE_WORD,
        what=f"{heard!r} was heard unclearly and came to nothing; it may be {' or '.join(map(repr, instead))}",
        why="what stands in its place in another hearing would be recorded",
        clear="listen; choose the words, or leave it out",
        first=first,
        last=last,
        candidates=instead,
    )
