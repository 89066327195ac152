"""Whose a deed is, and of when: decided once for each deed, before feet are given to it.

"The last fella blocked her", "had a block on, took it off", "wrap on the left hind, it's gone",
"come back friday and block her": none of these was put on today, and none may be billed.
"""

from collections.abc import Sequence

from grammar.join.aside import is_over, set_aside
from grammar.join.came_off import came_off, is_of_then
from grammar.join.cursor import back, get, past
from grammar.join.mood_pieces import Moods, silence_own
from grammar.join.near import COMES_OFF, is_word, words_before
from grammar.join.undone import is_told
from grammar.join.worn import what_became
from grammar.lexicon.schema import ClauseWords
from grammar.pieces import (
    CLAWS,
    DEEDS,
    FEET,
    LINKS,
    ActionSaid,
    AnimalSaid,
    Break,
    FollowUpSaid,
    Leftover,
    Others,
    Past,
    Piece,
    TimeSaid,
    Undone,
)

__all__ = ["settle_deeds"]

_SAID = (*LINKS, Leftover)
_VET = frozenset({"vet", "the vet"})
_THEN = (["and"], ["to"], ["with"], ["with a"], ["with the"])
"""What joins a deed to "come back friday"."""


def settle_deeds(moods: Moods) -> None:
    """Take out each deed that is not ours or not of today, or make it what it became."""
    for at, piece in enumerate(moods.pieces):
        if isinstance(piece, FollowUpSaid) and not _vet_looked(moods, at):
            _come_back_and(moods, at)
        if not isinstance(piece, DEEDS) or moods.pieces[at] is not piece:
            continue
        if not isinstance(piece, ActionSaid) or piece.value.endswith(" removed"):
            came_off(moods, at)
        elif (who := _done_by(moods, at)) is not None:
            if not came_off(moods, at):
                set_aside(moods, at, f"{piece.heard!r} was said of the work of others")
            moods.silence(who)
        elif piece.value in COMES_OFF and not (
            is_of_then(moods.pieces, at) and came_off(moods, at)
        ):
            what_became(moods, at, piece)


# --- whose -----------------------------------------------------------------------------------


def _done_by(moods: Moods, at: int) -> int | None:
    """Return where it is said that somebody else did it."""
    pieces = moods.pieces
    if isinstance(get(pieces, back(pieces, at - 1, LINKS)), Undone):
        return None  # "must be wrapped by the farmer"
    of_whom = _subject if is_told(pieces[at]) else _by_whom
    return of_whom(pieces, at, moods.words)


def _subject(pieces: Sequence[Piece], at: int, words: ClauseWords) -> int | None:
    """ "The last fella blocked her", "he'd trimmed her", "sprayed it himself"; not "told the lads"."""
    for who in range(at - 1, -1, -1):
        one = pieces[who]
        if isinstance(one, Others) or _is_vet(pieces, who, at):
            return who if _begins_clause(pieces, who, words) else _by_whom(pieces, at, words)
        verb = isinstance(one, Leftover) and one.heard.endswith("ed")  # "vet numbed it and cut …"
        known = words.before_deed.issuperset(one.heard.split())
        if not isinstance(one, _SAID) or not (known or verb):
            break
    return _by_whom(pieces, at, words)


def _begins_clause(pieces: Sequence[Piece], who: int, words: ClauseWords) -> bool:
    before = who - 1
    while isinstance(get(pieces, before), _SAID) and pieces[before].heard in words.before_who:
        before -= 1
    one = get(pieces, before)
    if isinstance(one, _SAID):
        with_us = one.heard == "and" and is_word(get(pieces, before - 1), words.us)
        return (one.heard in words.joins and not with_us) or one.heard.endswith("'s")
    return not isinstance(one, (Undone, FollowUpSaid))


def _is_vet(pieces: Sequence[Piece], who: int, deed: int) -> bool:
    """ "The vet put a block on last week": no call for one."""
    if not isinstance(pieces[who], FollowUpSaid) or pieces[who].heard not in _VET:
        return False
    first = back(pieces, who - 1, _SAID)
    opens = first < 0 or isinstance(pieces[first], (AnimalSaid, Break))
    behind = get(pieces, past(pieces, deed + 1, _SAID))
    earlier = isinstance(behind, Past) or (isinstance(behind, TimeSaid) and is_over(behind))
    return opens or earlier or deed - who > 1


def _vet_looked(moods: Moods, at: int) -> bool:
    """ "The vet had a look at her monday": nothing is due."""
    pieces = moods.pieces
    who = back(pieces, at - 1, LINKS)
    said = [word for one in pieces[who + 1 : at] for word in one.heard.split()]
    others = any(isinstance(one, Others) for one in pieces[max(0, who) : at])
    cue = get(pieces, who)
    vet = isinstance(cue, FollowUpSaid) and cue.heard in _VET
    if isinstance(cue, Past) and cue.heard.endswith("had"):
        vet, said = True, ["had", *said]
    if not (others or vet) or said[-1:] != ["a"] or "had" not in said:
        return False
    time = past(pieces, at + 1, LINKS)
    for position in (at, *([who] if vet else []), time):
        if position == time and not isinstance(get(pieces, time), TimeSaid):
            continue
        moods.silence(position)
    return True


def _by_whom(pieces: Sequence[Piece], at: int, words: ClauseWords) -> int | None:
    """ "Blocked by the last fella", "sprayed it himself"."""
    end = past(pieces, at + 1, (*_SAID, *FEET, *CLAWS, Past))
    if isinstance(time := get(pieces, end), TimeSaid) and is_over(time):
        end = past(pieces, end + 1, (*_SAID, *FEET, *CLAWS))  # "bandaged yesterday by the student"
    vet = get(pieces, end)
    by = [*words_before(pieces, end, 2), *(vet.heard.split() if vet else ())][-3:]
    if by == ["by", "the", "vet"] and isinstance(vet, FollowUpSaid) and is_told(pieces[at]):
        return end
    for who in range(at + 1, end):
        if isinstance(pieces[who], Others):
            between = [one.heard for one in pieces[at + 1 : who]]
            if pieces[who].heard == "himself":
                return who if words.himself.issuperset(" ".join(between).split()) else None
            return who if "by" in between[-3:] and is_told(pieces[at]) else None
        if pieces[who].heard in words.us | words.joins:
            return None
    return None


# --- of another day --------------------------------------------------------------------------


def _come_back_and(moods: Moods, at: int) -> None:
    """ "I'll come back friday and block her": done then."""
    pieces = moods.pieces
    if moods.words.come_back.isdisjoint([*words_before(pieces, at, 1), *pieces[at].heard.split()]):
        return
    deed = past(pieces, at + 1, (*LINKS, TimeSaid))
    joined = [one.heard for one in pieces[at + 1 : deed]]
    piece = get(pieces, deed)
    if not isinstance(piece, ActionSaid) or joined[-1:] not in _THEN:
        return
    if not is_told(piece) or piece.heard.split()[0] in moods.words.same_for_all_times:
        silence_own(moods, deed)
        moods.set_aside(deed, "action-not-done", f"{piece.heard!r} was said as not yet done")
