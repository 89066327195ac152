"""Where the rules of rules.toml fit among chunks: "ANIMAL+ FILL* NUM", with `?`, `*` and `+`.

All patterns are followed at once, from each chunk on.  Which places in which patterns are reached
is a state; where a chunk leads from a state is worked out once and kept, so that after some notes
it is a look-up a chunk.  States are as many as the patterns allow, whatever people say.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from grammar.hear.chunks import Chunk
from grammar.lexicon.lexicon import Lexicon
from grammar.lexicon.schema import RuleRow

__all__ = ["find_rules"]

Place = tuple[int, int]
"""A pattern, and how many of its parts are behind."""


@dataclass(slots=True, eq=False)
class _State:
    """What may have been said so far, of all patterns."""

    places: frozenset[Place]
    fits: tuple[int, ...]
    """Positions of the rules that are whole here."""
    after: dict[tuple[str, str], "_State"] = field(default_factory=dict)
    """Tag and word of the next chunk -> where they lead."""


class _Rules:
    """The patterns of a lexicon's rules, and the states met so far."""

    def __init__(self, rows: Sequence[RuleRow]) -> None:
        patterns = [
            (position, tuple(text.split()))
            for position, row in enumerate(rows)
            for text in row.patterns
        ]
        self._rule = tuple(position for position, _ in patterns)
        self._parts = tuple(
            tuple((part.rstrip("?*+"), part[-1]) for part in parts) for _, parts in patterns
        )
        self.named = frozenset(name for parts in self._parts for name, _ in parts)
        """Tags and words of the patterns; a word that none names is like any other."""
        self._states: dict[frozenset[Place], _State] = {}
        self.start = self._state((number, 0) for number in range(len(patterns)))

    def _state(self, places: Iterable[Place]) -> _State:
        reached: set[Place] = set()
        for number, behind in places:
            reached.add((number, behind))
            for at, (_, often) in enumerate(self._parts[number][behind:], start=behind + 1):
                if often not in "?*":
                    break
                reached.add((number, at))
        key = frozenset(reached)
        if key not in self._states:
            whole = {self._rule[n] for n, behind in key if behind == len(self._parts[n])}
            self._states[key] = _State(places=key, fits=tuple(sorted(whole)))
        return self._states[key]

    def after(self, state: _State, chunk: tuple[str, str]) -> _State:
        """Return where a chunk leads, given as its tag and its word."""
        if chunk not in state.after:
            places: set[Place] = set()
            for number, behind in state.places:
                for name, often in self._parts[number][behind : behind + 1]:
                    if name in chunk:
                        places.add((number, behind + 1))
                        if often in "*+":
                            places.add((number, behind))
            state.after[chunk] = self._state(places)
        return state.after[chunk]


@lru_cache(maxsize=4)
def _rules(lexicon: Lexicon) -> _Rules:
    return _Rules(lexicon.rules)


def find_rules(chunks: Sequence[Chunk], lexicon: Lexicon) -> list[tuple[int, int, int]]:
    """Return where rules fit, the longest first, then the leftmost, then in the file's order.

    Each is (first chunk, one past the last, position of the rule).  Of one rule no two overlap.
    """
    rules = _rules(lexicon)
    said = [(c.tag, c.text if c.text in rules.named else "") for c in chunks]
    spans: list[tuple[int, int, int]] = []
    for first in range(len(said)):
        state = rules.start
        for at in range(first, len(said)):
            state = rules.after(state, said[at])
            if not state.places:
                break
            spans += [(first, at + 1, position) for position in state.fits]
    spans.sort(key=lambda span: (span[0] - span[1], span[0], span[2]))
    found: list[tuple[int, int, int]] = []
    taken: set[tuple[int, int]] = set()
    for first, last, position in spans:
        own = {(position, at) for at in range(first, last)}
        if taken.isdisjoint(own):
            taken |= own
            found.append((first, last, position))
    return found
