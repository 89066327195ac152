"""One animal's pieces made ready: denials taken out, what belongs together joined."""

import itertools
from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace

from grammar.join.alternatives import take_alternatives
from grammar.join.cursor import back, find_back, get, past, seek
from grammar.join.denials import take_denied
from grammar.join.feet import ALL_FEET
from grammar.join.narrowing import said_first
from grammar.join.replacing import half_foot
from grammar.join.work import Work
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    CLAWS,
    COPULAS,
    FEET,
    LINKS,
    MODIFIERS,
    UNTAKEN,
    ActionSaid,
    Claw,
    Denied,
    Except,
    Filler,
    Foot,
    ForeignBody,
    HalfFoot,
    Lesion,
    Material,
    MeasureSaid,
    Piece,
    Region,
    Severity,
    Stage,
    Tissue,
    Zone,
    is_linked,
    is_side,
    turned,
)
from grammar.records import How

__all__ = ["leads_to_lesion", "prepare"]

_LINK_WORDS = frozenset({"to", "under", "onto", "in", "at"})
_OF_A_FOOT = (Lesion, Stage, Claw)
_SAID_OF_FOOT = (Lesion, *MODIFIERS, *CLAWS, Zone, Region)
_PRONOUNS = frozenset({"it", "her", "him", "them", "this", "that", "there"})


def prepare(pieces: Sequence[Piece], lexicon: Lexicon) -> Work:
    """Drop fillers (remembering where "on" stood), take out denials, join what belongs together."""
    kept: list[Piece] = []
    link: list[bool] = []
    fillers: list[str] = []
    linked = False
    before = ""
    for piece in _bare_sides(pieces):
        if isinstance(piece, LINKS):
            linked = _links_on(piece, linked)
            before = f"{before} {piece.heard}".strip()
            continue
        if isinstance(piece, UNTAKEN):
            continue
        kept.append(piece)
        link.append(linked or is_linked(piece))
        fillers.append(before)
        linked, before = False, ""
    work = Work(pieces=kept, link=link, before=fillers, lexicon=lexicon, tail=before)
    for step in (
        _take_exceptions,
        _take_denied,
        take_alternatives,
        _join_foreign_bodies,
        _narrow_places,
        _join_feet,
        _stages_alone,
        _regions_alone,
    ):
        step(work)
    return work


def _bare_sides(pieces: Sequence[Piece]) -> Iterator[Piece]:
    """ "both hinds, left M2, right is worse, wrapped left": a bare side that is half a foot.

    Only after a foot, whose end completes it; elsewhere "left" and "right" say nothing.
    """
    foot: Piece | None = None
    before: Piece | None = None
    for i, piece in enumerate(pieces):
        if isinstance(piece, FEET):
            foot = piece
        if is_side(piece) and _names_foot(pieces, i, foot, before):
            yield half_foot(piece)
        else:
            yield piece
        if not isinstance(piece, LINKS):
            before = piece


def _is_foot(pieces: Sequence[Piece], at: int, foot: Piece, before: Piece | None) -> bool:
    """Whether a bare side names a foot: by what follows, and after a pair by what is said of it.

    at: the position behind the side; before: the last piece that is no link.
    """
    after = get(pieces, at)
    if isinstance(after, _OF_A_FOOT) or _after_or(pieces, at - 2) or _at_place(pieces, at):
        return True
    if not isinstance(foot, Foot) or len(foot.value) == 1:
        return False
    if after is None or _is_word(after, {"and"}):
        return isinstance(before, (ActionSaid, Material))
    if _is_word(after, COPULAS):
        after = get(pieces, at + 1)
    return isinstance(after, (*MODIFIERS, ActionSaid))  # "both hinds, left wrapped, right sprayed"


def _names_foot(pieces: Sequence[Piece], at: int, foot: Piece | None, before: Piece | None) -> bool:
    if foot is None:
        return _at_place(pieces, at + 1)
    return _is_foot(pieces, at + 1, foot, before)


def _at_place(pieces: Sequence[Piece], at: int) -> bool:
    """ "lame behind left", "left behind": whether a place stands next to the side before `at`."""
    near = (get(pieces, past(pieces, at, LINKS)), get(pieces, back(pieces, at - 2, LINKS)))
    return any(isinstance(piece, Foot) and piece.place for piece in near)


def _after_or(pieces: Sequence[Piece], at: int) -> bool:
    """ "left hind, or is it right": the words before the side hold an "or"."""
    start = back(pieces, at, LINKS) + 1
    return any("or" in piece.heard.split() for piece in pieces[start : at + 1])


def _is_word(piece: Piece, words: AbstractSet[str]) -> bool:
    return isinstance(piece, Filler) and piece.value in words


def _links_on(piece: Piece, linked: bool) -> bool:
    """ "on the outer" links; "on it, right hind …" does not: the pronoun has taken the "on"."""
    if _is_word(piece, _PRONOUNS):
        return False
    return linked or not isinstance(piece, Filler) or piece.value in _LINK_WORDS


def _take_exceptions(work: Work) -> None:
    """ "all four clean except the left hind": the left hind is taken out of the four."""
    at = 0
    while (found := seek(work.pieces, at, (Except,))) is not None:
        at = found
        work.drop({at})
        at += _name_all(work, at - 1)
        left_out = get(work.pieces, past(work.pieces, at, _SAID_OF_FOOT))
        before = find_back(work.pieces, at - 1, (Foot,), ())
        pair = work.pieces[before] if before is not None else None
        if before is None or not isinstance(pair, Foot) or not isinstance(left_out, Foot):
            continue
        if len(pair.value) > 1:
            if isinstance(get(work.pieces, at), Foot) and not _says_of(work, at):
                work.drop({at})  # "trimmed all four except the left front"
            rest = tuple(foot for foot in pair.value if foot not in left_out.value)
            work.pieces[before] = replace(pair, value=rest or left_out.value)


def _says_of(work: Work, foot: int) -> bool:
    """Whether something is said of a foot before the next foot, the end or another exception."""
    end = seek(work.pieces, foot + 1, (*FEET, Except))
    return (len(work.pieces) if end is None else end) > foot + 1


def _name_all(work: Work, at: int) -> int:
    """Name the four feet of "all clean except …", "trimmed all four except …".

    Only where no foot was said; returns how many pieces more there are.
    """
    said = get(work.pieces, at)
    clean = isinstance(said, Lesion) and said.value == "no lesion"
    of_all = clean or isinstance(said, ActionSaid)
    if said is None or not of_all or "all" not in said.heard.split():
        return 0
    if find_back(work.pieces, at, FEET, ()) is not None:
        return 0
    work.insert(at, turned(said, Foot, value=ALL_FEET, rejected=(), corrections=()))
    return 1


def _take_denied(work: Work) -> None:
    """ "no ulcer there": the denied piece is kept as denied and makes no finding or action."""
    found = take_denied(work.pieces, work.before)
    work.pieces = found.pieces
    work.drop(found.gone)
    work.denied = tuple(found.slots)


def _join_foreign_bodies(work: Work) -> None:
    """ "half inch screw" and "foreign body, a screw" are one foreign body."""
    gone: set[int] = set()
    for i, piece in enumerate(work.pieces):
        if not isinstance(piece, ForeignBody):
            continue
        said = piece.value
        first, corrections = piece.first, piece.corrections
        before = i - 1
        size = get(work.pieces, before)
        if isinstance(size, MeasureSaid) and not size.what:
            said = f"{size.heard.removeprefix('a ').removeprefix('an ')} {said}"
            first, corrections = size.first, size.corrections + corrections
            gone.add(before)
            before -= 1
        plain = get(work.pieces, before)
        if isinstance(plain, Lesion) and plain.value == "foreign body" and plain.object is None:
            first = plain.first
            gone.add(before)
        work.pieces[i] = turned(
            piece, Lesion, value="foreign body", first=first, heard=said, object=said,
            corrections=corrections,
        )  # fmt: skip
    work.drop(gone)


def _narrow_places(work: Work) -> None:
    """ "behind left", "in front, the left one" are one foot; "in front, the left hind" is the hind."""
    gone: set[int] = set()
    for at, piece in enumerate(work.pieces):
        if not isinstance(piece, Foot) or not piece.place:
            continue
        for near in (at + 1, at - 1):
            other = get(work.pieces, near)
            if near in gone or not isinstance(other, (HalfFoot, Foot, Region)):
                continue
            narrowed = _narrowed(piece, other, behind=near > at)
            if narrowed is None:
                continue
            work.pieces[near] = narrowed
            gone.add(at)
            break
        before = find_back(work.pieces, at - 1, (Foot,), ())
        known = work.pieces[before] if before is not None else None
        said_of = not leads_to_lesion(work.pieces, at + 1)
        if said_of and isinstance(known, Foot) and set(known.value) < set(piece.value):
            gone.add(at)  # "right hind, a little dermatitis in behind"
    work.drop(gone)


def _narrowed(place: Foot, other: Piece, *, behind: bool) -> Piece | None:
    """Return what a place and the foot or region next to it come to; None where nothing."""
    if isinstance(other, HalfFoot) and not other.is_end:
        feet = tuple(foot for foot in place.value if foot[0] == other.value[0].upper())
        first, last = (place, other) if behind else (other, place)
        heard = f"{first.heard} {last.heard}"
        return turned(other, Foot, value=feet, first=first.first, last=last.last, heard=heard)
    if isinstance(other, Region):
        return other if behind and place.heard == "behind" else None  # "behind the toe"
    if isinstance(other, Foot) and behind and not other.place and len(other.value) == 1:
        return other
    return None


def _join_feet(work: Work) -> None:
    """ "left hind and right hind" is a pair, unless each has its own lesion."""
    gone: set[int] = set()
    for i in work.at(Foot):
        after = i + 1
        first, second = work.pieces[i], get(work.pieces, after)
        if not isinstance(first, Foot) or not isinstance(second, Foot):
            continue
        lesion_before = isinstance(get(work.pieces, i - 1), (Lesion, *MODIFIERS, Zone))
        if lesion_before and leads_to_lesion(work.pieces, after + 1):
            continue
        if set(second.value) < set(first.value):
            continue  # "all four trimmed, left hind …" picks one out, and adds none
        gone.add(i)
        work.pieces[after] = replace(
            second, value=tuple(dict.fromkeys((*first.value, *second.value))), first=first.first,
            heard=f"{first.heard} {second.heard}", corrections=first.corrections + second.corrections,
        )  # fmt: skip
        work.link[after] = work.link[i]
    work.drop(gone)


def leads_to_lesion(pieces: Sequence[Piece], at: int) -> bool:
    """Whether a lesion follows at once, past its claw, zone and severity."""
    after = get(pieces, past(pieces, at, (*CLAWS, Severity, Zone, Tissue)))
    return isinstance(after, (Lesion, Stage, Denied))


def _stages_alone(work: Work) -> None:
    """A stage in a foot's part without any lesion stands for digital dermatitis."""
    edges = [-1, *work.at(*FEET), len(work.pieces)]
    of_a_part = said_first(work)
    lesion_first = False
    for start, end in itertools.pairwise(edges):
        inside = work.pieces[start + 1 : end]
        lesions = any(isinstance(one, Lesion) and one.value != "no lesion" for one in inside)
        if start == -1 and lesions:
            lesion_first = True
            continue
        alone = (i for i in range(start + 1, end) if i not in of_a_part)
        first = next((i for i in alone if isinstance(work.pieces[i], Stage)), None)
        if first is not None and not lesions and (not lesion_first or _goes_on(work, first)):
            work.pieces[first] = turned(
                work.pieces[first], Lesion, value="digital dermatitis", how=How.INFERRED,
                rejected=(), stage=work.pieces[first],
            )  # fmt: skip
        lesion_first = False


def _goes_on(work: Work, stage: int) -> bool:
    """ "digi m two on the hinds and m one on the fronts": a stage that a foot of its own follows."""
    other, before, after = (get(work.pieces, stage + step) for step in (-2, -1, 1))
    pairs = isinstance(other, Stage) and isinstance(before, FEET) and isinstance(after, FEET)
    return pairs and work.link[stage - 1] and work.link[stage + 1]


def _regions_alone(work: Work) -> None:
    """ "white line at the toe" without a lesion beside it is white line disease there."""
    skip = (*CLAWS, Severity, Tissue, Stage)
    for i, piece in enumerate(work.pieces):
        if not isinstance(piece, Region) or not piece.lesion_alone:
            continue
        before = next(
            (p for p in work.pieces[max(0, i - 3) : i][::-1] if not isinstance(p, skip)), None
        )
        after = next((p for p in work.pieces[i + 1 : i + 4] if not isinstance(p, skip)), None)
        if not isinstance(before, (Lesion, ActionSaid)) and not isinstance(after, Lesion):
            how = How.REPAIRED if piece.how is How.REPAIRED else How.ALIAS
            work.pieces[i] = turned(
                piece, Lesion, value=piece.lesion_alone, how=how, zone=piece.zone,
                region=piece.value,
            )  # fmt: skip
