"""What one animal takes over from the one before: "351 the same but right hind", "and 413 as well"."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from grammar.join.cursor import back, find_back, get, past, seek
from grammar.join.feet import across
from grammar.join.number_lists import counts_in, joins
from grammar.join.parts import Part
from grammar.join.replacing import half_foot, half_of
from grammar.pieces import (
    CLAWS,
    DEEDS,
    FEET,
    FINDINGS,
    LINKS,
    UNTAKEN,
    ActionSaid,
    Again,
    Break,
    Course,
    Either,
    Filler,
    FollowUpSaid,
    Foot,
    HalfFoot,
    Lesion,
    Material,
    MeasureSaid,
    No,
    Not,
    NotNeeded,
    On,
    OtherClaw,
    OtherFeet,
    Piece,
    Score,
    Severity,
    Stage,
    StatusSaid,
    TimeSaid,
    Zone,
    is_side,
    turned,
)
from grammar.records import How, Question

__all__ = ["hand_over", "share_sites", "take_over"]

_TOO = frozenset({"too", "as well", "also", "likewise", "so did", "so has", "so had", "as well as"})
_SO = ("also", "so did", "so has", "so had", "so is", "so was", "so does")
_ONLY = frozenset({"only", "just"})
_LEADS = frozenset({"for", "with", "in", "of", "about", "on"})
_NOT_TAKEN = (*UNTAKEN, StatusSaid, Score, MeasureSaid, Course, Again, Either, Break)
"""What is of the one animal alone."""
_VALUES = (Stage, Severity, Zone)
_OF_BOTH = (*FINDINGS, *_VALUES, *DEEDS, *CLAWS, *LINKS, Course, Material, TimeSaid)
"""What is of both animals behind "both", up to the next foot."""
_TRIM = "functional trim"
_DEED_TAIL = (*CLAWS, Material, On)
_Sites = list[Piece]


def share_sites(parts: Sequence[Part]) -> None:
    """Tell of each of several sites what is said once of them, "and" or "both" beside the last.

    "Blocks on 517 left hind inner and 518 right hind inner"; "451 left hind and 452 right hind, warts";
    "1915 left hind, 1916 right hind, both foul".
    """
    for at in range(len(parts) - 1):
        part, other = parts[at : at + 2]
        if part.animal is None or other.animal is None or other.fresh or not _is_site(part.told):
            continue
        joined = _ends_joined(part.told)
        if joined and any(isinstance(one, (*FINDINGS, ActionSaid)) for one in part.lead):
            if _is_site(other.told) and other.told is other.pieces:
                other.pieces[:0] = part.lead
            continue
        if (shared := _said_of_all(parts[at:])) is not None:
            part.pieces += shared
            continue
        rest = past(other.told, 0, (*FEET, *CLAWS, *LINKS))
        told = isinstance(get(other.told, rest), (*FINDINGS, Stage))
        if joined and told and _is_site(other.told[:rest]):
            own = past(other.told, rest, (*FINDINGS, *_VALUES, *LINKS))
            part.pieces += [one for one in other.told[rest:own] if not isinstance(one, UNTAKEN)]
            what = f"{other.told[rest].heard}: of {other.number} alone, or of {part.number} too?"
            part.ask("either-or", what)


def _said_of_all(parts: Sequence[Part]) -> list[Piece] | None:
    """Return what "both", "all three", "all" tell of these animals' sites, at the last one's end."""
    for count, part in enumerate(parts[1:], start=2):
        rest = past(part.told, 0, (*FEET, *CLAWS, *LINKS))
        if part.animal is None or part.fresh or not _is_site(part.told[:rest]):
            return None
        if rest == len(part.told):
            continue  # a site alone: the next one may tell
        told = isinstance(part.told[rest], (*FINDINGS, Stage))
        counts = set().union(*map(counts_in, part.told[:rest]))
        whole = past(part.told, rest, _OF_BOTH) == len(part.told)
        if not (told and whole and any(one == 0 or one >= count for one in counts)):
            return None
        return [one for one in part.told[rest:] if not isinstance(one, UNTAKEN)]
    return None


def _is_site(told: Sequence[Piece]) -> bool:
    """Whether a foot was said, and nothing of it."""
    site = all(isinstance(one, (*FEET, *CLAWS, *LINKS)) for one in told)
    return site and any(isinstance(one, FEET) for one in told)


def _ends_joined(told: Sequence[Piece]) -> bool:
    return any(map(joins, told[back(told, len(told) - 1, LINKS) + 1 :]))


def hand_over(parts: Sequence[Part]) -> None:
    """ "… and the same on 631", "call the vet for 306", "a wart on 611": of the animal named behind."""
    for part, other in pairwise(parts):
        if part.animal is None or other.animal is None or other.fresh:
            continue
        if other.waits and (too := _too_before(part.told)) is not None:
            other.pieces.append(turned(too, Again, value=too.heard))
            continue
        start = _clause_start(part.told, other)
        if start is None:
            continue
        kept = len(part.lead) + start
        other.pieces[:0] = part.pieces[kept:]
        other.cued = True
        del part.pieces[kept:]


def _too_before(told: Sequence[Piece]) -> Piece | None:
    """Return the word that says the same of the animal behind: "also 283", "and so was 413"."""
    links = told[back(told, len(told) - 1, (Filler,)) + 1 :]
    words = " ".join(one.heard for one in links)
    return links[-1] if links and words.endswith(_SO) else None


def _clause_start(told: Sequence[Piece], other: Part) -> int | None:
    """Return where the clause begins that leads to the next animal's number."""
    last = len(told) - 1
    led = isinstance(get(told, last), (On, Filler)) and told[last].heard in _LEADS
    again = back(told, last, (*FEET, *CLAWS, *LINKS))
    if isinstance(get(told, again), Again) and (led or _joined(told, again)):
        return again
    if not led:
        return None
    head = back(told, last, LINKS)
    said = get(told, head)
    due = isinstance(said, FollowUpSaid) or (
        isinstance(said, ActionSaid) and said.value == "referred"
    )
    if due and told[last].heard == "for":
        return head
    own = any(isinstance(one, FINDINGS) for one in other.told)
    first = back(told, head - 1, (Stage, Severity)) + 1
    joined = first == 0 or _ends_joined(told[:first])
    if isinstance(said, FINDINGS) and not own and joined:
        return first
    return None


def _joined(told: Sequence[Piece], at: int) -> bool:
    """Whether an "and" or "then" stands right before, and no foot that waits for what is said of it."""
    linked = _ends_joined(told[:at]) or told[at].heard.startswith("and ")
    return linked and not isinstance(get(told, back(told, at - 1, LINKS)), (*FEET, *CLAWS))


def take_over(part: Part, other: Part) -> None:
    """Give an animal of which "the same" was said what was said of the one before."""
    if part.animal is None or other.animal is None:
        return
    _name_same_site(part, other)
    if _is_site_alone(other.told):
        of = other.told[0]
        again = turned(of, Again, value="same", heard="", last=of.first, rule="")
        other.pieces.insert(len(other.lead), again)
    told = list(other.told)  # may be the pieces themselves, which change below
    cue = _cue(told)
    source = [one for one in part.pieces if not isinstance(one, _NOT_TAKEN)]
    if cue is None or not any(isinstance(one, (*FINDINGS, *DEEDS, Stage)) for one in source):
        return
    said = told[cue]  # what was told may be the very list that is changed below
    site, end = _site(told, cue)
    taken = _denied(_with_values(_at_site(source, site), told[end:]), told[end:])
    copies = [
        one if isinstance(one, LINKS) else replace(one, how=How.INFERRED, corrections=())
        for one in taken
    ]
    other.cued = True
    kept = len(other.pieces) - len(told)
    rest = [one for one in told[end:] if not _is_value(one, taken)]
    other.pieces[kept:] = [*copies, *rest]
    work = [one for one in taken if isinstance(one, DEEDS) and one.value != _TRIM]
    many = site and sum(isinstance(one, (*FEET, HalfFoot)) for one in source) > 1
    if work or many:
        what = f"what was said of {part.number} was taken over for {other.number}"
        where = Question(check="copied", what=what, first=said.first, last=said.last)
        other.questions.append(where)


def _is_site_alone(told: Sequence[Piece]) -> bool:
    """ "331 has ulcers on both hinds, 332 only on the left", "… 136 the other side"."""
    if not all(isinstance(one, (*FEET, *CLAWS, *LINKS)) for one in told):
        return False
    across = any(isinstance(one, OtherFeet) and one.value == "across" for one in told)
    words = {word for one in told if isinstance(one, Filler) for word in one.heard.split()}
    sited = any(isinstance(one, (Foot, HalfFoot)) or is_side(one) for one in told)
    return across or (sited and not _ONLY.isdisjoint(words))


def _cue(told: Sequence[Piece]) -> int | None:
    """Return where "the same" or "as well" stands, if nothing of its own was said before it."""
    at = past(told, 0, (*FEET, *CLAWS, *(kind for kind in LINKS if kind is not Filler), Either))
    while at < len(told) and isinstance(told[at], (Filler, *FEET, *CLAWS)):
        if told[at].heard in _TOO:
            own = any(isinstance(one, (*FINDINGS, ActionSaid, Stage)) for one in told)
            return None if own else at
        at += 1
    if not isinstance(get(told, at), Again):
        return None
    _, end = _site(told, at)
    after = get(told, past(told, end, (*LINKS, Severity)))
    return None if isinstance(after, Lesion) and end == at + 1 else at


def _site(told: Sequence[Piece], cue: int) -> tuple[_Sites, int]:
    """Return the foot and claw said before or behind the cue, and where the rest begins."""
    site: _Sites = [one for one in told[:cue] if isinstance(one, (*FEET, *CLAWS))]
    end = at = cue + 1
    while at < len(told) and isinstance(told[at], (*FEET, *CLAWS, *LINKS)):
        if isinstance(told[at], (*FEET, *CLAWS)) or is_side(told[at]):
            site.append(half_foot(told[at]) if is_side(told[at]) else told[at])
            end = at + 1
        at += 1
    return site, end


def _at_site(source: Sequence[Piece], site: Sequence[Piece]) -> list[Piece]:
    """Return what was said, at the foot and claw that are named now."""
    feet = [one for one in site if isinstance(one, FEET)]
    claws = [one for one in site if isinstance(one, CLAWS)]
    taken = list(source)
    places = [at for at, one in enumerate(taken) if isinstance(one, FEET)]
    if feet and places:
        last = places[-1]
        old = taken[last]
        if len(places) > 1 and not _covered(old, feet[0]):
            named = next((at for at in places if _covered(taken[at], feet[0])), last)
            nearest = next((at for at in places if at > named), len(taken))
            taken = taken[named:nearest]
            last, old = 0, taken[0]
        taken[last : last + 1] = [_across(one, old) for one in feet]
    elif feet:
        taken[:0] = feet
    if claws:
        spot = next((at for at in range(len(taken)) if _is_of_finding(taken, at)), None)
        foot = seek(taken, 0, FEET)
        start = spot if spot is not None else (0 if foot is None else foot + 1)
        taken[start : start + (spot is not None)] = claws
    return taken


def _across(new: Piece, old: Piece) -> Piece:
    """Complete a foot from the one before: "the left", "the other side"."""
    if isinstance(new, OtherFeet) and new.value == "across" and isinstance(old, Foot):
        return turned(new, Foot, value=across(old.value))
    return half_of(new, old)


def _covered(old: Piece, new: Piece) -> bool:
    return isinstance(old, Foot) and isinstance(new, Foot) and set(new.value) <= set(old.value)


def _is_of_finding(pieces: Sequence[Piece], at: int) -> bool:
    """Whether a claw is the lesion's: no deed stands right before it."""
    before = get(pieces, back(pieces, at - 1, (*LINKS, Material)))
    return isinstance(pieces[at], CLAWS) and not isinstance(before, ActionSaid)


def _with_values(taken: list[Piece], rest: Sequence[Piece]) -> list[Piece]:
    """ "The same but m three": a stage, grade or zone said now holds."""
    new = get(rest, past(rest, 0, LINKS))
    for at, one in enumerate(taken):
        if isinstance(new, _VALUES) and type(one) is type(new):
            taken[at] = new
    return taken


def _is_value(piece: Piece, taken: Sequence[Piece]) -> bool:
    return isinstance(piece, _VALUES) and any(one is piece for one in taken)


def _denied(taken: list[Piece], rest: Sequence[Piece]) -> list[Piece]:
    """ "The same but no block": that deed is not taken over."""
    for at, one in enumerate(rest):
        deed = get(rest, past(rest, at + 1, (*LINKS, Material)))
        if not isinstance(one, (No, Not, NotNeeded)) or not isinstance(deed, ActionSaid):
            continue
        while (found := _deed(taken, deed.value)) is not None:
            del taken[found : past(taken, found + 1, _DEED_TAIL)]
    return taken


def _deed(taken: Sequence[Piece], kind: str) -> int | None:
    deeds = ((at, one) for at, one in enumerate(taken) if isinstance(one, ActionSaid))
    return next((at for at, one in deeds if one.value == kind), None)


def _name_same_site(part: Part, other: Part) -> None:
    """ "… left hind m one, 1235 m two same foot": the foot and claw of the animal before."""
    told = part.told
    foot = find_back(told, len(told) - 1, (Foot,), ())
    claw = next((at for at in range(len(told)) if _is_of_finding(told, at)), None)
    if foot is None or any(isinstance(one, (Foot, HalfFoot)) for one in other.told):
        return
    for at, one in enumerate(other.pieces):
        same_claw = isinstance(one, OtherClaw) and one.heard == "same claw"
        of = claw if same_claw else foot
        if of is not None and (same_claw or (isinstance(one, OtherFeet) and one.value == "same")):
            named = replace(told[of], first=one.first, last=one.last, heard=one.heard)
            other.pieces[at] = replace(named, how=How.INFERRED, corrections=())
