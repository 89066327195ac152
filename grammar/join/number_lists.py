"""Several animals' numbers said in one run of number words: "one oh one, one oh four and one twelve".

A run is cut only where every stretch is a whole number of its own and they are of one kind: as many
digits, and near one another, as animals of one farm that come one after the other are.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice, pairwise

from grammar.hear.animals import Roster
from grammar.hear.identifiers import EID_DIGITS, identifier_readings
from grammar.join.cursor import find_back, get, past
from grammar.join.near import is_word, just_before
from grammar.lexicon.lexicon import Lexicon
from grammar.lexicon.schema import Numbers
from grammar.pieces import (
    ANIMAL_EDGES,
    FEET,
    LINKS,
    AnimalSaid,
    CorrectionCue,
    Either,
    Filler,
    No,
    Not,
    Number,
    OtherFeet,
    Piece,
    WrongCow,
    turned,
)

__all__ = ["LIST_RULE", "are_several", "counts_in", "cut_lists", "joins"]

LIST_RULE = "animal in a list of numbers"
_MANY = {"both": 2, "pair": 2, "all": 0, "each": 0, "any": 0, "them": 0}
"""Words that say how many animals are meant; 0 where any number of them."""
_OF_THEM = {"two": 2, "three": 3}
"""Of "the two of them", "all three"."""
_JOINS = frozenset({"and", "plus", "then", "also"})
_KIN = 20
"""How far apart numbers of one list are at most, unless an "and" stands between them."""
_DIGITS = (3, 4, 5, 2)
"""Digits of the numbers of a list, the usual first."""
_SHORT = 2
_PAIR = 2
_SPLIT = (6, 10)
_WHOLE_DIGITS = 5
"""Digits of a number that may rather be two of other lengths, and the most of one of them."""
_SURE = 3
"""As many numbers of three digits or more are a list without any other sign of it."""
_WHOLE = frozenset({12, EID_DIGITS})
_ONE_OF = ("first one", "second one", "last one")
_WORDS_MAX = 30
_STRETCH_MAX = 6
"""Words of one number of a list at most: "four hundred and twenty five"."""
_CUTS_MAX = 8
_Stretch = tuple[int, int, tuple[str, ...]]
"""First word of a number, one past its last, and its readings."""

_SINGLES_MAX = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cut:
    """A run as several numbers."""

    stretches: tuple[_Stretch, ...]
    digits: int
    joined: bool
    """Whether an "and" stands between two of them."""
    completed: bool = False
    """Whether the first was said without its beginning."""


def joins(piece: Piece) -> bool:
    """ "And", "plus", "then": what is said next is a further one."""
    return isinstance(piece, Filler) and not _JOINS.isdisjoint(piece.heard.split())


def counts_in(piece: Piece) -> set[int]:
    """Return of how many animals a little word speaks, 0 for all: "both", "all three", "any of them"."""
    if not isinstance(piece, (Filler, OtherFeet)):
        return set()
    words = piece.heard.split()
    found = {_MANY[word] for word in words if word in _MANY}
    if isinstance(piece, OtherFeet) or "them" in words:
        of_them = {_OF_THEM[word] for word in words if word in _OF_THEM}
        return of_them or found
    return found


def cut_lists(pieces: Sequence[Piece], roster: Roster | None, lexicon: Lexicon) -> list[Piece]:
    """Return the pieces with each run of number words that is a list of animals cut into them."""
    result: list[Piece] = []
    for at, piece in enumerate(pieces):
        if not isinstance(piece, (Number, AnimalSaid)):
            result.append(piece)
            continue
        cut = _cut(piece, lexicon.numbers)
        put_right = isinstance(just_before(pieces, at), (No, Not, CorrectionCue, WrongCow))
        whole = roster is not None and any(map(roster.fits, _readings(piece)))
        whole = whole or (
            cut is not None and cut.digits == _SHORT and _is_like_the_last(pieces, at)
        )
        if cut is None or put_right or whole:
            single = [piece] if put_right or whole else _one_by_one(pieces, at, lexicon)
            result += _of_unlike(pieces, at, lexicon.numbers) if single == [piece] else single
        elif _is_counted_on(pieces, at, [one for _, _, (one, *_) in cut.stretches], lexicon):
            result += _animals(piece, cut)
        else:
            listed = _is_list(pieces, at, cut, roster, lexicon.numbers)
            result += _as_list(piece, cut, roster, lexicon.numbers, listed=listed)
    return result


def _one_by_one(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece]:
    """ "Heifers six seven and eight" are three; "heifers six two and eight" may have 6 and 2, or 62."""
    piece, numbers = pieces[at], lexicon.numbers
    words, readings = _words(piece), _readings(piece)
    after = get(pieces, past(pieces, at + 1, LINKS))
    if (
        not readings
        or not are_several(pieces, at - 1, lexicon)
        or not 1 < len(words) <= _SINGLES_MAX
    ):
        return [piece]
    values = [one[0] for word in words if (one := identifier_readings((word,), numbers))]
    if len(values) != len(words):
        return [piece]
    if _is_counted_on(pieces, at, values, lexicon):
        stretches = tuple((i, i + 1, (value,)) for i, value in enumerate(values))
        return list(_animals(piece, _Cut(stretches=stretches, digits=1, joined=False)))
    listed = isinstance(after, Number) and len(_words(after)) == 1
    if not (listed and set(words) <= set(numbers.digits)) and not _counts_on(values):
        return [piece]
    return [piece, turned(piece, Either, value=readings[0], heard=" and ".join(values), rule="")]


def _of_unlike(pieces: Sequence[Piece], at: int, numbers: Numbers) -> list[Piece]:
    """ "Fourteen sixty, fifty five and two oh eight": behind it comes one that is shorter by far."""
    piece, behind = pieces[at], past(pieces, at + 1, LINKS)
    words, whole, other = _words(piece), _readings(piece)[:1], get(pieces, behind)
    linked = any(map(joins, pieces[at + 1 : behind])) and isinstance(other, (Number, AnimalSaid))
    if other is None or not (linked and whole and len(whole[0]) in range(*_SPLIT)):
        return [piece]
    cuts: list[tuple[str, str]] = []
    for cut in range(1, len(words)):
        one, two = (identifier_readings(w, numbers)[:1] for w in (words[:cut], words[cut:]))
        if one and two and _SHORT <= len(two[0]) <= len(one[0]) <= _WHOLE_DIGITS:
            cuts.append((one[0], two[0]))
    cuts.sort(key=lambda pair: (pair[1].startswith("0"), len(pair[0])))
    said = [turned(piece, Either, value=whole[0], heard=" and ".join(two), rule="") for two in cuts]
    return [piece, *said[:1]]


def are_several(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    """Whether a plural stands here, behind which several numbers follow: "heifers", "numbers"."""
    return is_word(get(pieces, at), frozenset(lexicon.numbers.several.words))


def _is_counted_on(
    pieces: Sequence[Piece], at: int, values: Sequence[str], lexicon: Lexicon
) -> bool:
    """ "Cows ten eleven and twelve": behind a plural, each one more than the one before."""
    after = get(pieces, past(pieces, at + 1, LINKS))
    if not are_several(pieces, at - 1, lexicon) or not isinstance(after, Number):
        return False
    return _counts_on((*values, *_readings(after)[:1]))


def _counts_on(values: Sequence[str]) -> bool:
    steps = {int(other) - int(one) for one, other in pairwise(values)}
    return len(values) >= _SURE and steps == {1}


def _as_list(
    piece: Piece, cut: _Cut, roster: Roster | None, numbers: Numbers, *, listed: bool
) -> list[Piece]:
    """Return the animals, each with a question where the words may as well be one number.

    "Fourteen fifteen and sixteen" has 1415, or 14 and 15; "six ten six eleven" alone is two, for
    nobody says 610611 so; "six one oh six one one" is rather the one.
    """
    readings = _readings(piece)
    known = roster is not None and all(any(map(roster.fits, one)) for _, _, one in cut.stretches)
    open_ = bool(readings) and not known and (cut.digits == _SHORT or cut.completed or not listed)
    animals = list(_animals(piece, cut))
    values = [animal.value[0] for animal in animals]
    grouped = not {*numbers.teens, *numbers.tens, *numbers.scales}.isdisjoint(_words(piece))
    if not listed and not (grouped and cut.digits > _SHORT):
        if cut.digits == _SHORT or len(values) > _PAIR:
            return [piece]
        return [piece, turned(piece, Either, value=values[-1], rule="")]
    if not open_:
        return [*animals]
    said = " and ".join(values)
    asked = (turned(one, Either, value=readings[0], heard=said, rule="") for one in animals)
    return [one for pair in zip(animals, asked, strict=True) for one in pair]


def _cut(piece: Piece, numbers: Numbers) -> _Cut | None:
    words, readings = _words(piece), _readings(piece)
    if not 1 < len(words) <= _WORDS_MAX:
        return None
    for digits in _DIGITS:
        if readings and max(map(len, readings)) < 2 * digits - 1:
            continue  # "nine hundred and nine oh one" is 90901 at most
        for found in islice(_cuts(words, 0, digits, numbers), _CUTS_MAX):
            joined = any(one[1] < other[0] for one, other in pairwise(found))
            values = [said[0] for _, _, said in found]
            if len(set(values)) != len(values) or len(values) == 1:
                continue
            apart = joined and not readings  # "five hundred and five hundred and one"
            if _are_kin(values) or (apart and digits > _SHORT):
                return _Cut(stretches=found, digits=digits, joined=joined)
    return _cut_behind(words, numbers)


def _cut_behind(words: Sequence[str], numbers: Numbers) -> _Cut | None:
    """ "Twelve, four thirteen, four fourteen": the first one's beginning was not heard, or not said."""
    head = identifier_readings(words[:1], numbers)
    if not head or words[0] not in {*numbers.teens, *numbers.tens}:
        return None
    for rest in islice(_cuts(words, 1, _DIGITS[0], numbers), _CUTS_MAX):
        values = [said[0] for _, _, said in rest]
        first = values[0][: -len(head[0])] + head[0]
        if len(values) >= _PAIR and _are_kin([first, *values]) and int(first) < int(values[0]):
            stretches = ((0, 1, (first, *head)), *rest)
            return _Cut(stretches=stretches, digits=_DIGITS[0], joined=False, completed=True)
    return None


def _are_kin(values: Sequence[str]) -> bool:
    """Whether numbers are of one hundred, and near one another."""
    one_start = len({value[:-_SHORT] for value in values}) == 1
    return one_start and max(map(int, values)) - min(map(int, values)) <= _KIN


def _cuts(
    words: Sequence[str], at: int, digits: int, numbers: Numbers
) -> Iterator[tuple[_Stretch, ...]]:
    """Yield the ways to cut the words into numbers of so many digits, each as long as it can be."""
    if at == len(words):
        yield ()
        return
    start = at + (words[at] == "and" and at > 0)
    short = digits == _SHORT and words[start : start + 1]
    if short and {*numbers.digits, *numbers.identifier_digits}.issuperset(short):
        return  # nobody says 12 and 13 digit by digit
    for end in range(min(len(words), start + _STRETCH_MAX), start, -1):
        readings = identifier_readings(words[start:end], numbers)
        if words[end - 1] == "and" or not readings or len(readings[0]) != digits:
            continue
        for rest in _cuts(words, end, digits, numbers):
            yield ((start, end, readings), *rest)


def _words(piece: Piece) -> tuple[str, ...]:
    return piece.words if isinstance(piece, AnimalSaid) else tuple(piece.heard.split())


def _readings(piece: Piece) -> tuple[str, ...]:
    if isinstance(piece, AnimalSaid):
        return piece.value
    return piece.identifier if isinstance(piece, Number) else ()


def _is_list(
    pieces: Sequence[Piece], at: int, cut: _Cut, roster: Roster | None, numbers: Numbers
) -> bool:
    """Whether something else says so too: an "and" with a like number, "both", the farm's list."""
    readings, count = _readings(pieces[at]), len(cut.stretches)
    if not readings or (cut.joined and cut.digits > _SHORT):
        return True
    if roster is not None and all(any(map(roster.fits, one)) for _, _, one in cut.stretches):
        return True
    values = [int(one[0]) for _, _, one in cut.stretches]
    steps = {other - one for one, other in pairwise(values)}
    counted_on = cut.digits > _SHORT or steps <= {1, 2}  # "thirty one, thirty two, thirty three"
    whole = len(readings[0]) in _WHOLE and not steps <= {1, 2}
    if count >= _SURE and counted_on and not whole:
        return True
    if cut.digits > _SHORT and _is_named((*pieces[:at], *pieces[at + 1 :]), cut):
        return True
    return _goes_on(pieces, at, cut, numbers) or _is_counted(pieces, at, cut)


def _goes_on(pieces: Sequence[Piece], at: int, cut: _Cut, numbers: Numbers) -> bool:
    """ "One oh one one oh four and one twelve": a number of the same kind behind an "and"."""
    first = cut.stretches[0][2][0]
    behind = past(pieces, at + 1, LINKS)
    other = get(pieces, behind)
    linked = any(joins(one) for one in pieces[at + 1 : behind])
    if not linked or not isinstance(other, (Number, AnimalSaid)):
        return False
    if cut.digits == _SHORT and any(len(one) > _SHORT for one in _readings(other)[:1]):
        return False  # "twelve thirteen and twelve fourteen"
    nested = _cut(other, numbers)
    readings = nested.stretches[0][2] if nested else _readings(other)
    return bool(readings) and len(readings[0]) == len(first)


def _is_like_the_last(pieces: Sequence[Piece], at: int) -> bool:
    """ "Thirty one ten left front, thirty one eleven right front": as long as the one before."""
    before = find_back(pieces, at - 1, (Number, AnimalSaid), ())
    one = _readings(pieces[before])[:1] if before is not None else ()
    whole = _readings(pieces[at])[:1]
    return bool(one and whole) and len(one[0]) == len(whole[0]) > _SHORT


def _is_named(others: Sequence[Piece], cut: _Cut) -> bool:
    """ "118 and 119, 118 had …": one of the numbers is named alone too."""
    named = {_readings(one)[0] for one in others if _readings(one)}
    return any(readings[0] in named for _, _, readings in cut.stretches)


def _is_counted(pieces: Sequence[Piece], at: int, cut: _Cut) -> bool:
    """ "Six seventy six seventy two both clean", "… all three", "… nothing on any of them"."""
    counts = {len(cut.stretches), *((0,) if cut.digits > _SHORT else ())}
    for place, piece in enumerate(pieces[at + 1 :], at + 1):
        if isinstance(piece, (*ANIMAL_EDGES, Number)):
            return False
        if isinstance(piece, FEET) and cut.digits == _SHORT:
            return False  # "fifty one sixty six, left front …, left hind …, both sound"
        if isinstance(just_before(pieces, place), FEET):
            continue  # "hinds only, both fine"
        pointed = isinstance(piece, Filler) and piece.heard.endswith(_ONE_OF)
        if pointed or not counts.isdisjoint(counts_in(piece)):
            return True
    return False


def _animals(piece: Piece, cut: _Cut) -> Iterator[AnimalSaid]:
    words = _words(piece)
    start = piece.last - len(words)
    for order, (first, last, readings) in enumerate(cut.stretches):
        said = words[first:last]
        if order == 0 and isinstance(piece, AnimalSaid):
            yield replace(piece, value=readings, words=said, last=start + last, rule=piece.rule)
        else:
            yield turned(
                piece, AnimalSaid, value=readings, words=said, heard=" ".join(said),
                first=start + first, last=start + last, rule=LIST_RULE, rejected=(), corrections=(),
            )  # fmt: skip
