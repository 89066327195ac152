"""Whose a deed is, and of when: decided once for each deed, before feet are given to it.

"The last fella blocked her", "had a block on, took it off", "wrap on the left hind, it's gone",
"come back friday and block her": none of these was put on today, and none may be billed.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from grammar.join.cursor import back, get, past, seek
from grammar.join.mood_pieces import Moods, silence_own
from grammar.join.near import COMES_OFF, is_word, words_before
from grammar.join.undone import is_told
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    LINKS,
    MODIFIERS,
    ActionSaid,
    AnimalSaid,
    Break,
    FollowUpSaid,
    Gone,
    HalfFoot,
    Leftover,
    LeftUndone,
    Not,
    Others,
    Past,
    Piece,
    Region,
    TakenOff,
    TimeSaid,
    Undone,
    Zone,
    turned,
)
from grammar.records import Question

__all__ = ["settle_deeds"]

_SAID = (*LINKS, Leftover)
_BEHIND = (*LINKS, *FEET, *CLAWS, Region, Leftover, LeftUndone, Past, Gone, TakenOff, Not)
"""What may stand between a block or a wrap and what became of it."""
_OF_SUBJECT = frozenset(
    {
        "the",
        "a",
        "my",
        "his",
        "her",
        "our",
        "your",
        "that",
        "this",
        "some",
        "young",
        "as",
        "because",
    }
    | {"cos", "but", "says", "think", "where", "what", "then", "when", "after", "seems"}
)
"""Words that may stand before who did it."""
_BEFORE_DEED = frozenset(
    {
        "has",
        "had",
        "have",
        "already",
        "just",
        "was",
        "were",
        "been",
        "did",
        "got",
        "it",
        "her",
        "the",
    }
    | {"on", "only", "put", "is", "that", "do", "does", "must", "came", "in", "and", "went", "them"}
)
"""Words between who did it and what was done: "the lads had already wrapped it"."""
_US = frozenset({"i", "i've", "i'd", "we", "we've", "me", "we'd"})
_VET = frozenset({"vet", "the vet"})
_PRONOUNS = frozenset({"it", "them", "that", "both", "her", "this", "those"})
_CUTS = frozenset(
    {
        "cut",
        "took",
        "taken",
        "whipped",
        "pulled",
        "ripped",
        "tore",
        "knocked",
        "got",
        "prised",
        "prized",
    }
    | {"popped", "peeled", "snipped", "chiselled", "lifted", "levered", "had", "slipped", "clipped"}
)
_OFF = frozenset({"off"})
_ONE = frozenset({"one", "un"})
_OFF_HOW = frozenset({"right", "straight", "all", "today", "now", "clean", "two", "of"})
_KEEPS = frozenset({"left", "leave", "leaving", "kept", "keep", "keeping"})
_IS_GONE = frozenset({"gone", "lost", "missing", "vanished"})
_FELL = frozenset({"fell", "fallen", "came", "come", "dropped"})
_WORN = frozenset({"had", "wearing", "she'd", "carrying", "arrived", "wore"})
_IS = frozenset(
    {"is", "was", "she's", "been", "has", "had", "got", "are", "were", "they're", "it's"}
)
_THING = frozenset(
    {
        "a",
        "an",
        "the",
        "her",
        "his",
        "its",
        "that",
        "old",
        "one",
        "two",
        "got",
        "with",
        "both",
        "this",
    }
    | {"of", "them", "in", "on", "already", "still", "there", "she", "new", "wee", "big", "good"}
)
"""Words between "had" or "left" and the block itself."""
_PARTS = frozenset({"and", "but", "so", "then", "now", "because", "cos"})
"""Words that begin another clause."""
_COME_BACK = frozenset({"come", "coming", "call", "pop", "return"})
_THEN = (["and"], ["to"], ["with"], ["with a"], ["with the"])
_VERBS = frozenset({"put", "stuck", "gave", "got", "took", "done", "slapped", "banged"})
"""Verbs of a block or wrap that is put on; "wrap on" alone may be an old one."""
_UNTOLD_PUT = frozenset({"put", "cut"})
"""Verbs that are the same for today and for another day."""


def settle_deeds(moods: Moods) -> None:
    """Take out each deed that is not ours or not of today, or make it what it became."""
    for at, piece in enumerate(moods.pieces):
        if isinstance(piece, FollowUpSaid) and not _vet_looked(moods, at):
            _come_back_and(moods, at)
        if not isinstance(piece, ActionSaid) or moods.pieces[at] is not piece:
            continue
        if (who := _done_by(moods, at)) is not None:
            set_aside(moods, at, f"{piece.heard!r} was said of the work of others")
            moods.silence(who)
        elif piece.value in COMES_OFF:
            _what_became(moods, at, piece)


# --- whose -----------------------------------------------------------------------------------


def _done_by(moods: Moods, at: int) -> int | None:
    """Return where it is said that somebody else did it."""
    pieces = moods.pieces
    if isinstance(get(pieces, back(pieces, at - 1, LINKS)), Undone):
        return None  # "must be wrapped by the farmer"
    return _subject(pieces, at) if is_told(pieces[at]) else _by_whom(pieces, at)


def _subject(pieces: Sequence[Piece], at: int) -> int | None:
    """ "The last fella blocked her", "he'd trimmed her", "sprayed it himself"; not "told the lads"."""
    for who in range(at - 1, -1, -1):
        one = pieces[who]
        if isinstance(one, Others) or _is_vet(pieces, who, at):
            return who if _begins_clause(pieces, who) else _by_whom(pieces, at)
        if not isinstance(one, _SAID) or not _BEFORE_DEED.issuperset(one.heard.split()):
            break
    return _by_whom(pieces, at)


def _begins_clause(pieces: Sequence[Piece], who: int) -> bool:
    before = who - 1
    while isinstance(get(pieces, before), _SAID) and pieces[before].heard in _OF_SUBJECT:
        before -= 1
    one = get(pieces, before)
    if isinstance(one, _SAID):
        with_us = one.heard == "and" and is_word(get(pieces, before - 1), _US)
        return (one.heard in _PARTS and not with_us) or one.heard.endswith("'s")
    return not isinstance(one, (Undone, FollowUpSaid))


def _is_vet(pieces: Sequence[Piece], who: int, deed: int) -> bool:
    """ "The vet put a block on last week": no call for one."""
    if not isinstance(pieces[who], FollowUpSaid) or pieces[who].heard not in _VET:
        return False
    first = back(pieces, who - 1, _SAID)
    opens = first < 0 or isinstance(pieces[first], (AnimalSaid, Break))
    behind = get(pieces, past(pieces, deed + 1, _SAID))
    earlier = isinstance(behind, Past) or (isinstance(behind, TimeSaid) and _is_over(behind))
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


def _is_over(time: TimeSaid) -> bool:
    return time.value.in_days is not None and time.value.in_days < 0


def _by_whom(pieces: Sequence[Piece], at: int) -> int | None:
    """ "Blocked by the last fella", "sprayed it himself"."""
    end = past(pieces, at + 1, (*_SAID, *FEET, *CLAWS))
    for who in range(at + 1, end):
        if isinstance(pieces[who], Others):
            words = [one.heard for one in pieces[at + 1 : who]]
            if pieces[who].heard == "himself":
                return who if all(word in _PRONOUNS for word in words) else None
            return who if "by" in words[-3:] and is_told(pieces[at]) else None
        if pieces[who].heard in _US | _PARTS:
            return None
    return None


# --- what became of a block or wrap ----------------------------------------------------------


def _what_became(moods: Moods, at: int, piece: ActionSaid) -> None:
    told = any(word.endswith("ed") or word in _VERBS for word in piece.heard.split())
    words = list(_words_behind(moods.pieces, at))
    if not told and _one_came_off(moods, at, piece):
        return
    if not told and (gone := _came_off(words)) is not None:
        for position in range(at + 1, gone + 1):
            if not isinstance(moods.pieces[position], (*FEET, *CLAWS)):
                moods.silence(position)
        moods.pieces[at] = turned(
            piece, ActionSaid, value=f"{piece.value} removed", if_dated=f"{piece.value} off"
        )
        return
    before = _words_before(moods.pieces, at)
    if told:
        already = before[-1:] == ["already"] and before[-2:-1] and before[-2] in _IS
        if already or (before[-1:] in (["was"], ["were"]) and _comes_off_later(moods, at, piece)):
            set_aside(moods, at, f"{piece.heard!r} was said of one put on before")
    elif _stays(moods.pieces, at, words) or _was_on(before, piece):
        set_aside(moods, at, f"{piece.heard!r} was said of one put on before")
    elif _is_lost(words):
        set_aside(moods, at, f"{piece.heard!r} was said of one put on before, and gone")


def _comes_off_later(moods: Moods, at: int, piece: ActionSaid) -> bool:
    """ "She was blocked on the left, block off today"."""
    return any(
        isinstance(one, ActionSaid) and one.value == f"{piece.value} removed"
        for one in moods.pieces[at + 1 :]
    )


def _words_behind(pieces: Sequence[Piece], at: int) -> Iterator[tuple[str, int]]:
    """Yield the words behind a deed, as far as they may be of it, with their places."""
    for position in range(at + 1, len(pieces)):
        piece = pieces[position]
        cut = isinstance(piece, ActionSaid) and piece.heard.split()[0] in _CUTS
        ago = isinstance(piece, TimeSaid) and (
            isinstance(get(pieces, position + 1), Past) or _is_over(piece)
        )
        if not isinstance(piece, _BEHIND) and not cut and not ago:
            return
        yield from ((word, position) for word in piece.heard.split())


def _words_before(pieces: Sequence[Piece], at: int) -> list[str]:
    first = back(pieces, at - 1, (*LINKS, Leftover)) + 1
    words = [word for one in pieces[first:at] for word in one.heard.split()]
    cut = max((i for i, word in enumerate(words) if word in _PARTS), default=-1)
    return words[cut + 1 :]


def _came_off(words: Sequence[tuple[str, int]]) -> int | None:
    """ "Cut it off", "took them both off": return where it ends."""
    for i, (word, _) in enumerate(words):
        if word not in _CUTS:
            continue
        end = i + 1
        while end < len(words) and words[end][0] in _PRONOUNS | _OFF_HOW:
            end += 1
        if i + 1 < end < len(words) and words[end][0] == "off":
            return words[end][1]
    for (word, _), (off, at) in pairwise(words):
        here = off == "off" and (word in _IS or word.endswith("'s"))
        if here and not any(one in _IS_GONE for one, _ in words):
            return at  # "from last time, that's off now"
    return None


def _one_came_off(moods: Moods, at: int, piece: ActionSaid) -> bool:
    """ "A block on both hinds, took the left one off, left the right one on": one of the two."""
    pieces = moods.pieces
    for half in range(at + 1, past(pieces, at + 1, _BEHIND)):
        end = half + 1 + is_word(get(pieces, half + 1), _ONE)
        verb, off = get(pieces, half - 1), get(pieces, end)
        if not isinstance(pieces[half], HalfFoot) or not is_word(off, _OFF) or off is None:
            continue
        if verb is not None and verb.heard == "the":
            verb = get(pieces, half - 2)
        if verb is None or verb.heard not in _CUTS:
            continue
        ask(moods, piece, piece.last, f"{piece.heard!r} was said of one put on before")
        moods.pieces[end] = turned(
            off, ActionSaid, value=f"{piece.value} removed", if_dated=f"{piece.value} off"
        )
        moods.silence(at)
        other = seek(pieces, end + 1, (HalfFoot,), past(pieces, end + 1, _BEHIND))
        if other is not None:
            moods.silence(other)
        return True
    return False


def _stays(pieces: Sequence[Piece], at: int, words: Sequence[tuple[str, int]]) -> bool:
    """ "Left it on", "left the bandage on", "block on her already"; "left on four weeks" is of today."""
    said = [word for word, _ in words]
    last = words[-1][1] if words else at
    if isinstance(get(pieces, last + 1), TimeSaid):
        return False
    for i, word in enumerate(said):
        if word in ("left", "kept") and i + 1 < len(said) and said[i + 1] in _PRONOUNS:
            on = next((other for other in said[i + 1 :] if other not in _PRONOUNS), "")
            if on in ("on", "be", "there", "where"):
                return True
        if word == "already" and "new" not in said[i:]:
            return True
    before = _words_before(pieces, at)
    kept = [i for i, word in enumerate(before) if word in _KEEPS]
    worn = pieces[at].heard.endswith(" on") or said[:1] == ["on"]
    return bool(kept) and worn and _THING.issuperset(before[kept[-1] + 1 :])


def _was_on(before: Sequence[str], piece: ActionSaid) -> bool:
    """ "Had a block on", "already a block on": worn before today."""
    if before[-1:] == ["already"]:
        return True
    at = max((i for i, word in enumerate(before) if word in _WORN), default=None)
    if at is None or not _THING.issuperset(before[at + 1 :]) or not _US.isdisjoint(before[:at]):
        return False
    return piece.heard.split()[0] != "put" and len(before) > at + 1


def _is_lost(words: Sequence[tuple[str, int]]) -> bool:
    """ "It's gone", "fell off"."""
    said = [word for word, _ in words]
    if "new" in said or "another" in said:
        return False
    fell = any(word in _FELL and "off" in said[i + 1 : i + 3] for i, word in enumerate(said))
    return fell or not _IS_GONE.isdisjoint(said)


# --- of another day --------------------------------------------------------------------------


def _come_back_and(moods: Moods, at: int) -> None:
    """ "I'll come back friday and block her": done then."""
    pieces = moods.pieces
    if _COME_BACK.isdisjoint([*words_before(pieces, at, 1), *pieces[at].heard.split()]):
        return
    deed = past(pieces, at + 1, (*LINKS, TimeSaid))
    joined = [one.heard for one in pieces[at + 1 : deed]]
    piece = get(pieces, deed)
    if not isinstance(piece, ActionSaid) or joined[-1:] not in _THEN:
        return
    if not is_told(piece) or piece.heard.split()[0] in _UNTOLD_PUT:
        silence_own(moods, deed)
        moods.set_aside(deed, "action-not-done", f"{piece.heard!r} was said as not yet done")


# --- taking out ------------------------------------------------------------------------------


def set_aside(moods: Moods, at: int, what: str) -> None:
    """Take a deed out with its own claw, material, feet and time, and say so in a mark."""
    piece = moods.pieces[at]
    silence_own(moods, at)
    end = past(moods.pieces, at + 1, (*LINKS, *FEET, *CLAWS, Leftover))
    time = get(moods.pieces, end)
    if isinstance(time, Past) or (isinstance(time, TimeSaid) and _is_over(time)):
        moods.silence(end)
    of_foot = moods.pieces[end : seek(moods.pieces, end, (*FEET, AnimalSaid, Break))]
    told = any(isinstance(one, (*FINDINGS, *MODIFIERS, Zone, ActionSaid)) for one in of_foot)
    last = piece.last
    for position in range(at + 1, end):
        one = moods.pieces[position]
        own = isinstance(one, CLAWS) and not _opens(get(moods.pieces, end))
        if own or (not told and isinstance(one, FEET)):
            moods.silence(position)
        last = max(last, one.last) if own or isinstance(one, FEET) else last
    ask(moods, piece, last, what)
    moods.silence(at)


def ask(moods: Moods, piece: Piece, last: int, what: str) -> None:
    """Mark a deed with the words up to `last`."""
    moods.questions.append(Question(check="said-of-past", what=what, first=piece.first, last=last))


def _opens(piece: Piece | None) -> bool:
    """Whether a finding begins here, of which the claw before it is."""
    return isinstance(piece, (*FINDINGS, *MODIFIERS, Zone, Region))
