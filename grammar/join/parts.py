"""The pieces of a note cut into animals' parts."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise, takewhile

from grammar.hear.animals import Roster
from grammar.join.cursor import find_back, get, past, seek
from grammar.join.feet import ALL_FEET
from grammar.join.replacing import BARE_ANIMAL_DIGITS, as_animal
from grammar.pieces import (
    CLAWS,
    FEET,
    LINKS,
    ActionSaid,
    AnimalSaid,
    Break,
    CorrectionCue,
    Either,
    Filler,
    FollowUpSaid,
    Foot,
    Leftover,
    Lesion,
    Material,
    NextCow,
    No,
    Not,
    Number,
    On,
    Piece,
    SameCow,
    Scratch,
    StatusSaid,
    TimeSaid,
    Undone,
    WrongCow,
    is_clean,
    turned,
)

__all__ = ["Part", "bare_animals", "drop_openers", "share_parts", "split_parts"]

BARE_RULE = "animal by number alone"
_OPENERS = frozenset({"good", "fine", "grand", "clear", "all good"})
"""Words that may open a note, before its animal, and then say nothing of a foot."""
_INTERJECTIONS = frozenset({"ok", "okay", "lovely", "perfect", "spot on", "sweet as", "nice"})
"""Words that say that a foot is clean only right after a foot, a claw or the animal."""
_FEET_WORDS = frozenset({"feet", "foot", "claws", "legs", "hooves"})
_MAY_BE_CLEAN = (*FEET, *CLAWS, AnimalSaid)
_COUNTING = frozenset({"has", "had", "past", "at", "about", "over", "under"})
"""Before a number without "cow" they tell of a count or a time: "he has two hundred milking"."""
_INTRODUCES = frozenset(
    {"is", "that's", "it's", "she's", "on", "of", "number", "this one", "this one here"}
)
_TELLS = frozenset({"has", "is", "had", "was", "needs", "got"})
_ONE_AND_SCRATCH = 2
"""An animal and "scratch that", behind which the right one is said."""
_TWO_OF = (3, 4)
"""Digits of each of two numbers that may have run together."""
_NEAR = 20
"""How far apart two animals are at most that were said one after the other."""
_TRIM = "functional trim"
_SHARED = frozenset({"both", "all", "both of them", "the pair", "are"})
_STARTS = (AnimalSaid, SameCow, NextCow)


@dataclass(slots=True, kw_only=True)
class Part:
    """The pieces of one animal."""

    animal: AnimalSaid | None = None
    pieces: list[Piece] = field(default_factory=list)
    cued: bool = True
    """Whether "cow", "number" … stood before the animal's number."""
    same: bool = False
    """After "same cow"."""
    fresh: bool = False
    """After "next cow": the animal does not carry over."""

    def names_again(self, animal: AnimalSaid) -> bool:
        """Whether a number says the same animal again, or leaves open which of two it is."""
        if self.animal is None:
            return False
        if _is_or(self.pieces):
            animal = _in_full(animal, self.animal)
            self.pieces.append(_either_animal(self.animal, animal))
            self.animal = replace(self.animal, rejected=(*self.animal.rejected, animal.value))
            return True
        # Only the usual reading counts: 901 and "ninety one" (91, or 901) are two animals.
        return self.animal.value[0] == animal.value[0]


def bare_animals(pieces: Sequence[Piece], roster: Roster | None) -> list[Piece]:
    """Take a number at the start of a note, or a long or known one later on, as an animal.

    Never behind an animal with only unknown words between: "four [unk] twelve" is a number with a
    hole in it, and no second animal.
    """
    result: list[Piece] = []
    for at, piece in enumerate(pieces):
        animal = as_animal(piece) if isinstance(piece, Number) else None
        if animal is not None and _may_be_animal(animal, result, roster):
            known = (p for p in reversed(result) if not isinstance(p, (*LINKS, Leftover)))
            before = next(known, None)
            cued = before is None or isinstance(before, NextCow) or _names_animal(result)
            cued = cued or _is_introduced(result) or _is_subject(pieces, at, animal, result)
            result.append(replace(animal, bare=not cued, rule=BARE_RULE))
        else:
            result.append(piece)
    return result


def _is_introduced(before: Sequence[Piece]) -> bool:
    """ "Well that's nine two two", "tidy feet on four one nine": the first number of the note."""
    last = before[-1] if before else None
    introduced = isinstance(last, (Filler, On)) and last.heard in _INTRODUCES
    first = not any(isinstance(piece, AnimalSaid) for piece in before)
    again = isinstance(last, Scratch) and len(before) == _ONE_AND_SCRATCH and not first
    return (introduced and first) or again


def _is_subject(
    pieces: Sequence[Piece], at: int, animal: AnimalSaid, before: Sequence[Piece]
) -> bool:
    """ "Ah look at this, three hundred and eighteen has mortellaro"; a short one only if the first."""
    verb = get(pieces, at + 1)
    tells = isinstance(verb, Filler) and verb.heard in _TELLS
    short = len(animal.value[0]) < BARE_ANIMAL_DIGITS
    return tells and not (short and any(isinstance(piece, AnimalSaid) for piece in before))


def _may_be_animal(animal: AnimalSaid, before: Sequence[Piece], roster: Roster | None) -> bool:
    if _is_counted(animal, before):
        return False
    if animal.heard == "one" and before and isinstance(before[-1], Filler):
        return False  # "there's always one, cow seven oh seven"
    solid = [p for p in before[-6:] if not isinstance(p, LINKS)]
    last = solid[-1] if solid else None
    if isinstance(last, (No, Not, CorrectionCue, WrongCow)):
        return False
    if isinstance(last, AnimalSaid) and _is_or(before[before.index(last) + 1 :]):
        return True  # "cow eighty one or eighty two"
    if isinstance(last, Leftover):
        known = next((p for p in reversed(solid) if not isinstance(p, Leftover)), None)
        if isinstance(known, AnimalSaid):
            return False
    starts = all(isinstance(p, (*LINKS, Leftover)) for p in before)
    if starts or isinstance(last, NextCow):
        return True
    if _names_animal(before):
        return True
    if roster is not None:
        return any(roster.fits(reading) for reading in animal.value)
    return len(animal.value[0]) >= BARE_ANIMAL_DIGITS


def _is_counted(animal: AnimalSaid, before: Sequence[Piece]) -> bool:
    """ "He has two hundred milking", "half past nine"; but "have a look at six oh one" is one."""
    if not before or not isinstance(before[-1], Filler) or before[-1].value not in _COUNTING:
        return False
    looks = any(isinstance(one, FollowUpSaid) and one.only_dated for one in before[-2:-1])
    return before[-1].value != "at" or not looks or len(animal.value[0]) < BARE_ANIMAL_DIGITS


def _names_animal(before: Sequence[Piece]) -> bool:
    """ "fresh cow two eleven", "first calver three oh two": the words before end in a cue."""
    return (
        bool(before)
        and isinstance(before[-1], StatusSaid)
        and before[-1].heard.split()[-1] in ("cow", "calver", "heifer")
    )


def drop_openers(pieces: Sequence[Piece]) -> list[Piece]:
    """ "okay, this is cow four twelve": a word for clean that opens a note says nothing of a foot."""
    result = list(pieces)
    solid = [i for i, piece in enumerate(pieces) if not isinstance(piece, (*LINKS, Undone))]
    for order, i in enumerate(solid):
        piece = pieces[i]
        before = pieces[solid[order - 1]] if order else None
        after = pieces[solid[order + 1]] if order + 1 < len(solid) else None
        opens = before is None and isinstance(after, _STARTS) and piece.heard in _OPENERS
        of_feet = i > 0 and pieces[i - 1].heard in _FEET_WORDS
        between = piece.heard in _INTERJECTIONS and not isinstance(before, _MAY_BE_CLEAN)
        between = between and not of_feet
        if isinstance(piece, Lesion) and (opens or between):
            result[i] = turned(piece, Filler, value=piece.heard, rule="filler word")
    return result


def split_parts(pieces: Sequence[Piece]) -> list[Part]:
    """Cut where another animal begins; a lone animal said last still owns what came before."""
    parts = [Part()]
    for piece in pieces:
        part = parts[-1]
        if isinstance(piece, AnimalSaid):
            if part.names_again(piece):
                continue
            if part.animal is not None or (part.same and part.pieces):
                part = Part()
                parts.append(part)
                if piece.rule == BARE_RULE and _names_animal(parts[-2].pieces):
                    part.pieces.append(parts[-2].pieces.pop())
            if part.pieces:
                part.pieces.append(turned(piece, Break, value=piece.heard, corrections=()))
            part.animal = piece
            part.pieces += _maybe_two(piece)
            part.cued = not piece.bare
        elif isinstance(piece, NextCow):
            if part.animal is not None or part.pieces:
                parts.append(Part(fresh=True))
            else:
                part.fresh = True
        elif isinstance(piece, SameCow):
            part.same = True
        else:
            part.pieces.append(piece)
    return parts


def share_parts(parts: Sequence[Part]) -> Sequence[Part]:
    """Give each of two animals said in one breath what is said of both, before them and behind."""
    for part, other in pairwise(parts):
        if not _shares(part, other):
            part.pieces += _due_for_both(part, other)
            continue
        deed = part.pieces[: _deed_before(part)]
        part.pieces += other.pieces
        other.pieces[:0] = deed
    return parts


def _due_for_both(part: Part, other: Part) -> list[Piece]:
    """ "777 …, 780 …, recheck both in two weeks": of each, where no two things of the second are meant."""
    feet = [foot for one in other.pieces if isinstance(one, Foot) for foot in one.value]
    lesions = [piece for piece in other.pieces if isinstance(piece, Lesion)]
    due = seek(other.pieces, 0, (FollowUpSaid,))
    if part.animal is None or other.animal is None or other.fresh or due is None:
        return []
    if len(feet) > 1 or len(lesions) > 1:
        return []
    end = past(other.pieces, due + 1, (*LINKS, TimeSaid))
    around = other.pieces[max(due - 1, 0) : end]
    both = any("both" in piece.heard.split() for piece in around)
    return other.pieces[due:end] if both else []


def _shares(part: Part, other: Part) -> bool:
    """ "Seven oh three and seven oh four both clean", "trimmed two ten and two eleven, clean".

    Without a "both" only where nothing is said of a foot of its own.
    """
    if part.animal is None or other.animal is None:
        return False
    own = part.pieces[_deed_before(part) :]
    if not all(isinstance(piece, (*LINKS, Break)) for piece in own):
        return False
    joined = any(isinstance(piece, Filler) and piece.value == "and" for piece in own)
    opens = [piece.heard for piece in takewhile(lambda one: isinstance(one, LINKS), other.pieces)]
    return joined and (not _SHARED.isdisjoint(opens[:2]) or _is_of_whole(other))


def _deed_before(part: Part) -> int:
    """Return how many pieces stand before the animal, where they are a deed of no foot; else none."""
    edge = seek(part.pieces, 0, (Break,))
    before = part.pieces[: edge or 0]
    deed = any(isinstance(piece, ActionSaid) for piece in before)
    plain = all(isinstance(piece, (ActionSaid, Material, *LINKS)) for piece in before)
    return len(before) if deed and plain else 0


def _is_of_whole(part: Part) -> bool:
    """Whether all that is said of an animal is of the whole of it: "just trimmed", "clean all round"."""
    said = [piece for piece in part.pieces if not isinstance(piece, (*LINKS, Break))]
    return bool(said) and all(
        is_clean(piece)
        or (isinstance(piece, ActionSaid) and piece.value == _TRIM)
        or (isinstance(piece, Foot) and set(piece.value) == set(ALL_FEET))
        for piece in said
    )


def _is_or(pieces: Sequence[Piece]) -> bool:
    """Whether nothing but an "or" stands between two animals: "five oh three or five thirteen"."""
    edge = find_back(pieces, len(pieces) - 1, (Break,), ())
    between = pieces if edge is None else pieces[edge + 1 :]
    words = {word for piece in between for word in piece.heard.split()}
    return "or" in words and all(isinstance(piece, LINKS) for piece in between)


def _in_full(other: AnimalSaid, one: AnimalSaid) -> AnimalSaid:
    """ "Eighty one or two" is 81 or 82: a shorter second number has the first one's beginning."""
    missing = len(one.value[0]) - len(other.value[0])
    if not other.bare or missing <= 0:
        return other
    start = one.value[0][:missing]
    return replace(other, value=(start + other.value[0], *other.value))


def _maybe_two(animal: AnimalSaid) -> list[Piece]:
    """ "Nine sixty six nine sixty seven" may be two animals that came one after the other."""
    digits = animal.value[0]
    half = len(digits) // 2
    one, other = digits[:half], digits[half:]
    if len(one) != len(other) or half not in _TWO_OF or one[0] != other[0] or one == other:
        return []
    near = abs(int(one) - int(other)) <= _NEAR
    return [turned(animal, Either, value=other, rejected=(), corrections=())] if near else []


def _either_animal(one: AnimalSaid, other: AnimalSaid) -> Either:
    return turned(one, Either, value=other.value[0], last=other.last, rejected=(), corrections=())
