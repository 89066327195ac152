"""What became of a block or wrap that she wore: taken off, lost, left on; none was put on today."""

from collections.abc import Sequence

from grammar.join.aside import ask, is_over, set_aside
from grammar.join.came_off import came_off
from grammar.join.cursor import back, get, past, seek
from grammar.join.mood_pieces import Moods
from grammar.join.near import is_word
from grammar.lexicon.schema import ClauseWords
from grammar.pieces import (
    CLAWS,
    FEET,
    LINKS,
    ActionSaid,
    Gone,
    HalfFoot,
    Leftover,
    LeftUndone,
    Not,
    Past,
    Piece,
    Region,
    TakenOff,
    TimeSaid,
    turned,
)

__all__ = ["what_became"]

_BEHIND = (*LINKS, *FEET, *CLAWS, Region, Leftover, LeftUndone, Past, Gone, TakenOff, Not)
"""What may stand between a block or a wrap and what became of it."""
_OFF = frozenset({"off"})
_ONE = frozenset({"one", "un"})


def what_became(moods: Moods, at: int, piece: ActionSaid) -> None:
    """Make a block or wrap that came off what it is, and take out one that was on before."""
    told = any(word.endswith("ed") or word in moods.words.puts for word in piece.heard.split())
    if not told and (_one_came_off(moods, at, piece) or came_off(moods, at)):
        return
    behind = _words_behind(moods.pieces, at)
    before = _words_before(moods.pieces, at, moods.words)
    if told:
        already = before[-1:] == ["already"] and before[-2:-1] and before[-2] in moods.words.is_
        if already or (before[-1:] in (["was"], ["were"]) and _comes_off_later(moods, at, piece)):
            set_aside(moods, at, f"{piece.heard!r} was said of one put on before")
    elif _stays(moods, at, behind) or _was_on(before, piece, moods.words):
        set_aside(moods, at, f"{piece.heard!r} was said of one put on before")
    elif _is_lost(behind, moods.words):
        set_aside(moods, at, f"{piece.heard!r} was said of one put on before, and gone")


def _comes_off_later(moods: Moods, at: int, piece: ActionSaid) -> bool:
    """ "She was blocked on the left, block off today"."""
    return any(
        isinstance(one, ActionSaid) and one.value == f"{piece.value} removed"
        for one in moods.pieces[at + 1 :]
    )


def _words_behind(pieces: Sequence[Piece], at: int) -> list[tuple[str, int]]:
    """Return the words behind a deed, as far as they may be of it, with their places."""
    found: list[tuple[str, int]] = []
    for position in range(at + 1, len(pieces)):
        piece = pieces[position]
        ago = isinstance(piece, TimeSaid) and (
            isinstance(get(pieces, position + 1), Past) or is_over(piece)
        )
        if not isinstance(piece, _BEHIND) and not ago:
            break
        found += ((word, position) for word in piece.heard.split())
    return found


def _words_before(pieces: Sequence[Piece], at: int, words: ClauseWords) -> list[str]:
    first = back(pieces, at - 1, (*LINKS, Leftover)) + 1
    said = [word for one in pieces[first:at] for word in one.heard.split()]
    cut = max((i for i, word in enumerate(said) if word in words.joins), default=-1)
    return said[cut + 1 :]


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
        if verb is None or verb.heard not in moods.words.takes:
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


def _stays(moods: Moods, at: int, behind: Sequence[tuple[str, int]]) -> bool:
    """ "Left it on", "left the bandage on", "block on her already"; "left on four weeks" is of today."""
    pieces, words = moods.pieces, moods.words
    said = [word for word, _ in behind]
    last = behind[-1][1] if behind else at
    if isinstance(get(pieces, last + 1), TimeSaid):
        return False
    for i, word in enumerate(said):
        if word in ("left", "kept") and i + 1 < len(said) and said[i + 1] in words.pronouns:
            on = next((other for other in said[i + 1 :] if other not in words.pronouns), "")
            if on in ("on", "be", "there", "where"):
                return True
        if word == "already" and "new" not in said[i:]:
            return True
    before = _words_before(pieces, at, words)
    kept = [i for i, word in enumerate(before) if word in words.keeps]
    worn = pieces[at].heard.endswith(" on") or said[:1] == ["on"]
    return bool(kept) and worn and words.before_thing.issuperset(before[kept[-1] + 1 :])


def _was_on(before: Sequence[str], piece: ActionSaid, words: ClauseWords) -> bool:
    """ "Had a block on", "already a block on": worn before today."""
    if before[-1:] == ["already"]:
        return True
    wore = words.wore | ({"has", "got"} if "still" in before else frozenset())
    at = max((i for i, word in enumerate(before) if word in wore), default=None)
    if (
        at is None
        or not words.before_thing.issuperset(before[at + 1 :])
        or not words.us.isdisjoint(before[:at])
    ):
        return False
    return piece.heard.split()[0] != "put" and len(before) > at + 1


def _is_lost(behind: Sequence[tuple[str, int]], words: ClauseWords) -> bool:
    """ "It's gone", "fell off"."""
    said = [word for word, _ in behind]
    if "new" in said or "another" in said:
        return False
    fell = any(
        word in words.fell and "off" in said[i + 1 : i + 3] and said[i - 1 : i] != ["to"]
        for i, word in enumerate(said)
    )
    return fell or not words.gone.isdisjoint(said)
