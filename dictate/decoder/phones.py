"""The phones of the acoustic model and how a phone sequence explains the network's frames.

The network was trained with CTC: each 30 ms frame is `blank` (pdf 0) or one of 39 phones (pdf i).
The decoder wants Kaldi's terms: phones with a place in the word (so that word times can be read
off an alignment), states, and transition ids.  This module is the one table of all of them.

Phone ids: 1 is silence; then each ARPAbet phone in order, in four places: begin, end, internal,
singleton.  A phone's first state emits the phone; begin and internal phones may then emit blank.
Final phones may not: what follows a word is silence, so that a word's end is where its last phone
was heard and not where the next word starts.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import IntEnum
from functools import cache

ARPABET: tuple[str, ...] = (
    "AA", "AE", "AH", "AO", "AW", "AY", "B", "CH", "D", "DH", "EH", "ER", "EY", "F", "G", "HH",
    "IH", "IY", "JH", "K", "L", "M", "N", "NG", "OW", "OY", "P", "R", "S", "SH", "T", "TH", "UH",
    "UW", "V", "W", "Y", "Z", "ZH",
)  # fmt: skip
"""The 39 phones of the CMU dictionary without stress; phone `ARPABET[i]` is output i + 1."""

BLANK_PDF = 0
PDF_COUNT = 1 + len(ARPABET)
"""Outputs of the network: blank and the phones."""

SILENCE = 1
"""Phone id of silence; it emits blank."""


class Place(IntEnum):
    """Where in its word a phone stands, in the order of the phone ids."""

    BEGIN = 0
    END = 1
    INTERNAL = 2
    SINGLETON = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class PhoneState:
    """One emitting state of a phone."""

    pdf: int
    """Output of the network that the state emits."""
    following: tuple[int, ...]
    """States that may come next, itself first; `len(states)` is the end of the phone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    """One transition of the HMM with the id that stands on the arcs of the decoding graph."""

    source: int
    target: int
    transition_id: int


def phone_id(symbol: str, place: Place) -> int:
    """Id of an ARPAbet symbol at a place in its word; KeyError for an unknown symbol."""
    return 2 + 4 * _PLACES[symbol] + place


_PLACES = {symbol: index for index, symbol in enumerate(ARPABET)}


def place_in_word(index: int, length: int) -> Place:
    """Place of phone `index` in a word of `length` phones."""
    if length == 1:
        return Place.SINGLETON
    if index == 0:
        return Place.BEGIN
    return Place.END if index == length - 1 else Place.INTERNAL


def phone_ids(pronunciation: Sequence[str]) -> tuple[int, ...]:
    """Phone ids of a word pronounced as the given ARPAbet symbols."""
    length = len(pronunciation)
    return tuple(
        phone_id(symbol, place_in_word(index, length)) for index, symbol in enumerate(pronunciation)
    )


def all_phone_ids() -> range:
    """Silence, then every phone in its four places."""
    return range(SILENCE, 2 + 4 * len(ARPABET))


def pdf_of(phone: int) -> int:
    """Output of the network that the phone's first state emits."""
    return BLANK_PDF if phone == SILENCE else 1 + (phone - 2) // 4


def states_of(phone: int) -> tuple[PhoneState, ...]:
    """The emitting states of a phone, in order."""
    first = pdf_of(phone)
    if phone == SILENCE or (phone - 2) % 4 in {Place.END, Place.SINGLETON}:
        return (PhoneState(pdf=first, following=(0, 1)),)
    return (PhoneState(pdf=first, following=(0, 1, 2)), PhoneState(pdf=BLANK_PDF, following=(1, 2)))


def topologies() -> tuple[tuple[int, ...], ...]:
    """The phones grouped by equal shape: one emitting state, two emitting states."""
    one = tuple(phone for phone in all_phone_ids() if len(states_of(phone)) == 1)
    return one, tuple(phone for phone in all_phone_ids() if phone not in set(one))


@cache
def _arcs() -> dict[int, tuple[Arc, ...]]:
    """Transition ids count up over phone, state, following state, starting at 1."""
    counted = iter(range(1, 10_000))
    return {
        phone: tuple(
            Arc(source=source, target=target, transition_id=next(counted))
            for source, state in enumerate(states_of(phone))
            for target in state.following
        )
        for phone in all_phone_ids()
    }


def arcs_of(phone: int) -> tuple[Arc, ...]:
    """The transitions of a phone with their ids."""
    return _arcs()[phone]


def word_boundary_lines() -> Iterator[str]:
    """Lines of Kaldi's `word_boundary.int`: phone id and its place in a word."""
    yield f"{SILENCE} nonword"
    for symbol in ARPABET:
        for place in Place:
            yield f"{phone_id(symbol, place)} {place.name.lower()}"
