"""A block or wrap named before and then taken off: "had a block on, pulled it", "due off friday, took it off"."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from grammar.join.cursor import back, get, past
from grammar.join.mood_pieces import Moods
from grammar.join.near import COMES_OFF, is_word, just_before
from grammar.lexicon.schema import ClauseWords
from grammar.pieces import (
    CLAWS,
    DEEDS,
    FEET,
    LINKS,
    MODIFIERS,
    ActionSaid,
    Break,
    Dangling,
    FollowUpSaid,
    Gone,
    Leftover,
    LeftUndone,
    Lesion,
    Material,
    No,
    Not,
    NotNeeded,
    Number,
    Past,
    Piece,
    Region,
    StatusSaid,
    TakenOff,
    TimeSaid,
    Undone,
    is_clean,
    turned,
    value_of,
)

__all__ = ["came_off", "is_of_then", "thing_of"]

_SITES = (*FEET, *CLAWS)
_STAY = (*_SITES, *MODIFIERS, StatusSaid)
"""What holds of the foot when its block is off."""
_OVER = (
    Break, *LINKS, *_STAY, Region, Leftover, Dangling, LeftUndone, No, NotNeeded, Past, Gone, TakenOff, Not, Undone, TimeSaid,
)  # fmt: skip
"""What may stand between a block or a wrap and its coming off."""
_FOR = frozenset({"for", "for the", "with"})
_SEVERAL = frozenset({"both", "them"})
_LITTLE = frozenset({"one", "vet", "the vet"})
""" "No block needed, she had one on", "blocked by the vet"."""
_Said = Sequence[tuple[str, int]]
"""Words with the places of their pieces."""


def thing_of(piece: Piece | None) -> str | None:
    """Return the block or wrap that is named: "wrapped", "block off", "wrap to come off"."""
    if not isinstance(piece, DEEDS):
        return None
    thing = str(value_of(piece)).removesuffix(" removed").removesuffix(" off")
    return thing if thing in COMES_OFF else None


def came_off(moods: Moods, at: int) -> bool:
    """Make of a block or wrap the removal that is told behind it; its feet and claws stay its own."""
    pieces, piece, thing = moods.pieces, moods.pieces[at], thing_of(moods.pieces[at])
    said = list(_words_behind(pieces, at, moods.words))
    cue = back(pieces, at - 1, LINKS)
    needed = isinstance(get(pieces, cue), Undone)
    end = _end(said, pieces, moods.words, due=needed or isinstance(piece, FollowUpSaid))
    if thing is None or end is None:
        return False
    denied = isinstance(just_before(pieces, at), (No, Not))
    off = end if denied else at  # "no block needed, took it off"
    own = back(pieces, at - 1, (Material,)) + 1
    for position in (*range(own, at), *range(at + 1, end + 1)):
        one = pieces[position]
        of_no = denied and isinstance(one, (LeftUndone, NotNeeded))
        if not isinstance(one, (*_STAY, Break)) and not is_clean(one) and not of_no:
            moods.silence(position)
    if needed:
        moods.silence(cue)
    due = f"{thing} off" if isinstance(piece, ActionSaid) and thing == piece.value else None
    pieces[off] = turned(pieces[off], ActionSaid, value=f"{thing} removed", if_dated=due)
    return True


def is_of_then(pieces: Sequence[Piece], at: int) -> bool:
    """ "Wrapped both hinds last tuesday": whether a time that is over stands behind a deed."""
    time = get(pieces, past(pieces, at + 1, (*LINKS, *_SITES)))
    over = isinstance(time, TimeSaid) and (time.value.in_days or 0) < 0
    return over or (isinstance(time, Past) and time.behind)


def _words_behind(
    pieces: Sequence[Piece], at: int, words: ClauseWords
) -> Iterator[tuple[str, int]]:
    """Yield the words behind a block or wrap, as far as they may be of it."""
    for position in range(at + 1, len(pieces)):
        piece = pieces[position]
        cut = isinstance(piece, ActionSaid) and piece.heard.split()[0] in words.takes
        why = is_word(get(pieces, position - 1), _FOR) and isinstance(piece, Lesion)
        little = isinstance(piece, (Number, FollowUpSaid)) and piece.heard in _LITTLE
        if not isinstance(piece, _OVER) and not (cut or little or why) and not is_clean(piece):
            return
        yield from ((word, position) for word in piece.heard.split())


def _end(said: _Said, pieces: Sequence[Piece], words: ClauseWords, *, due: bool) -> int | None:
    """Return where it is told that it came off: "cut it off", "took them both away", "that's off now"."""
    for i, (word, at) in enumerate(said):
        if isinstance(pieces[at], TakenOff):
            return None if isinstance(pieces[at - 1], Undone) else at  # "to be removed on day four"
        if due and word == "that" and i and said[i - 1][0] in words.did:
            return at  # "needs her wrap off, done that"
        now = word in words.takes_now and i > 0 and said[i - 1][0] in words.us
        if word not in words.takes and not now:
            continue
        end = i + 1
        while end < len(said) and said[end][0] in words.pronouns | words.how_off:
            end += 1
        way, last = said[end] if end < len(said) else ("", at)
        named = end > i + 1
        if way in words.ways_off and (named or now):
            to_come = now and isinstance(get(pieces, past(pieces, last + 1, LINKS)), TimeSaid)
            return None if to_come else last
        alone = (
            word in words.pulls
            or (word == "cut" and way in ("", "and"))
            or (word == "took" and not _SEVERAL.isdisjoint(one for one, _ in said[i + 1 : end]))
        )  # "too tight, cut it and …", "took them both"
        if alone and named and way not in words.ways_on:
            return said[end - 1][1]
    for (word, _), (off, at) in pairwise(said):
        here = off == "off" and (word in words.is_ or word.endswith("'s"))
        if here and not any(one in words.gone for one, _ in said):
            return at  # "from last time, that's off now"
    return None
