"""Denials: "no ulcer", "no block or wrap", "wrap not needed", "isn't lame now"."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from grammar.join.cursor import back, find_back, get, past
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    MODIFIERS,
    ActionSaid,
    Course,
    Denied,
    FollowUpSaid,
    Foot,
    Kinds,
    Material,
    No,
    Not,
    NotNeeded,
    OtherFeet,
    Piece,
    Region,
    Severity,
    StatusSaid,
    Tissue,
    Zone,
    is_clean,
    is_linked,
    slot_of,
    turned,
    value_of,
)
from grammar.records import How, Question, Slot

__all__ = ["LEADS", "OWN_OBJECT", "Denials", "take_denied"]

_DEEDS = (ActionSaid, FollowUpSaid)
_HEADS = (*FINDINGS, *_DEEDS, StatusSaid)
"""What can be denied together with the words that qualify it."""
_DENIED_ALONE = (*_HEADS, Course, Tissue)
"""What any denial is of where it stands next: "hasn't healed", "hasn't got any worse"."""
_DOABLE = (*_DEEDS, Material)
"""What may be said not to be needed."""
_TURNS = frozenset({"just", "only", "but", "both"})
"""What turns from a denial to what is there: "not bad, both dermatitis"."""
_BODY = frozenset({"feet", "foot", "claws", "hooves", "hoof", "legs"})
_LOOKS = frozenset(
    {
        "great",
        "pretty",
        "nice",
        "happy",
        "ideal",
        "clever",
        "ready",
        "sure",
        "much",
        "easy",
        "problem",
        "problems",
        "trouble",
        "issue",
        "right",
    }
)
_OF_MIND = frozenset({"know", "like", "mind", "care", "remember", "worry", "touch", "touched"})
_TOUCH = (["touch"], ["touched"])
_IN_THE_WAY = frozenset({"muck", "mud", "dirt", "shit", "tag", "light", "grinder", "knife", "glue"})
OWN_OBJECT = _BODY | _LOOKS | _OF_MIND | _IN_THE_WAY
"""What a denial may be of, and that makes no piece of its own: "not pretty, M2"."""
LEADS = frozenset(
    {"the", "a", "an", "any", "on", "in", "of", "her", "to", "at", "with", "for", "this", "that"}
)
"""Words that lead from a denial to its foot: "not on the left hind"."""
_REACHES_OVER = LEADS | {
    "so", "too", "very", "really", "real", "such", "quite", "as", "even", "more", "longer",
    "sort", "kind", "there", "or", "um", "uh", "er", "like", "point", "need", "see",
    "today", "be", "been", "have", "having", "got", "seem", "look", "looks", "looking",
    "appear", "think", "say", "call", "show", "showing", "find", "what", "you'd", "i'd", "it's",
    "it", "she", "has", "feel", "feels", "do", "done", "put", "give", "bother", "bothering",
    "worth",
}  # fmt: skip
"""Words over which a denial reaches what it denies; another word is what it is of itself."""
_PREDICATES = frozenset({"not", "isn't", "is not", "not a"})
"""Denials of an adjective alone: "not bad, dermatitis"."""
_THINGS = frozenset({"pus", "smell", "heat", "separation", "granulation"})
"""What is seen in a lesion and is a thing of its own: no adjective of what is said next."""
_OF_A_DEED = (*CLAWS, *FEET, Region)
"""What may stand between a deed and "not needed": "block on the inner not needed"."""
_OF_A_LESION = (*_OF_A_DEED, *MODIFIERS, Zone)


@dataclass(slots=True, kw_only=True)
class Denials:
    """What the denials of one animal's part come to."""

    pieces: list[Piece]
    """All pieces, those of a denial changed in place."""
    gone: set[int] = field(default_factory=set)
    """Positions of the pieces that say nothing of their own any more."""
    slots: list[Slot[str]] = field(default_factory=list)
    """What is not there or was not done."""
    questions: list[Question] = field(default_factory=list)
    """What was left open, to be marked."""

    def deny(self, at: int) -> None:
        self.gone.add(at)
        piece = self.pieces[at]
        self.slots.append(slot_of(piece, str(value_of(piece))))


def take_denied(pieces: Sequence[Piece], before: Sequence[str]) -> Denials:
    """Take out what is denied; a state with an opposite ("lame") becomes its opposite.

    before: the fillers that stood directly before each piece.
    """
    found = Denials(pieces=list(pieces))
    for i, piece in enumerate(pieces):
        if isinstance(piece, (No, Not)):
            _deny_ahead(found, i, before)
        elif isinstance(piece, NotNeeded):
            found.gone.add(i)
            _deny_behind(found, i, before)
        elif _is_less(pieces, i, before):
            found.deny(i)
    return found


def _is_less(pieces: Sequence[Piece], at: int, before: Sequence[str]) -> bool:
    """Whether it is the second of "more of a bruise than an ulcer"."""
    than = isinstance(pieces[at], FINDINGS) and "than" in before[at].split()
    return than and isinstance(get(pieces, at - 1), FINDINGS)


def _deny_ahead(found: Denials, at: int, before: Sequence[str]) -> None:
    pieces = found.pieces
    if at + 1 < len(pieces) and _is_of_another(pieces[at], pieces[at + 1], before[at + 1].split()):
        found.gone.add(at)
        if _left_alone(pieces, at + 1, before[at + 1].split()):
            found.gone.add(at + 1)
        return
    last = _end(pieces, at, before)
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
        if isinstance(pieces[i], _HEADS) or last == at + 1:
            found.deny(i)
        else:
            found.gone.add(i)
    claw = last + 1
    deed = isinstance(state, ActionSaid) and isinstance(get(pieces, claw), CLAWS)
    if deed and (is_linked(pieces[claw]) or "on" in before[claw].split()):
        found.gone.add(claw)  # "no block on the inner"
    pieces[at] = turned(pieces[at], Denied, value="deed" if isinstance(state, _DEEDS) else "")
    _deny_listed(found, at, last, before)


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
        end = _end(pieces, following - 1, before)
        if not isinstance(pieces[end], _HEADS) or end < following:
            break
        found.gone |= set(range(following, end))
        found.deny(end)
        following = end + 1


def _is_of_another(cue: Piece, after: Piece, words: Sequence[str]) -> bool:
    """Whether a denial is not of the piece behind it.

    Of what is clean only "not clean": "no, there's nothing", "can't see nothing, clean foot" are so.
    """
    return (is_clean(after) and (bool(words) or not isinstance(cue, Not))) or _has_own_object(
        after, words
    )


def _left_alone(pieces: Sequence[Piece], foot: int, words: Sequence[str]) -> bool:
    """ "Didn't touch the fronts": of those feet nothing is said."""
    verbs = [word for word in words if word not in LEADS or word == "that"]
    told = isinstance(get(pieces, foot + 1), (*FINDINGS, *MODIFIERS, *CLAWS))
    return isinstance(pieces[foot], FEET) and verbs[-1:] in _TOUCH and not told


def _has_own_object(after: Piece, words: Sequence[str]) -> bool:
    """Whether a denial is of the words behind it: "it's not her feet, ask the vet".

    "Didn't touch that, fronts are fine" denies no fronts either.
    """
    if not OWN_OBJECT.isdisjoint(words):
        return True
    if isinstance(after, _HEADS):
        return not _REACHES_OVER.issuperset(words)
    return isinstance(after, FEET) and not LEADS.issuperset(words)


def _end(pieces: Sequence[Piece], at: int, before: Sequence[str]) -> int:
    """Return the last piece a denial reaches: "no bad ulcer", "not bleeding", "no rubber block"."""
    if isinstance(pieces[at], Not) and isinstance(get(pieces, at + 1), (Tissue, Course)):
        return at + 1  # "not bleeding, sole ulcer outer"
    if pieces[at].heard in _PREDICATES and isinstance(get(pieces, at + 1), Severity):
        return at + 1
    if isinstance(thing := get(pieces, at + 1), Tissue) and thing.value in _THINGS:
        return at + 1  # "no pus, no smell, white line outer"
    after = past(pieces, at + 1, (*MODIFIERS, Material))
    for i in range(at + 1, min(after + 1, len(pieces))):
        turns = {*before[i].split(), pieces[i].heard.split()[0]}
        if not _TURNS.isdisjoint(turns):
            return min(at + 1, i - 1)  # "no pus, just a bruise"
    if isinstance(get(pieces, after), _HEADS) and not (after > at + 1 and is_clean(pieces[after])):
        ahead = pieces[at + 1 : after]
        if all(_qualifies(piece, pieces[after]) for piece in ahead):
            return after
    return min(at + 1, after - 1) if after > at + 1 else at


def _qualifies(piece: Piece, head: Piece) -> bool:
    """Whether a piece is part of the denied thing; "not bleeding, referred" denies no referral."""
    if isinstance(piece, Material) or (isinstance(piece, Course) and piece.value == "new"):
        return isinstance(head, (ActionSaid, *FINDINGS))
    return isinstance(head, FINDINGS)


def _deny_behind(found: Denials, at: int, before: Sequence[str]) -> None:
    """ "rubber block on the inner not needed" denies the block; its foot stays for what follows."""
    pieces = found.pieces
    if pieces[at].heard == "none" and _none_elsewhere(found, at, before):
        return
    head = back(pieces, at - 1, _OF_A_DEED)
    none = pieces[at].heard == "none" and isinstance(get(pieces, head), FINDINGS)
    if not isinstance(get(pieces, head), _DOABLE) and not none:
        if pieces[at].heard == "none" and _none_first(found, at):
            return
        end = _end(pieces, at, before)  # "not needed: a block"
        if isinstance(pieces[end], (*FINDINGS, *_DEEDS)):
            found.gone |= set(range(at + 1, end))
            found.deny(end)
        return
    found.gone |= {i for i in range(head + 1, at) if not isinstance(pieces[i], FEET)}
    if none and isinstance(get(pieces, at + 1), FEET):
        found.gone.add(at - 1)  # "dermatitis left hind none, right hind M2"
    while True:
        found.deny(head)
        first = head
        if isinstance(pieces[head], ActionSaid):
            first = back(pieces, head - 1, (Material,)) + 1
            found.gone |= set(range(first, head))
        if first == 0 or not _listed(pieces[first - 1], before[first]):
            return
        head = first - 1


def _none_elsewhere(found: Denials, at: int, before: Sequence[str]) -> bool:
    """ "Left hind dermatitis, right hind none", "none on the right hind": none of it on that foot.

    The lesion stays with its own foot, and what is said next is of that one.
    """
    pieces = found.pieces
    lesion = find_back(pieces, at - 1, FINDINGS, ())
    if lesion is None or value_of(pieces[lesion]) == "no lesion":
        return False
    site = _site_behind(pieces, at)
    behind = bool(site) and find_back(pieces, site.start - 1, _kinds(pieces, site), ()) is not None
    if not behind:
        site = range(at + 1, past(pieces, at + 1, (*FEET, *CLAWS)))
    if not site:
        return False
    kinds, none = _kinds(pieces, site), pieces[site.start]
    own = find_back(pieces, min(site.start, at) - 1, kinds, ())
    tells = isinstance(
        get(pieces, max(site.stop, at + 1)), (*FINDINGS, *CLAWS, *MODIFIERS, Zone, Region)
    )
    if own is None or value_of(pieces[own]) == value_of(none):
        return False
    if not behind and (tells or back(pieces, at - 1, _OF_A_LESION) != lesion):
        return False
    whole, denied = pieces[own], pieces[lesion]
    if isinstance(whole, Foot) and (rest := _without(whole.value, none)):
        pieces[own] = replace(whole, value=rest)
    found.slots.append(slot_of(none, str(value_of(denied)), How.INFERRED))
    others = any(isinstance(one, FINDINGS) for one in pieces[own + 1 : lesion])
    joined = behind or is_linked(none) or "on" in before[site.start].split()
    if others or not joined:
        what = f"{none.heard!r} may have the {denied.heard!r}, or be the one without"
        first, last = min(pieces[at].first, none.first), max(pieces[at].last, none.last)
        found.questions.append(Question(check="said-and-denied", what=what, first=first, last=last))
    found.gone |= {at} if tells else {at, *site}
    return True


def _none_first(found: Denials, at: int) -> bool:
    """ "Front feet none, hind feet M2": of the fronts nothing more is said."""
    pieces = found.pieces
    if not isinstance(get(pieces, at - 1), FEET) or not isinstance(get(pieces, at + 1), FEET):
        return False
    none = pieces[at - 1]
    what = f"{none.heard!r} was said to have none, and of what is not clear"
    found.questions.append(
        Question(check="said-and-denied", what=what, first=none.first, last=pieces[at].last)
    )
    found.gone |= {at - 1, at}
    return True


def _site_behind(pieces: Sequence[Piece], at: int) -> range:
    """Return the foot and claw, or the one of them, that stand right before a position."""
    claw = at - 1 if at and isinstance(pieces[at - 1], CLAWS) else at
    foot = claw - 1 if claw and isinstance(pieces[claw - 1], FEET) else claw
    return range(foot, at)


def _kinds(pieces: Sequence[Piece], site: range) -> Kinds:
    """Return the kinds by which a site is told from another: its foot, else its claw."""
    return FEET if isinstance(pieces[site.start], FEET) else CLAWS


def _without(feet: tuple[str, ...], none: Piece) -> tuple[str, ...]:
    """Return the feet of several that are not the one without: "both hinds dermatitis, right none"."""
    if isinstance(none, Foot):
        return tuple(foot for foot in feet if foot not in none.value)
    side = none.heard.removeprefix("the ").split()[0]
    initial = {"left": "L", "right": "R"}.get(side)
    return tuple(foot for foot in feet if foot[0] != initial)


def _listed(piece: Piece, joined: str) -> bool:
    """ "block and wrap not needed" denies both; "blocked and wrap not needed" has a block."""
    return (
        isinstance(piece, _DOABLE)
        and not piece.heard.endswith("ed")
        and not {"and", "or"}.isdisjoint(joined.split())
    )
