"""One animal's pieces made ready: denials taken out, what belongs together joined."""

from collections.abc import Sequence
from dataclasses import replace

from grammar.join.alternatives import take_alternatives
from grammar.join.bare_sides import SAID_OF_FOOT, bare_sides
from grammar.join.beside import (
    join_foreign_bodies,
    join_measures,
    leads_to_lesion,
    narrow_places,
    read_regions,
    read_scores,
    read_states,
    take_changes,
)
from grammar.join.comments import drop_comments
from grammar.join.cursor import find_back, get, past, seek
from grammar.join.deeds_of_lesions import read_deeds
from grammar.join.denials import take_denied
from grammar.join.feet import ALL_FEET
from grammar.join.near import COMES_OFF, is_word
from grammar.join.replacing import half_of
from grammar.join.stages import read_stages
from grammar.join.undone import begins_clause, is_told
from grammar.join.work import Work
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    CLAWS,
    DEEDS,
    FEET,
    FINDINGS,
    LINKS,
    MODIFIERS,
    UNTAKEN,
    ActionSaid,
    Break,
    Course,
    Denied,
    Except,
    Filler,
    Foot,
    HalfFoot,
    Leftover,
    Lesion,
    Material,
    No,
    Not,
    Piece,
    Stage,
    Tissue,
    Zone,
    is_clean,
    is_linked,
    turned,
    value_of,
)
from grammar.records import How

__all__ = ["prepare"]

_LINK_WORDS = frozenset({"to", "under", "onto", "in", "at"})
_ONLY_BLOOD = frozenset({"just blood", "only blood"})
_PAIR = 2
_LISTS = frozenset({"and", "plus", "or"})
_ALL = frozenset({"all", "both"})
_EVERY = frozenset({"all", "everything"})
_NEW = frozenset({"new", "brand new"})
_PRONOUNS = frozenset({"it", "her", "him", "them", "this", "that", "there"})


def prepare(pieces: Sequence[Piece], lexicon: Lexicon) -> Work:
    """Drop fillers (remembering where "on" stood), take out denials, join what belongs together."""
    kept: list[Piece] = []
    link: list[bool] = []
    fillers: list[str] = []
    linked = False
    before = unread = ""
    for piece in bare_sides(pieces):
        if isinstance(piece, LINKS):
            linked = _links_on(piece, linked)
            before = f"{before} {piece.heard}".strip()
            continue
        if isinstance(piece, Leftover) and kept and isinstance(kept[-1], (No, Not)):
            unread = piece.heard
        if isinstance(piece, (*UNTAKEN, Break)):
            continue
        its = not lexicon.corrections.it_is.isdisjoint(before.split())
        if unread and _is_own_clause(kept[-1], piece, its=its):
            before = f"{before} {unread}".strip()
        kept.append(piece)
        link.append(linked or is_linked(piece))
        fillers.append(before)
        linked, before, unread = False, "", ""
    work = Work(pieces=kept, link=link, before=fillers, lexicon=lexicon, tail=before)
    for step in (
        _take_exceptions,
        _take_denied,
        _drop_new,
        _take_references,
        _turn_sides,
        _turn_courses,
        take_alternatives,
        join_measures,
        join_foreign_bodies,
        take_changes,
        narrow_places,
        _join_feet,
        read_scores,
        _read_told,
        read_deeds,
        _join_dermatitis,
        read_stages,
        read_regions,
        read_states,
        drop_comments,
    ):
        step(work)
    return work


def _is_own_clause(no: Piece, said: Piece, *, its: bool) -> bool:
    """ "Not raw-ish, M four", "no blood, filed it", "not split, it's a bruise": denied is what was not understood."""
    if isinstance(no, Not) and (isinstance(said, Stage) or (its and isinstance(said, FINDINGS))):
        return True
    if isinstance(no, No) and isinstance(said, ActionSaid) and is_told(said):
        return True
    return isinstance(said, DEEDS) and begins_clause([said], 0)


def _links_on(piece: Piece, linked: bool) -> bool:
    """ "on the outer" links; "on it, right hind …" does not: the pronoun has taken the "on"."""
    if is_word(piece, _PRONOUNS):
        return False
    return linked or not isinstance(piece, Filler) or piece.value in _LINK_WORDS


def _take_exceptions(work: Work) -> None:
    """ "all four clean except the left hind": the left hind is taken out of the four."""
    at = 0
    while (found := seek(work.pieces, at, (Except,))) is not None:
        at = found
        said = (*work.said_before(at), *work.said_before(at - 1)) if at else ()
        work.drop({at})
        if _is_not_clean(work, at):
            work.drop({at - 1})
            continue
        at += _name_all(work, at - 1, said)
        foot = past(work.pieces, at, SAID_OF_FOOT)
        before = find_back(work.pieces, at - 1, (Foot,), ())
        pair = work.pieces[before] if before is not None else None
        if before is None or not isinstance(pair, Foot):
            continue
        left_out = half_of(work.pieces[foot], pair) if foot < len(work.pieces) else None
        if not isinstance(left_out, Foot):
            continue
        work.pieces[foot] = left_out  # "hinds fine but for a wart on the left"
        if len(pair.value) > 1:
            if isinstance(get(work.pieces, at), Foot) and not _says_of(work, at):
                work.drop({at})  # "trimmed all four except the left front"
            rest = tuple(foot for foot in pair.value if foot not in left_out.value)
            work.pieces[before] = replace(pair, value=rest or left_out.value)


def _is_not_clean(work: Work, lesion: int) -> bool:
    """ "Fine apart from a crack, left front": the left front is not clean; "all grand" stays."""
    clean = get(work.pieces, lesion - 1)
    lesion = past(work.pieces, lesion, MODIFIERS)
    said = get(work.pieces, lesion)
    if not is_clean(clean) or not isinstance(said, Lesion) or is_clean(said):
        return False
    if clean is None or not _EVERY.isdisjoint(clean.heard.split()):
        return False
    other = seek(work.pieces, lesion + 1, FEET, seek(work.pieces, lesion + 1, (Lesion,)))
    return other is None or find_back(work.pieces, lesion - 1, FEET, ()) is None


def _says_of(work: Work, foot: int) -> bool:
    """Whether something is said of a foot before the next foot, the end or another exception."""
    end = seek(work.pieces, foot + 1, (*FEET, Except))
    return (len(work.pieces) if end is None else end) > foot + 1


def _name_all(work: Work, at: int, fillers: Sequence[str]) -> int:
    """Name the four feet of "all clean except …", "warts on all but …", "fine bar the left hind".

    Only where no foot was said; returns how many pieces more there are.
    """
    said = get(work.pieces, at)
    clean = is_clean(said)
    if said is None or not isinstance(said, (Lesion, Stage, ActionSaid)):
        return 0
    left_out = get(work.pieces, past(work.pieces, at + 1, SAID_OF_FOOT))
    one_foot = isinstance(left_out, Foot) and len(left_out.value) == 1
    if not (clean and one_foot) and _EVERY.isdisjoint((*said.heard.split(), *fillers)):
        return 0
    if find_back(work.pieces, at, FEET, ()) is not None:
        return 0
    work.insert(at, turned(said, Foot, value=ALL_FEET, rejected=(), corrections=()))
    return 1


def _drop_new(work: Work) -> None:
    """ "Abscess drained, a new shoe on the inner": the shoe is new, and not the abscess."""
    work.drop({
        at
        for at in work.at(Course)
        if work.pieces[at].heard in _NEW
        and _is_put_on(get(work.pieces, at + 1))
        and not work.before[at + 1]
    })  # fmt: skip


def _take_references(work: Work) -> None:
    """ "Left hind M two, right hind M four, wrapped the M two": the foot that has it."""
    for at in work.at(Stage, Lesion):
        piece = work.pieces[at]
        if not isinstance(work.pieces[at - 1], (ActionSaid, Material)) or not work.before[
            at
        ].endswith("the"):
            continue
        same = [
            i
            for i in work.at(type(piece))
            if i < at and value_of(work.pieces[i]) == value_of(piece)
        ]
        after = get(work.pieces, at + 1)
        if len(same) != 1 or isinstance(after, (*FEET, *CLAWS, *MODIFIERS, Zone)):
            continue
        foot = find_back(work.pieces, same[0], (Foot,), ())
        named = work.pieces[foot] if foot is not None else None
        if not isinstance(named, Foot) or seek(work.pieces, same[0], FEET, at) is None:
            continue
        work.pieces[at] = turned(piece, Foot, value=named.value, rejected=(), corrections=())


def _turn_sides(work: Work) -> None:
    """ "Both hinds, M two left, M four right": each stage is of the side behind it."""
    for at in work.at(Foot):
        first = past(work.pieces, at + 1, (Lesion,))
        said = work.pieces[first : first + 5]
        if [type(one) for one in said[:4]] != [Stage, HalfFoot, Stage, HalfFoot]:
            continue
        own = isinstance(get(said, 4), (*MODIFIERS, Lesion, *CLAWS))
        before = find_back(work.pieces, at - 1, (Lesion,), FEET)
        told = seek(work.pieces, 0, (Lesion,), at)  # "warts both hinds, M four left M two right"
        if own or told != before or (before is not None and not _is_plain_wart(work, before)):
            continue
        for one in (first, first + 2):
            work.swap(one)


def _is_plain_wart(work: Work, lesion: int) -> bool:
    """Whether a lesion with stages has no other detail of its own before it."""
    return work.is_staged(lesion) and not isinstance(get(work.pieces, lesion - 1), MODIFIERS)


def _turn_courses(work: Work) -> None:
    """ "Overgrown all round, worse behind": worse there, and not on all four."""
    for at in work.at(Course):
        all_, some = get(work.pieces, at - 1), get(work.pieces, at + 1)
        if not at or not isinstance(all_, Foot) or not isinstance(some, Foot):
            continue
        own = isinstance(get(work.pieces, at + 2), (Lesion, *MODIFIERS, *CLAWS, Zone))
        if set(some.value) < set(all_.value) and not own:
            work.swap(at)


def _join_dermatitis(work: Work) -> None:
    """ "Dermatitis between the claws, left hind, interdigital" is one, and interdigital."""
    for at in reversed(work.at(Lesion)):
        before = find_back(work.pieces, at - 1, (Lesion,), ())
        if before is None or work.pieces[at].heard != "interdigital":
            continue
        feet = work.at(*FEET)
        other = feet and feet[0] < before and any(before < foot < at for foot in feet)
        if work.pieces[before].heard == "dermatitis" and not other:
            work.drop({before})


def _read_told(work: Work) -> None:
    """ "Abscess, let the pus out": the deed tells what was in it."""
    for place in reversed(work.at(ActionSaid)):
        at, piece = place, work.pieces[place]
        if isinstance(piece, ActionSaid) and piece.tissue is not None:
            while at and value_of(work.pieces[at - 1]) == piece.value:
                at -= 1  # "opened it, let the pus out"
            work.insert(at, turned(piece, Tissue, value=piece.tissue, rejected=(), corrections=()))
            work.before[at + 1], work.link[at + 1] = "", False


def _is_put_on(piece: Piece | None) -> bool:
    """Whether a piece is a thing that is put on a claw or foot, and may be a new one."""
    return isinstance(piece, Material) or (
        isinstance(piece, ActionSaid) and piece.value in COMES_OFF
    )


def _take_denied(work: Work) -> None:
    """ "no ulcer there": the denied piece is kept as denied and makes no finding or action."""
    found = take_denied(work.pieces, work.before, work.lexicon.denials)
    work.pieces = found.pieces
    work.drop(found.gone)
    work.denied = tuple(found.slots)
    work.questions += found.questions
    _read_blood(work)
    for at in work.at(Denied):
        deed = get(work.pieces, at - 1)
        dry = any(no.value == "pus" and no.first == work.pieces[at].last for no in found.slots)
        if dry and isinstance(deed, ActionSaid) and deed.value == "drained":
            work.pieces[at - 1] = replace(deed, value="therapeutic trim")  # "opened it up, no pus"


def _read_blood(work: Work) -> None:
    """ "No ulcer, just blood": a haemorrhage, where no other lesion is named."""
    named = any(not is_clean(work.pieces[at]) for at in work.at(Lesion, Stage))
    for at in work.at(Tissue):
        piece = work.pieces[at]
        denied = find_back(work.pieces, at - 1, (Denied,), (ActionSaid,)) is not None
        if denied and not named and piece.heard in _ONLY_BLOOD:
            work.pieces[at] = turned(
                piece, Lesion, value="sole haemorrhage", how=How.INFERRED, rejected=()
            )


def _is_deeds_alone(work: Work, at: int, foot: Foot, other: Foot) -> bool:
    """Whether a foot behind a deed is of the deed alone, and no list with the foot behind it.

    "Trimmed the hinds, fronts fine"; "trimmed the fronts, left hind outer sole ulcer", where the
    lesion is of the next foot.
    """
    listed = not _LISTS.isdisjoint(work.said_before(at + 1))
    if listed or not set(foot.value).isdisjoint(other.value):
        return False
    if len(foot.value) == len(other.value) == _PAIR or len(foot.value) > _PAIR:
        return True  # "trimmed three feet, left front too sore to lift"
    picked = len(foot.value) > 1 == len(other.value)
    if not (picked or work.before[at].endswith("the")):
        return False
    lesion = get(work.pieces, past(work.pieces, at + 2, (*CLAWS, *MODIFIERS)))
    return isinstance(lesion, (Lesion, Stage)) and (picked or not is_clean(lesion))


def _join_feet(work: Work) -> None:
    """ "left hind and right hind" is a pair, unless each has its own lesion."""
    gone: set[int] = set()
    start = 0
    for i in work.at(Foot):
        start = start if i - 1 in gone else i
        after = i + 1
        first, second = work.pieces[i], get(work.pieces, after)
        if not isinstance(first, Foot) or not isinstance(second, Foot):
            continue
        lesion_before = isinstance(get(work.pieces, start - 1), (Lesion, *MODIFIERS, Zone))
        all_ = _ALL if len(second.value) < _PAIR else _EVERY  # "fronts clean, hinds both long"
        of_all = after + 1 < len(work.pieces) and not all_.isdisjoint(work.said_before(after + 1))
        if lesion_before and leads_to_lesion(work.pieces, after + 1) and not of_all:
            continue
        if "only" in work.said_before(after):
            continue  # "trimmed in front only, kicked too much behind"
        deed = get(work.pieces, i - 1)
        if isinstance(deed, ActionSaid) and _is_deeds_alone(work, i, first, second):
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
