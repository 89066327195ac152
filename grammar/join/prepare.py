"""One animal's pieces made ready: denials taken out, what belongs together joined."""

from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace

from grammar.join.alternatives import take_alternatives
from grammar.join.beside import (
    drop_weak,
    join_foreign_bodies,
    join_measures,
    leads_to_lesion,
    narrow_places,
    read_regions,
    read_scores,
    read_stages,
    read_states,
    take_changes,
)
from grammar.join.cursor import back, find_back, get, past, seek
from grammar.join.denials import take_denied
from grammar.join.feet import ALL_FEET
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
    Break,
    Claw,
    Except,
    Filler,
    Foot,
    HalfFoot,
    Lesion,
    Material,
    NotNeeded,
    On,
    Piece,
    Region,
    Severity,
    Stage,
    Zone,
    is_linked,
    is_side,
    turned,
)

__all__ = ["prepare"]

_LINK_WORDS = frozenset({"to", "under", "onto", "in", "at"})
_OF_A_FOOT = (Lesion, Stage, Claw, Zone)
_OF_A_SIDE = (Severity, Stage, Zone, Claw)
_SAID_OF_FOOT = (Lesion, *MODIFIERS, *CLAWS, Zone, Region)
_ALL = frozenset({"all", "both"})
_HAS = frozenset({"has", "had", "got"})
_JUST = frozenset({"just", "only"})
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
        if isinstance(piece, (*UNTAKEN, Break)):
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
        join_measures,
        join_foreign_bodies,
        take_changes,
        narrow_places,
        _join_feet,
        read_scores,
        read_stages,
        read_regions,
        read_states,
        drop_weak,
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
        if isinstance(piece, FEET) and not (isinstance(piece, HalfFoot) and _is_pair(foot)):
            foot = piece
        if is_side(piece) and _names_foot(pieces, i, foot, before):
            yield half_foot(piece)
        else:
            yield piece
        if not isinstance(piece, LINKS):
            before = piece


def _is_pair(foot: Piece | None) -> bool:
    """Whether both sides are left open: "both hinds …, blocked the right, left just dug out"."""
    return isinstance(foot, Foot) and len(foot.value) > 1


def _is_foot(pieces: Sequence[Piece], at: int, foot: Piece, before: Piece | None) -> bool:
    """Whether a bare side names a foot: by what follows, and after a pair by what is said of it.

    at: the position behind the side; before: the last piece that is no link.
    """
    after = get(pieces, at)
    if isinstance(after, _OF_A_FOOT) or _after_or(pieces, at - 2) or _at_place(pieces, at):
        return True
    if any(isinstance(one, NotNeeded) and one.heard == "none" for one in (before, after)):
        return True  # "left hind dermatitis, right none", "none right"
    if not isinstance(foot, Foot) or len(foot.value) == 1:
        return False
    if _is_word(get(pieces, at - 2), {"than"}):
        return False  # "right worse than left"
    if after is None or _is_word(after, {"and"}):
        return isinstance(before, (ActionSaid, Material, *_OF_A_SIDE))  # "severe right"
    if isinstance(get(pieces, past(pieces, at, (Filler, On))), CLAWS):
        return True  # "both hinds ulcer, left on the outer, right on the inner"
    if _is_word(after, COPULAS | _HAS):
        return True  # "left is an m four", "right has a bit of white line"
    if _is_word(after, _JUST):
        after = get(pieces, at + 1)  # "left just dug out"
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


def _is_word(piece: Piece | None, words: AbstractSet[str]) -> bool:
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
    work.questions += found.questions


def _join_feet(work: Work) -> None:
    """ "left hind and right hind" is a pair, unless each has its own lesion."""
    gone: set[int] = set()
    for i in work.at(Foot):
        after = i + 1
        first, second = work.pieces[i], get(work.pieces, after)
        if not isinstance(first, Foot) or not isinstance(second, Foot):
            continue
        lesion_before = isinstance(get(work.pieces, i - 1), (Lesion, *MODIFIERS, Zone))
        of_all = after + 1 < len(work.pieces) and not _ALL.isdisjoint(work.said_before(after + 1))
        if lesion_before and leads_to_lesion(work.pieces, after + 1) and not of_all:
            continue
        if "only" in work.said_before(after):
            continue  # "trimmed in front only, kicked too much behind"
        if set(second.value) < set(first.value):
            continue  # "all four trimmed, left hind …" picks one out, and adds none
        gone.add(i)
        work.pieces[after] = replace(
            second, value=tuple(dict.fromkeys((*first.value, *second.value))), first=first.first,
            heard=f"{first.heard} {second.heard}", corrections=first.corrections + second.corrections,
        )  # fmt: skip
        work.link[after] = work.link[i]
    work.drop(gone)
