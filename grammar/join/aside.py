"""Taking a deed out that is not of today, with what is its own."""

from grammar.join.cursor import get, past, seek
from grammar.join.mood_pieces import Moods, silence_own
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    LINKS,
    MODIFIERS,
    ActionSaid,
    AnimalSaid,
    Break,
    Leftover,
    Past,
    Piece,
    Region,
    TimeSaid,
    Zone,
)
from grammar.records import Question

__all__ = ["ask", "is_over", "set_aside"]


def set_aside(moods: Moods, at: int, what: str) -> None:
    """Take a deed out with its own claw, material, feet and time, and say so in a mark."""
    piece = moods.pieces[at]
    silence_own(moods, at)
    end = past(moods.pieces, at + 1, (*LINKS, *FEET, *CLAWS, Leftover))
    time = get(moods.pieces, end)
    if isinstance(time, Past) or (isinstance(time, TimeSaid) and is_over(time)):
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


def is_over(time: TimeSaid) -> bool:
    """Whether a time lies before today."""
    return time.value.in_days is not None and time.value.in_days < 0
