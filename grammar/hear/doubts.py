"""What the words themselves leave in doubt, by their places, for the checks."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from grammar.hear.chunks import Chunk
from grammar.hear.odd_words import find_odd_words
from grammar.lexicon.lexicon import Lexicon

Place = tuple[int, int, str]
"""First word, one past the last, and the words as heard."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubts:
    """Hedges, counts, numbers by sound and odd words, in the order said."""

    hedges: tuple[Place, ...] = ()
    """ "looks like", "I'd say": what they stand at is sure of nothing more."""
    counts: tuple[Place, ...] = ()
    """Number words cut off an animal's number as counts: "four twelve, one small ulcer"."""
    by_sound: tuple[Place, ...] = ()
    """Words read as numbers by their sound: "cow for twelve"."""
    odd: tuple[Place, ...] = ()
    """Little words where they make no sense: "left hind of sole ulcer"."""

    def within(self, first: int, last: int) -> "Doubts":
        """Return those between two words."""
        return Doubts(
            hedges=tuple(_within(self.hedges, first, last)),
            counts=tuple(_within(self.counts, first, last)),
            by_sound=tuple(_within(self.by_sound, first, last)),
            odd=tuple(_within(self.odd, first, last)),
        )


def _within(places: Sequence[Place], first: int, last: int) -> Iterator[Place]:
    return (place for place in places if first <= place[0] and place[1] <= last)


def find_doubts(chunks: Sequence[Chunk], by_sound: Mapping[int, str], lexicon: Lexicon) -> Doubts:
    """Collect the doubts of a note.  by_sound: place -> the word heard."""
    return Doubts(
        hedges=tuple((c.first, c.last, c.text) for c in chunks if c.unsure),
        counts=tuple((c.last - 1, c.last, c.text.split()[-1]) for c in chunks if c.count),
        by_sound=tuple((at, at + 1, heard) for at, heard in sorted(by_sound.items())),
        odd=find_odd_words(chunks, lexicon),
    )
