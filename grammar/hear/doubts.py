"""What the words themselves leave in doubt, by their places, for the checks."""

from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from itertools import pairwise

from grammar.hear.chunks import Chunk, cue_before
from grammar.hear.identifiers import identifier_readings
from grammar.hear.number_runs import IDENTIFIER_CUES, ends_a_number
from grammar.hear.odd_words import find_odd_words
from grammar.lexicon.lexicon import Lexicon
from grammar.lexicon.schema import Numbers

Place = tuple[int, int, str]
"""First word, one past the last, and the words as heard."""
_CUED_MIN = 2
"""Words that a number must have behind a misheard "cow"."""
_DIGITS = 2
_SITES = frozenset({"FOOT", "HALF"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Cue:
    """A number word at the start of a note that may be a misheard "cow": "five four twelve"."""

    place: Place
    without: tuple[str, ...]
    """What the number may be without it, the usual reading first."""
    uneven: bool
    """Whether nobody says a number so: a digit before groups, where "fifty four twelve" is said."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubts:
    """Hedges, counts, numbers by sound and odd words, in the order said."""

    hedges: tuple[Place, ...] = ()
    """ "looks like", "I'd say": what they stand at is sure of nothing more."""
    counts: tuple[Place, ...] = ()
    """Number words cut off an animal's number as counts: "four twelve, one small ulcer"."""
    by_sound: tuple[Place, ...] = ()
    """Words read as numbers by their sound: "cow for twelve"."""
    maybe: tuple[tuple[int, int, str, str], ...] = ()
    """Words beside an animal's number that may be a digit of it, and the digit: "eighty for a trim"."""
    cue: Cue | None = None
    odd: tuple[Place, ...] = ()
    """Little words where they make no sense: "left hind of sole ulcer"."""

    def within(self, first: int, last: int) -> "Doubts":
        """Return those between two words."""
        return Doubts(
            hedges=tuple(_within(self.hedges, first, last)),
            counts=tuple(_within(self.counts, first, last)),
            by_sound=tuple(_within(self.by_sound, first, last)),
            maybe=tuple(one for one in self.maybe if first <= one[0] and one[1] <= last),
            cue=self.cue if self.cue and first == 0 else None,
            odd=tuple(_within(self.odd, first, last)),
        )

    def without_and(self, animals: AbstractSet[int]) -> "Doubts":
        """Return them less each odd "and" right before an animal's number, by its first word."""
        odd = (one for one in self.odd if one[2] != "and" or one[1] not in animals)
        return replace(self, odd=tuple(odd))


def _within(places: Sequence[Place], first: int, last: int) -> Iterator[Place]:
    return (place for place in places if first <= place[0] and place[1] <= last)


def find_doubts(
    chunks: Sequence[Chunk],
    by_sound: Mapping[int, str],
    maybe: Mapping[int, str],
    lexicon: Lexicon,
) -> Doubts:
    """Collect the doubts of a note.  by_sound: place -> the words heard; maybe: place -> the digit."""
    return Doubts(
        hedges=tuple((c.first, c.last, c.text) for c in chunks if c.unsure),
        counts=(
            *(
                (c.last - 1, c.last, c.text.split()[-1])
                for c in chunks
                if c.count and not _behind_a_nought(c.text, lexicon.numbers)
            ),
            *_four_feet(chunks, lexicon.numbers),
        ),
        by_sound=tuple((at, at + 1, heard) for at, heard in sorted(by_sound.items())),
        maybe=(
            *((at, at + 1, _text_at(chunks, at), digit) for at, digit in sorted(maybe.items())),
            *_articles(chunks, lexicon.numbers),
        ),
        cue=_find_cue(chunks, lexicon.numbers),
        odd=(*_cut_short(chunks, lexicon.numbers), *find_odd_words(chunks, lexicon)),
    )


def _behind_a_nought(number: str, numbers: Numbers) -> bool:
    """ "Thirty three oh one": the digit behind a nought is the number's own."""
    *_, before, _last = ("", *number.split())
    return numbers.identifier_digits.get(before) == 0 or numbers.digits.get(before) == 0


def _text_at(chunks: Sequence[Chunk], at: int) -> str:
    one = next(chunk for chunk in chunks if chunk.first <= at < chunk.last)
    return one.text.split()[at - one.first]


def _four_feet(chunks: Sequence[Chunk], numbers: Numbers) -> Iterator[Place]:
    """ "Cow five two four feet trimmed" is 52 with four feet, or 524; "four one two" is a number."""
    for at, (number, feet) in enumerate(pairwise(chunks)):
        named = number.tag == "NUM" and (at == 0 or chunks[at - 1].tag in IDENTIFIER_CUES)
        four = named and feet.tag == "FOOT" and feet.text.startswith("four ")
        if four and not ends_a_number(number.text.split(), numbers):
            yield feet.first, feet.first + 1, "four"


def _two_digits(chunks: Sequence[Chunk], at: int, numbers: Numbers) -> list[str]:
    """Return the words of an animal's number of two digits said one by one, as only longer ones are."""
    named = chunks[at].tag == "NUM" and cue_before(chunks[:at]) in {"", *IDENTIFIER_CUES}
    said = chunks[at].text.split() if named else []
    digits = {**numbers.digits, **numbers.identifier_digits}
    return said if len(said) == _DIGITS and all(word in digits for word in said) else []


def _articles(chunks: Sequence[Chunk], numbers: Numbers) -> Iterator[tuple[int, int, str, str]]:
    """ "Cow a two three" may be 823, and "one six the right hind" 163."""
    for at in range(1, len(chunks)):
        said, other = chunks[at - 1], chunks[at]
        cued = at > 1 and chunks[at - 2].tag in IDENTIFIER_CUES
        if said.text in numbers.article_sounds and cued and _two_digits(chunks, at, numbers):
            yield said.first, said.last, said.text, numbers.article_sounds[said.text]
        sited = at + 1 < len(chunks) and chunks[at + 1].tag in _SITES
        if other.text in numbers.article_sounds and sited and _two_digits(chunks, at - 1, numbers):
            yield other.first, other.last, other.text, numbers.article_sounds[other.text]


def _cut_short(chunks: Sequence[Chunk], numbers: Numbers) -> Iterator[Place]:
    """ "Cow eight oh": eighty is said for 80, and so a digit may be lost."""
    for at, chunk in enumerate(chunks):
        said = _two_digits(chunks, at, numbers)
        if said and said[0] in numbers.digits and said[1] in numbers.identifier_digits:
            yield chunk.last - 1, chunk.last, said[1]


def _find_cue(chunks: Sequence[Chunk], numbers: Numbers) -> Cue | None:
    if not chunks or chunks[0].tag != "NUM":
        return None
    said, *rest = chunks[0].text.split()
    if said not in numbers.cue_sounds.words or len(rest) < _CUED_MIN:
        return None
    groups = {*numbers.teens, *numbers.tens, *numbers.scales}
    uneven = rest[1] in groups or (said in numbers.identifier_digits and rest[0] in groups)
    without = identifier_readings(rest, numbers)
    return Cue(place=(0, 1, said), without=tuple(without), uneven=uneven) if without else None
