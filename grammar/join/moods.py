"""What was said of later, of the past or of not being able to: no action done, no lesion found.

"Needs a block", "should be wrapped", "block still on", "had a wart last time", "the ulcer is gone".
Such things are taken out before anything is attached; the cue words stand in commands.toml.  What
is due and has a follow-up of its own ("needs a trim") becomes one; every other action said of later
and everything said of the past is marked, for somebody must know of it.
"""

from collections.abc import Callable, Sequence

from grammar.join.earlier import gone, put_in_the_past
from grammar.join.mood_pieces import Moods
from grammar.join.undone import is_due, left_undone, not_done, says_off, taken_off, undo
from grammar.pieces import (
    Filler,
    Gone,
    LeftUndone,
    Past,
    Piece,
    TakenOff,
    Undone,
)

__all__ = ["take_moods"]


def take_moods(pieces: Sequence[Piece]) -> Moods:
    """Take out what was said of later, of the past, or gone; never raises."""
    moods = Moods(pieces=list(pieces), said=pieces)
    for at, piece in enumerate(pieces):
        act = _CUES.get(type(piece))
        if act is not None:
            act(moods, at)
            moods.silence(at)
        elif isinstance(piece, Filler) and piece.value == "off" and says_off(moods.pieces, at):
            taken_off(moods, at)
        elif moods.pieces[at] is piece and is_due(moods.pieces, at):
            undo(moods, at, later=True)
    return moods


_CUES: dict[type[Piece], Callable[[Moods, int], None]] = {
    Undone: not_done,
    LeftUndone: left_undone,
    Past: put_in_the_past,
    Gone: gone,
    TakenOff: taken_off,
}
