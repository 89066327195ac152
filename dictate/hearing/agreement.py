"""Two listeners: the second hears each sound again, and its words bear out or doubt the first's.

What both heard alike is surer, and what only one heard is less sure, by curves that were fitted on
held-out speech (`certainty.toml`).  The second's words are kept beside the first's, so that a
person can take them with one key.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from dictate.decoder.language import FILLER
from dictate.entry.values import MarkValues
from dictate.hearing.certainty import slot_values
from dictate.hearing.engine import Engine, EngineDescription, Heard
from dictate.sound import Sound
from grammar import Roster, Word, parse
from grammar.records import Entry

SECOND_LISTENER = "second-listener"
"""Check of what the second listener heard otherwise; its candidate are its words."""


FIRST_LISTENER = "first-listener"
"""Check of an entry that was read from the second listener; its candidate are the first's words."""
_LEAST = 0.001


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoListeners:
    """An engine whose sounds a second one hears again."""

    first: Engine
    second: Engine

    def hear(self, sound: Sound) -> Heard:
        """Recognise one sound twice; the words are the first listener's."""
        heard = self.first.hear(sound)
        again = self.second.hear(sound)
        taken = heard.seconds_taken + again.seconds_taken
        return replace(heard, again=again.words, seconds_taken=taken)

    def describe(self) -> EngineDescription:
        """Say which two recognisers these are."""
        first, second = self.first.describe(), self.second.describe()
        return replace(first, engine=f"{first.engine} and {second.engine}")

    def missing_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Return the words that the first listener can never hear."""
        return self.first.missing_words(words)


@dataclass(frozen=True, slots=True, kw_only=True)
class Opinion:
    """What the second listener makes of a sound."""

    text: str
    entries: tuple[Entry, ...]

    def bears_out(self, slot: str, value: str) -> bool:
        """Whether it heard the same value in such a slot, of whichever entry or item."""
        return (slot.rpartition(".")[2], value) in set(self._values())

    def says_otherwise(self, entry: Entry) -> bool:
        """Whether none of its entries is the same in all slots."""
        return all(slot_values(other) != slot_values(entry) for other in self.entries)

    def _values(self) -> Iterator[tuple[str, str]]:
        for entry in self.entries:
            for name, value in slot_values(entry).items():
                yield name.rpartition(".")[2], str(value)


def opinion_of(
    words: Sequence[Word], *, roster: Roster | None, aliases: Mapping[str, str] | None
) -> Opinion | None:
    """Return what the second listener's words say; None where it heard none."""
    if not words:
        return None
    entries = parse(words, roster=roster, aliases=aliases).entries
    return Opinion(text=" ".join(word.text for word in words), entries=entries)


def sureness_of(words: Sequence[Word]) -> float:
    """Return how sure a second listener is of a sound: the geometric mean of its words' chances."""
    logs = [math.log(max(word.confidence or 0.0, _LEAST)) for word in words]
    return math.exp(sum(logs) / len(logs)) if logs else 0.0


def mark_of_first(words: Sequence[Word]) -> MarkValues:
    """Say that the entry stands as the second listener heard it, and offer the first's words."""
    text = " ".join(word.text for word in words if word.text != FILLER)
    return MarkValues(
        id=FIRST_LISTENER,
        what=f"read from the second listener; the first heard “{text or 'nothing'}”",
        why="the second listener was surer of what it heard",
        clear="listen; take the first's words, or leave this reading",
        candidates=(text,) if text else (),
    )


def mark_of_second(opinion: Opinion) -> MarkValues:
    """Offer what the second listener heard."""
    return MarkValues(
        id=SECOND_LISTENER,
        what=f"the second listener heard “{opinion.text}”",
        why="it heard the same sound again, without knowing what the first one heard",
        clear="listen; take its words, or leave the first reading",
        candidates=(opinion.text,),
    )
