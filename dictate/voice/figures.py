"""Numbers written in figures: the sound says which way of saying them it was."""

from collections.abc import Sequence

from dictate.training.network import Network
from dictate.voice.lessons import Listening
from dictate.voice.recordings import Recording
from dictate.voice.sounds import spellings
from dictate.voice.weeding import fit_of, heard_by


def in_words(
    network: Network, own: Sequence[Recording], listening: Listening
) -> dict[int, tuple[str, ...]]:
    """The words of each recording whose words hold figures, by its place."""
    return {
        at: _words(network, one, listening)
        for at, one in enumerate(own)
        if any(len(spellings(word)) > 1 for word in one.words)
    }


def _words(network: Network, one: Recording, listening: Listening) -> tuple[str, ...]:
    """Number after number takes the way that fits best, the others as they stand."""
    heard = heard_by(network, one, listening)
    parts = [spellings(word)[0] for word in one.words]
    for place, word in enumerate(one.words):
        ways = spellings(word)
        if len(ways) == 1:
            continue
        tried = [[*parts[:place], way, *parts[place + 1 :]] for way in ways]
        parts = min(tried, key=lambda some: fit_of(heard, _said(one, some)).lacks)
    return tuple(word for part in parts for word in part)


def _said(one: Recording, parts: Sequence[Sequence[str]]) -> Recording:
    return one.saying(tuple(word for part in parts for word in part))
