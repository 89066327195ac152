"""Which animal was said: readings of a spoken number against the farm's list.

A number is never bent to fit the list.  Only other readings of the very same words ("four twenty
two" is 422 or 4202) are tried; everything else is shown as a candidate for a person to choose.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from grammar.hear.identifiers import WORDS_MAX, identifier_readings
from grammar.lexicon.lexicon import Lexicon

TWICE_DIGITS_MIN = 3
"""A shorter number said twice is one number: "seventy eight seventy eight" is 7878."""
TWICE_DIGITS = TWICE_DIGITS_MIN - 1
"""Digits of a shorter one, said as a whole and then by its digits, which may be either."""
_WORDS_OF_HALF = 2
"""The fewest words of so many digits, unless they are written as digits: "four twelve"."""
CANDIDATES_MAX = 8
"""The most candidates shown for one animal."""


@dataclass(frozen=True, slots=True)
class Roster:
    """The farm's list of animals."""

    numbers: tuple[str, ...]
    """Management numbers, as the farm writes them."""
    eids: Mapping[str, str] = field(default_factory=dict)
    """15-digit electronic id -> management number."""
    tags: Mapping[str, str] = field(default_factory=dict)
    """Ear tag -> management number."""
    _by_digits: dict[str, tuple[str, ...]] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    def __post_init__(self) -> None:
        index: dict[str, dict[str, None]] = {}
        for spoken, number in self._spoken():
            index.setdefault(spoken, {})[number] = None
        self._by_digits.update({spoken: tuple(found) for spoken, found in index.items()})

    def _spoken(self) -> Iterable[tuple[str, str]]:
        for number in self.numbers:
            yield number, number
            yield _bare(number), number
        for table in (self.eids, self.tags):
            for code, number in table.items():
                digits = "".join(char for char in code if char.isdigit())
                if digits:
                    yield digits, number

    def fits(self, digits: str) -> tuple[str, ...]:
        """Return the animals with exactly these digits (leading zeros may be left out)."""
        exact = self._by_digits.get(digits)
        return exact if exact is not None else self._by_digits.get(_bare(digits), ())

    def ending(self, digits: str) -> tuple[str, ...]:
        """Return the animals whose number, ear tag or electronic id ends in these digits."""
        found = [n for n in self.numbers if n.endswith(digits)]
        for table in (self.tags, self.eids):
            found += [
                number
                for code, number in table.items()
                if "".join(char for char in code if char.isdigit()).endswith(digits)
            ]
        return tuple(dict.fromkeys(found))


_DIGITS_MAX = 40
"""More than any number, ear tag or electronic number has; past it no neighbour is looked for."""


def _bare(digits: str) -> str:
    return digits.lstrip("0") or "0"


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What the words for an animal came to."""

    value: str
    candidates: tuple[str, ...]
    """The value first, then other readings or animals to choose from, best first."""
    fits: tuple[str, ...] = ()
    """Animals of the roster that some reading of the words names exactly."""
    alike: tuple[str, ...] = ()
    """Animals of the roster whose number sounds like it."""
    again: str | None = None
    """A short number that may have been said twice: "nineteen one nine" is 1919, or 19."""
    on_roster: bool = True
    """False where there is a roster and no reading is on it."""


def find_animal(
    readings: Sequence[str],
    words: Sequence[str],
    *,
    ending: bool,
    roster: Roster | None,
    lexicon: Lexicon,
    doubted: Sequence[str] = (),
) -> Found:
    """Choose among the readings of one spoken number.

    readings: every reading of `words`, the usual one first (from `identifier_readings`).
    doubted: readings with a word more or less, where a word may not belong to the number; they are
    offered, and taken only where the farm has such an animal and none that the words name.
    """
    found = _find(readings, words, ending=ending, roster=roster, lexicon=lexicon)
    look = roster.ending if ending and roster else roster.fits if roster else None
    again = _said_again(words, lexicon)
    if again is not None and (look is None or look(again)):
        found, doubted = replace(found, again=again), (again, *doubted)
    others = tuple(one for one in dict.fromkeys(doubted) if one not in found.candidates)
    if look is not None and not found.on_roster:
        fits = tuple(dict.fromkeys(animal for one in doubted for animal in look(one)))
        if fits:
            candidates = tuple(dict.fromkeys((*fits, *found.candidates)))[:CANDIDATES_MAX]
            return replace(found, value=fits[0], candidates=candidates, fits=fits, on_roster=True)
    if not others:
        return found
    candidates = (found.candidates[0], *others, *found.candidates[1:])[:CANDIDATES_MAX]
    return replace(found, candidates=candidates)


def _find(
    readings: Sequence[str],
    words: Sequence[str],
    *,
    ending: bool,
    roster: Roster | None,
    lexicon: Lexicon,
) -> Found:
    if roster is None:
        readings = tuple(dict.fromkeys((*_said_twice(words, lexicon), *readings)))
        return Found(value=readings[0], candidates=tuple(readings[:CANDIDATES_MAX]))
    look = roster.ending if ending else roster.fits
    twice = _said_twice(words, lexicon)
    if twice and readings != twice and not any(look(reading) for reading in readings):
        return _find(twice, words, ending=ending, roster=roster, lexicon=lexicon)
    fits = tuple(dict.fromkeys(animal for reading in readings for animal in look(reading)))
    near = (animal for variant in sound_alikes(words, lexicon) for animal in look(variant))
    alike = tuple(animal for animal in dict.fromkeys(near) if animal not in fits)
    if fits:
        candidates = (fits + alike)[:CANDIDATES_MAX]
        return Found(value=fits[0], candidates=candidates, fits=fits, alike=alike)
    others = dict.fromkeys((readings[0], *alike, *_one_digit_off(readings[0], roster)))
    return Found(
        value=readings[0],
        candidates=tuple(others)[:CANDIDATES_MAX],
        alike=alike,
        on_roster=False,
    )


def _said_twice(words: Sequence[str], lexicon: Lexicon) -> tuple[str, ...]:
    """ "four twelve four twelve", "four twelve four one two": the readings of what is said twice."""
    if len(words) > 2 * WORDS_MAX:
        return ()  # no animal's number; each cut would be read as two long ones
    least = 1 if any(map(str.isdecimal, words)) else _WORDS_OF_HALF
    for half in range(least, len(words) - least + 1):
        first = identifier_readings(words[:half], lexicon.numbers)
        if not first or len(first[0]) < TWICE_DIGITS_MIN:
            continue
        second = identifier_readings(words[half:], lexicon.numbers)
        if second and second[0] == first[0]:
            return first
    return ()


def _said_again(words: Sequence[str], lexicon: Lexicon) -> str | None:
    """Return the short number that is said again in other words: "nineteen one nine", "seven oh seven zero"."""
    whole, digits = list(words[:-TWICE_DIGITS]), list(words[-TWICE_DIGITS:])
    groups = {*lexicon.numbers.teens, *lexicon.numbers.tens}
    if not 0 < len(whole) <= WORDS_MAX or whole == digits or not groups.isdisjoint(digits):
        return None
    if whole[-1] in lexicon.numbers.tens:
        return None  # "twenty two oh" is 220
    first, second = (
        identifier_readings(half, lexicon.numbers) for half in (whole, words[-TWICE_DIGITS:])
    )
    same = first and second and first[0] == second[0] and len(first[0]) == TWICE_DIGITS
    return first[0] if same else None


def sound_alikes(words: Sequence[str], lexicon: Lexicon) -> tuple[str, ...]:
    """Return the readings with one number word changed for one that sounds like it."""
    numbers = lexicon.numbers
    pairs = {(pair.a, pair.b) for pair in numbers.pairs} | {
        (pair.b, pair.a) for pair in numbers.pairs
    }
    found: dict[str, None] = {}
    for at, word in enumerate(words):
        for said, other in pairs:
            if word == said:
                changed = [*words[:at], other, *words[at + 1 :]]
                found.update(dict.fromkeys(identifier_readings(changed, numbers)))
    return tuple(found)


def _one_digit_off(reading: str, roster: Roster) -> tuple[str, ...]:
    """Return animals whose number differs in one digit, or lacks or adds one."""
    near: dict[str, None] = {}
    if len(reading) > _DIGITS_MAX:
        return ()
    for at in range(len(reading)):
        for digit in "0123456789":
            near.update(dict.fromkeys(roster.fits(reading[:at] + digit + reading[at + 1 :])))
    for at in range(len(reading) + 1):
        for digit in "0123456789":
            near.update(dict.fromkeys(roster.fits(reading[:at] + digit + reading[at:])))
        if at < len(reading) > 1:
            near.update(dict.fromkeys(roster.fits(reading[:at] + reading[at + 1 :])))
    return tuple(number for number in near if number != reading)
