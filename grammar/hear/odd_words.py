"""Little words where they make no sense: `odd_words.toml` says where, from the chunks beside them.

A word of talk means nothing, and so nothing else would ask where an engine wrote one for a word of
the trade: where it stands among such words it is odd, unless people do say it there.
"""

from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import takewhile

from grammar.hear.chunks import Chunk
from grammar.hear.repair import nearest_sound
from grammar.lexicon.lexicon import Lexicon
from grammar.lexicon.schema import LesionRow, OddWordRow
from grammar.records import How

_Row = tuple[frozenset[str], frozenset[str], frozenset[str], OddWordRow]
"""What stands before the word, what behind it, what behind that, and the row itself."""
SOUND_MAX = 0.32
"""How near a word of the trade must sound for a word of talk to be odd."""
LETTERS_MIN = 5
"""Letters of a word whose sound tells anything."""
_INTRODUCES = frozenset({"the", "in", "at"})
_PLACES = frozenset({"on", "in", "at", "behind"})
_VOWELS = frozenset("aeiou")
_MANY = frozenset({"feet", "both", "all", "four", "two", "each"})


@lru_cache(maxsize=4)
def _table(lexicon: Lexicon) -> Mapping[str, list[_Row]]:
    rows: dict[str, list[_Row]] = {}
    for odd in lexicon.odd_words:
        follows, leads_to, then = (
            frozenset(side.split()) for side in (odd.follows, odd.leads_to, odd.then)
        )
        row = (follows, leads_to, then, odd)
        for word in lexicon.odd_talk if odd.of_talk else odd.words:
            rows.setdefault(word, []).append(row)
    return rows


def find_odd_words(chunks: Sequence[Chunk], lexicon: Lexicon) -> tuple[tuple[int, int, str], ...]:
    """Return the places of the little words that make no sense where they stand."""
    table = _table(lexicon)
    return tuple(
        (chunk.first, chunk.last, chunk.text)
        for at, chunk in enumerate(chunks)
        if chunk.text in table
        and not _is_repaired(chunk)
        and _is_odd(chunks, at, table[chunk.text], lexicon)
    )


def _is_repaired(chunk: Chunk) -> bool:
    """Whether it was taken for another word already, which has its own mark."""
    return chunk.term is not None and chunk.term.how is How.REPAIRED


def _is_odd(chunks: Sequence[Chunk], at: int, rows: Sequence[_Row], lexicon: Lexicon) -> bool:
    talk = lexicon.talk
    before = chunks[at - 1] if at else None
    after, next_but_one = (*chunks[at + 1 : at + 3], None, None)[:2]
    return any(
        _is(before, follows, "START", talk)
        and _is(after, leads_to, "END", talk)
        and _is(next_but_one, then, "END", talk)
        and not (row.of_talk and (chunks[at].term is not None or _is_far(chunks[at], lexicon)))
        and not (row.of_one and before is not None and _is_many(before))
        and not (row.of_many and before is not None and not _is_many(before))
        and not (row.of_claw and (_is_of_skin(after) or _has_claw(chunks, at + 1)))
        and not (row.of_lesion and _is_clean(after))
        and not (row.unless_introduced and _is_introduced(chunks, at - 1))
        for follows, leads_to, then, row in rows
    )


def _is(chunk: Chunk | None, wanted: frozenset[str], edge: str, talk: frozenset[str]) -> bool:
    if chunk is None:
        return edge in wanted or "*" in wanted
    if "LIGHT" in wanted and chunk.tag == "FILL" and chunk.text not in talk:
        return True
    if "VOWEL" in wanted and chunk.tag == "LESION" and chunk.text[0] in _VOWELS:
        return True
    return "*" in wanted or chunk.tag in wanted or chunk.text.replace(" ", "_") in wanted


def _is_far(chunk: Chunk, lexicon: Lexicon) -> bool:
    """Whether no word of the trade sounds like it: "although".  Short words sound like too many."""
    return len(chunk.text) >= LETTERS_MIN and nearest_sound(chunk.text, lexicon) > SOUND_MAX


def _is_of_skin(chunk: Chunk | None) -> bool:
    row = chunk.term.row if chunk is not None and chunk.term is not None else None
    return isinstance(row, LesionRow) and row.on == "skin"


def _has_claw(chunks: Sequence[Chunk], at: int) -> bool:
    """ "Left hind a sole ulcer outer": whether its claw was heard, before the next foot."""
    of_lesion = takewhile(lambda chunk: chunk.tag not in ("FOOT", "ACTION"), chunks[at:])
    return any(chunk.tag == "CLAW" for chunk in of_lesion)


def _is_clean(chunk: Chunk | None) -> bool:
    return chunk is not None and chunk.term is not None and chunk.term.value == "no lesion"


def _is_introduced(chunks: Sequence[Chunk], at: int) -> bool:
    """Whether it is a place ("behind", "on the left"), or "on" or "the" stands before."""
    before = chunks[at - 1] if at > 0 else None
    if not _PLACES.isdisjoint(chunks[at].text.split()):
        return True
    return before is not None and (before.tag == "ON" or before.text in _INTRODUCES)


def _is_many(chunk: Chunk) -> bool:
    """ "Both hinds", "fronts", "the outers"."""
    if chunk.tag == "FOOT" and chunk.term is not None and len(chunk.term.value) > 1:
        return True
    words = chunk.text.split()
    return words[-1].endswith("s") or not _MANY.isdisjoint(words)
