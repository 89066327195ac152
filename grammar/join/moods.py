"""What was said of later, of the past or of not being able to: no action done, no lesion found.

"Needs a block", "should be wrapped", "block still on", "had a wart last time", "the ulcer is gone".
Such things are taken out before anything is attached; the cue words stand in commands.toml.  What
is due and has a follow-up of its own ("needs a trim") becomes one; every other action said of later
and everything said of the past is marked, for somebody must know of it.
"""

from collections.abc import Callable, Sequence

from grammar.join.clauses import settle_deeds
from grammar.join.cursor import get, past
from grammar.join.earlier import gone, put_in_the_past
from grammar.join.left_undone import left_undone, says_off, taken_off
from grammar.join.mood_pieces import Moods
from grammar.join.near import is_word
from grammar.join.undone import is_due, not_done, undo
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    FINDINGS,
    LINKS,
    MODIFIERS,
    Gone,
    LeftUndone,
    Not,
    Past,
    Piece,
    TakenOff,
    Undone,
    turned,
)

__all__ = ["take_moods"]

_OFF = frozenset({"off"})


def take_moods(pieces: Sequence[Piece], lexicon: Lexicon) -> Moods:
    """Take out what was said of later, of the past, or gone; never raises."""
    moods = Moods(pieces=list(pieces), said=pieces, words=lexicon.clauses)
    settle_deeds(moods)
    for at, piece in enumerate(pieces):
        act = _CUES.get(type(piece)) if moods.pieces[at] is piece else None
        if isinstance(piece, Undone) and _denies(moods.pieces, at):
            moods.pieces[at] = turned(piece, Not, value="not")
        elif act is not None:
            act(moods, at)
            moods.silence(at)
        elif is_word(moods.pieces[at], _OFF) and says_off(moods.pieces, at):
            taken_off(moods, at)
        elif moods.pieces[at] is piece and is_due(moods.pieces, at):
            undo(moods, at, later=True)
    return moods


def _denies(pieces: Sequence[Piece], at: int) -> bool:
    """ "Had no ulcer" denies a lesion; "had no plaster left" is a wrap that was not put on."""
    ahead = past(pieces, at + 1, (*LINKS, *MODIFIERS))
    return pieces[at].heard.endswith(" no") and isinstance(get(pieces, ahead), FINDINGS)


_CUES: dict[type[Piece], Callable[[Moods, int], None]] = {
    Undone: not_done,
    LeftUndone: left_undone,
    Past: put_in_the_past,
    Gone: gone,
    TakenOff: taken_off,
}
