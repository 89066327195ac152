"""Denials: "no ulcer", "no block or wrap", "wrap not needed", "isn't lame now"."""

from collections.abc import Sequence
from dataclasses import replace

from grammar.join.cursor import get
from grammar.join.denial_reach import HEADS, Denials, has_had_its_say, reach_end
from grammar.join.denied_behind import deny_behind
from grammar.lexicon.schema import DenialWords
from grammar.pieces import (
    CLAWS,
    DEEDS,
    FEET,
    FINDINGS,
    MODIFIERS,
    ActionSaid,
    Course,
    Denied,
    Foot,
    Lesion,
    No,
    Not,
    NotNeeded,
    OtherFeet,
    Piece,
    Region,
    Stage,
    StatusSaid,
    Tissue,
    is_clean,
    is_linked,
    turned,
)
from grammar.records import Question

__all__ = ["Denials", "take_denied"]

_DENIED_ALONE = (*HEADS, Course, Tissue)
"""What any denial is of where it stands next: "hasn't healed", "hasn't got any worse"."""


def take_denied(pieces: Sequence[Piece], before: Sequence[str], words: DenialWords) -> Denials:
    """Take out what is denied; a state with an opposite ("lame") becomes its opposite.

    before: the fillers that stood directly before each piece; words: those of denials.toml.
    """
    found = Denials(pieces=list(pieces))
    for i, piece in enumerate(pieces):
        if isinstance(piece, (No, Not)):
            _ask_which(found, i, before)
            _deny_ahead(found, i, before, words)
        elif isinstance(piece, NotNeeded):
            found.gone.add(i)
            deny_behind(found, i, before)
        elif _is_less(pieces, i, before):
            found.deny(i)
    return found


def _is_less(pieces: Sequence[Piece], at: int, before: Sequence[str]) -> bool:
    """Whether it is the second of "more of a bruise than an ulcer"."""
    than = isinstance(pieces[at], FINDINGS) and "than" in before[at].split()
    return than and isinstance(get(pieces, at - 1), FINDINGS)


def _ask_which(found: Denials, at: int, before: Sequence[str]) -> None:
    """ "Sole ulcer, no, haemorrhage" puts right, "bruise, no ulcer" denies: without the pauses both fit."""
    one, other = get(found.pieces, at - 1), get(found.pieces, at + 1)
    if not isinstance(found.pieces[at], No) or before[at] or is_clean(one) or is_clean(other):
        return
    if not isinstance(one, Lesion) or not isinstance(other, Lesion) or at - 1 in found.gone:
        return
    values = (one.value, other.value)
    if one.value != other.value:
        found.questions.append(
            Question(
                check="either-or",
                what=" or ".join(values) + "?",
                first=one.first,
                last=other.last,
                candidates=values,
            )
        )


def _deny_ahead(found: Denials, at: int, before: Sequence[str], words: DenialWords) -> None:
    pieces = found.pieces
    led = before[at + 1].split() if at + 1 < len(pieces) else []
    if isinstance(get(pieces, at + 1), Region) and words.as_far.issuperset(led):
        found.gone |= {at, at + 1}  # "crack outer, not up to the coronet"
        return
    if at + 1 < len(pieces) and _is_of_another(pieces[at], pieces[at + 1], led, words):
        _speak_of_another(found, at, led, words)
        return
    last = reach_end(pieces, at, before)
    state = pieces[last]
    if last == at + 1 and isinstance(state, StatusSaid) and state.opposite:
        heard = f"{pieces[at].heard} {state.heard}"
        found.gone.add(at)
        pieces[last] = replace(state, value=state.opposite, first=pieces[at].first, heard=heard)
        return
    cue = pieces[at]
    if isinstance(cue, Not) and not cue.contrasts and not isinstance(state, _DENIED_ALONE):
        found.gone.add(at)
        if _left_undone(pieces, at, before):
            found.gone.add(at + 1)
            found.deny(at + 2)  # "couldn't get the left hind blocked"
            return
        other = get(pieces, at + 2)
        rest = isinstance(other, OtherFeet) and other.value == "rest"  # needs the foot left out
        if isinstance(get(pieces, at + 1), FEET) and isinstance(other, FEET) and not rest:
            found.gone.add(at + 1)  # "didn't bother with the fronts, hinds trimmed"
        return
    for i in range(at + 1, last + 1):
        if isinstance(pieces[i], HEADS) or last == at + 1:
            found.deny(i)
        else:
            found.gone.add(i)
    _take_sites(found, last, before)
    pieces[at] = turned(pieces[at], Denied, value="deed" if isinstance(state, DEEDS) else "")
    _deny_listed(found, at, last, before)


def _speak_of_another(found: Denials, at: int, led: Sequence[str], words: DenialWords) -> None:
    """A denial that is not of what stands behind it: of a foot left alone, or of the lesion before."""
    pieces = found.pieces
    if at and at - 1 not in found.gone and _told_anew(pieces, at, led, words):
        found.deny(at - 1)
        pieces[at] = turned(pieces[at], Denied, value="")
        return
    found.gone.add(at)
    if _left_alone(pieces, at + 1, led, words):
        found.gone.add(at + 1)


def _take_sites(found: Denials, denied: int, before: Sequence[str]) -> None:
    """Take out the sites of what is denied alone.

    "No block on the inner", "no wrap right hind, left hind wrapped", "no dermatitis on the right hind,
    left hind dermatitis".
    """
    pieces, at = found.pieces, denied + 1
    claw = get(pieces, at) if isinstance(pieces[denied], ActionSaid) else None
    if isinstance(claw, CLAWS) and (is_linked(claw) or "on" in before[at].split()):
        found.gone.add(at)
        at += 1
    head = isinstance(pieces[denied], (ActionSaid, *FINDINGS))
    if head and _is_its_own(pieces, at, before):
        found.gone.add(at)


def _is_its_own(pieces: Sequence[Piece], foot: int, before: Sequence[str]) -> bool:
    """Whether a foot behind what is denied is of that alone: another, with its own, follows it."""
    one, other, told = (get(pieces, foot + step) for step in range(3))
    if not isinstance(one, Foot) or not isinstance(other, Foot):
        return False
    apart = "and" not in before[foot + 1].split() and set(one.value).isdisjoint(other.value)
    return apart and isinstance(told, (*FINDINGS, *MODIFIERS, *CLAWS, *DEEDS))


def _left_undone(pieces: Sequence[Piece], at: int, before: Sequence[str]) -> bool:
    """Whether a deed that was told of a foot is what could not be done to it."""
    foot, deed, other = (get(pieces, at + step) for step in (1, 2, 3))
    if not isinstance(foot, FEET) or not isinstance(deed, ActionSaid) or before[at + 2]:
        return False
    own = isinstance(other, FEET) and not isinstance(get(pieces, at + 4), (*FINDINGS, *CLAWS))
    return pieces[at].heard.startswith(("could", "can", "would", "won't")) and not own


def _deny_listed(found: Denials, at: int, last: int, before: Sequence[str]) -> None:
    """ "No ulcer or wart": what "or" joins to a denied thing is denied too."""
    pieces = found.pieces
    following = last + 1
    while last > at and following < len(pieces) and "or" in before[following].split():
        end = reach_end(pieces, following - 1, before)
        if not isinstance(pieces[end], HEADS) or end < following:
            break
        found.gone |= set(range(following, end))
        found.deny(end)
        following = end + 1


def _is_of_another(cue: Piece, after: Piece, led: Sequence[str], words: DenialWords) -> bool:
    """Whether a denial is not of the piece behind it.

    Of what is clean only "not clean": "no, there's nothing", "can't see nothing, clean foot" are so.
    """
    if is_clean(after) and (bool(led) or not isinstance(cue, Not)):
        return True
    if isinstance(after, HEADS) and has_had_its_say(cue, led, words):
        return True
    return _has_own_object(after, led, words)


def _told_anew(pieces: Sequence[Piece], at: int, led: Sequence[str], words: DenialWords) -> bool:
    """ "Looks like foul but it isn't, it's a wart": denied is the lesion before."""
    one, other = get(pieces, at - 1), get(pieces, at + 1)
    both = isinstance(one, Lesion) and isinstance(other, Lesion)
    told = not words.begins_anew.isdisjoint(led[:1])
    return both and told and not is_clean(one)


def _left_alone(pieces: Sequence[Piece], foot: int, led: Sequence[str], words: DenialWords) -> bool:
    """ "Didn't touch the fronts": of those feet nothing is said."""
    verbs = [word for word in led if word not in words.leads or word == "that"]
    told = isinstance(get(pieces, foot + 1), (*FINDINGS, *MODIFIERS, *CLAWS))
    return (
        isinstance(pieces[foot], FEET) and words.touch.issuperset(verbs[-1:] or [""]) and not told
    )


def _has_own_object(after: Piece, led: Sequence[str], words: DenialWords) -> bool:
    """Whether a denial is of the words behind it: "it's not her feet, ask the vet".

    "Didn't touch that, fronts are fine" denies no fronts either.
    """
    if not words.own_object.isdisjoint(led):
        return True
    if isinstance(after, (*HEADS, Stage)):
        return not (words.leads | words.reaches_over).issuperset(led)
    return isinstance(after, FEET) and not words.leads.issuperset(led)
