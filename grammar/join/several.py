"""What is said of several animals: "610 and 611 trimmed", "the first one … the other one", "wrapped both".

Animals named one after the other with nothing between them are one group: what follows is of all of
it, until one of them is named ("610 had …", "the other one …").
"""

from collections.abc import Sequence
from itertools import pairwise

from grammar.join.cursor import back, get, past, seek
from grammar.join.feet import ALL_FEET
from grammar.join.number_lists import LIST_RULE, counts_in, joins
from grammar.join.parts import Part
from grammar.join.taken_over import hand_over, share_sites, take_over
from grammar.pieces import (
    CLAWS,
    DEEDS,
    FEET,
    LINKS,
    UNTAKEN,
    Break,
    Either,
    Filler,
    Foot,
    Lesion,
    Material,
    On,
    OtherClaw,
    OtherFeet,
    Piece,
    Stage,
    TimeSaid,
    is_clean,
    turned,
)

__all__ = ["share_parts"]

_SINGLE = frozenset({"has", "is", "was", "she", "she's", "she has", "she is", "she was"})
"""Behind a list they tell of the last animal only."""
_PLURAL = frozenset(
    {"are", "were", "have", "two", "they", "cows", "heifers", "get", "need", "want"}
)
_TELLS = _SINGLE | {"had", "got", "needs", "looks", "gets", "wants"}
_WHICH = {"first": 0, "former": 0, "second": 1, "third": 2, "last": -1, "latter": -1}
_TO = frozenset({"to", "through", "till", "until", "up to", "to the"})
_RANGE_MAX = 50
"""The most animals that a range is taken for: "one hundred to one hundred and five"."""
_LEADS = frozenset({"for", "of", "in"})
"""What leads from a finding to the animals that it is of."""
_EVERY = frozenset({"all", "each", "every", "any"})
_OF_DEED = (*LINKS, *CLAWS, OtherFeet, Material, TimeSaid)
"""What goes with a deed: its material, claw and time, and of how many animals it is."""
_PAIR = 2
_WORDS = {3: "three"}


def share_parts(parts: list[Part]) -> list[Part]:
    """Give each animal what is said of it together with others."""
    hand_over(parts)
    share_sites(parts)
    kept: list[Part] = []
    at = 0
    while at < len(parts):
        end = _group_end(parts, at)
        group = parts[at:end]
        if len(group) > 1:
            end = _tell(parts, group, end)
        if kept:
            for part in group:
                take_over(kept[-1], part)
        kept += group
        at = end
    for position in range(1, len(kept)):
        _done_to_several(kept[: position + 1])
    return kept


# --- groups ---------------------------------------------------------------------------------


def _group_end(parts: Sequence[Part], at: int) -> int:
    """Return one past the last animal that is said together with the one at this place."""
    last = at
    while last + 1 < len(parts) and parts[last].waits and _may_follow(parts[at : last + 2]):
        last += 1
    if last == at:
        return at + 1
    joints = list(pairwise(parts[at : last + 1]))
    counted = _opens_with(parts[last]) == last - at + 1
    alike = all(len(one.number) == len(parts[last].number) for one, _ in joints)
    listed = alike and _is_joined(*joints[-1])  # "101, 104 and 112"
    together = counted or listed or all(_is_joined(one, other) for one, other in joints)
    return last + 1 if together else at + 1


def _may_follow(parts: Sequence[Part]) -> bool:
    """Whether the last is a further animal, and none that was named before."""
    *named, last = parts
    further = last.number not in [part.number for part in named]
    return last.animal is not None and further and not last.fresh and not last.same


def _is_joined(one: Part, other: Part) -> bool:
    """Whether an "and", a "to" or nothing at all, within one run of numbers, stands between two."""
    if one.animal is None or other.animal is None:
        return False
    run_on = all(isinstance(piece, Either) for piece in one.told)
    listed = other.animal.rule == LIST_RULE and run_on
    return listed or any(map(joins, one.told)) or bool(_between(one, other))


def _between(one: Part, other: Part) -> list[str]:
    """Return the numbers from one animal to the other: "twenty to twenty five"."""
    first, last = one.number, other.number
    to = any(isinstance(piece, Filler) and piece.heard in _TO for piece in one.told)
    if not to or len(first) != len(last) or not 0 < int(last) - int(first) <= _RANGE_MAX:
        return []
    return [str(number).zfill(len(first)) for number in range(int(first), int(last) + 1)]


def _opens_with(part: Part) -> int | None:
    """Return of how many animals the words speak that open what is said: "both", "all three"."""
    told = part.told
    opens = told[: past(told, 0, (*LINKS, OtherFeet, Either))]
    return max((count for piece in opens for count in counts_in(piece)), default=None)


def _tell(parts: Sequence[Part], group: Sequence[Part], end: int) -> int:
    """Give each of a group what is said of it; return where the note goes on."""
    everyone = range(len(group))
    lead = group[0].pieces[: _deed_before(group[0])]
    stream = [(group[-1].told, everyone if not _is_of_last(group[-1]) else [len(group) - 1])]
    for part in group[1:]:
        part.cued = True
        if not part.pieces or part.told is part.pieces:
            part.pieces[:0] = lead
    numbers = [part.number for part in group]
    _ask_between(group)
    while end < len(parts) and parts[end].number in numbers and not parts[end].fresh:
        named = [numbers.index(parts[end].number)]
        if isinstance(get(stream[-1][0], len(stream[-1][0]) - 1), On):
            stream[-1] = (stream[-1][0], named)  # "505 and 506 … ulcer on 506 only"
        stream.append((parts[end].told, named))
        end += 1
    said = [(piece, whose) for told, first in stream for piece, whose in _whose(told, first, group)]
    last = group[-1]
    last.pieces = last.lead
    for piece, whose in said:
        if isinstance(piece, OtherFeet) and piece.heard == f"all {_WORDS.get(len(group))}":
            continue  # "all three heel horn erosion"
        for position in whose:
            if position == max(whose) or not isinstance(piece, (*UNTAKEN, Either)):
                group[position].pieces.append(piece)
    open_ = all(len(whose) == len(group) for _, whose in said)
    if len(group) == _PAIR and open_ and not _is_of_all(group[0], stream[0][0]):
        what = f"is this of {last.number} alone, or of {group[0].number} too?"
        group[0].ask("either-or", what, numbers)
    return end


def _ask_between(group: Sequence[Part]) -> None:
    """ "One hundred to one hundred and five": only those two were named."""
    for one, other in pairwise(group):
        if between := _between(one, other)[1:-1]:
            what = f"{one.number} to {other.number}: those between them too?"
            other.ask("either-or", what, between)


def _is_of_all(first: Part, told: Sequence[Piece]) -> bool:
    """Whether something says that it is not of the last one only: "both", a plural, the whole animal.

    "218 and 219 digital left hind" may be of 219, and 218 was never told of.
    """
    around = (*first.lead, *told)
    said = [word for one in around if isinstance(one, Filler) for word in one.heard.split()]
    counted = any(map(counts_in, around))
    foot = any(isinstance(one, FEET) and not _is_all_four(one) for one in told)
    return counted or not _PLURAL.isdisjoint(said) or not foot


def _is_all_four(piece: Piece) -> bool:
    return isinstance(piece, Foot) and len(piece.value) == len(ALL_FEET)


def _is_of_last(part: Part) -> bool:
    """ "610 and 611 has a wart": told of one."""
    first = get(part.told, past(part.told, 0, (Either,)))
    single = isinstance(first, Filler) and first.heard in _SINGLE
    return single and _opens_with(part) is None


def _whose(
    told: Sequence[Piece], whose: Sequence[int], group: Sequence[Part]
) -> list[tuple[Piece, Sequence[int]]]:
    """Return the pieces with the animals that each is said of."""
    said: list[tuple[Piece, Sequence[int]]] = []
    clause = 0
    for at, piece in enumerate(told):
        named = _named(told, at, whose, len(group))
        if named is None:
            clause = at if joins(piece) else clause
            said.append((piece, whose))
            continue
        if isinstance(get(told, back(told, at - 1, (Filler,))), On):
            said[clause:] = [(one, named) for one, _ in said[clause:]]  # "… ulcer on the last one"
        whose, clause = named, at
        said.append((turned(piece, Break, value=piece.heard, corrections=()), whose))
    return said


def _named(
    told: Sequence[Piece], at: int, whose: Sequence[int], count: int
) -> Sequence[int] | None:
    """Return the animals that "the first one", "the second", "the other one" name."""
    piece, words = told[at], told[at].heard.split()
    tells = _is_told(told, at + 1)
    if (isinstance(piece, Filler) and "one" in words) or (isinstance(piece, TimeSaid) and tells):
        which = next((_WHICH[word] for word in words if word in _WHICH), None)
        if which is not None and which < count and len(words) <= 3:
            return [which % count]
    other = isinstance(piece, OtherClaw) and words == ["other", "one"]
    other = other or (isinstance(piece, Filler) and words[-1:] == ["other"] and tells)
    rest = [one for one in range(count) if one not in whose] or [count - 1]
    return rest if other and len(rest) == 1 else None


def _is_told(told: Sequence[Piece], at: int) -> bool:
    """Whether a verb follows, or a finding."""
    after = get(told, at)
    return isinstance(after, Lesion) or (isinstance(after, Filler) and after.heard in _TELLS)


def _deed_before(part: Part) -> int:
    """Return how many pieces before the first animal are of all: a deed of no foot, or "clean on"."""
    edge = seek(part.pieces, 0, (Break,))
    before = part.pieces[: edge or 0]
    if before and (isinstance(before[-1], On) or before[-1].heard in _LEADS):
        return len(before)  # "no lesions for 480 and 481"
    counted = any(map(counts_in, before))  # "both of them clean, 730 and 738"
    deed = any(isinstance(one, DEEDS) or (counted and is_clean(one)) for one in before)
    plain = all(is_clean(one) or isinstance(one, (*DEEDS, Material, *LINKS)) for one in before)
    return len(before) if deed and plain else 0


# --- deeds said last ------------------------------------------------------------------------


def _done_to_several(parts: Sequence[Part]) -> None:
    """ "777 …, 780 …, recheck both in two weeks", "… wrapped both of them": of each animal.

    Not where two feet or lesions of the last animal may be meant.
    """
    last = parts[-1]
    feet = {foot for one in last.told if isinstance(one, Foot) for foot in one.value}
    lesions = [one for one in last.told if isinstance(one, Lesion) and not is_clean(one)]
    for at, piece in enumerate(last.told):
        if not isinstance(piece, (*DEEDS, Lesion)) or is_clean(piece):
            continue
        first = back(last.told, at - 1, (*LINKS, OtherFeet)) + 1
        end = past(last.told, at + 1, _OF_DEED)
        before, count = _count(last.told[first:at]), _count(last.told[first:end])
        if before is not None:  # "both opened and blocked on the inner"
            end = past(last.told, at + 1, (*DEEDS, *_OF_DEED))
        elif isinstance(piece, Lesion):
            continue  # "… both for sole ulcers on the outer" is of both
        if count is None or count > len(parts) or len(feet) > 1 or len(lesions) > 1:
            continue
        others = parts[-count:-1] if count else parts[:-1]
        if any(part.animal is None or not _has_own(part, piece) for part in others):
            continue
        deed = [one for one in last.told[at:end] if not isinstance(one, (OtherFeet, *UNTAKEN))]
        for part in others:
            part.pieces += deed
        last.pieces = [one for one in last.pieces if not isinstance(one, OtherFeet)]


def _has_own(part: Part, deed: Piece) -> bool:
    """Whether something was said of an animal, and not this with the others."""
    own = any(isinstance(piece, (Lesion, Stage, *DEEDS)) for piece in part.told)
    return own and not any(piece is deed for piece in part.told)


def _count(around: Sequence[Piece]) -> int | None:
    """Return how many animals the words beside a deed speak of; 0 for all, None for none."""
    found = set().union(*map(counts_in, around))
    if found - {0}:
        return max(found)
    words = {word for piece in around for word in piece.heard.split()}
    return 0 if found and words > {"them"} and not words.isdisjoint(_EVERY) else None
