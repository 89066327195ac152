"""Where the rules of rules.toml fit: all patterns as one automaton that reads chunk by chunk.

Its states are made when chunks first lead to them; there are only as many as tags and words in rules
allow, whatever people say.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from grammar.hear.chunks import Chunk
from grammar.lexicon.lexicon import Lexicon

Token = tuple[str, str]
"""A tag or a word, and how often it may stand there: "" once, "?" at most once, "*" as you like."""
Place = tuple[int, int]
"""The position of a pattern, and of the token of it that comes next."""


@dataclass(frozen=True, slots=True, eq=False)
class _State:
    places: frozenset[Place]
    """What may come next in each pattern that fits so far; behind the last token of those that end."""
    ended: frozenset[int]
    """Positions of the rules that end here."""
    ahead: dict[tuple[str, str], "_State"] = field(default_factory=dict)
    """Tag and word -> where they lead."""


class _Automaton:
    def __init__(self, lexicon: Lexicon) -> None:
        patterns = [
            (rule, tuple(_tokens(text)))
            for rule, row in enumerate(lexicon.rules)
            for text in row.patterns
        ]
        self._rules = [rule for rule, _ in patterns]
        self._patterns = [tokens for _, tokens in patterns]
        self._words = frozenset(
            name for tokens in self._patterns for name, _ in tokens if not name.isupper()
        )
        self._states: dict[frozenset[Place], _State] = {}
        self._start = self._state((pattern, 0) for pattern in range(len(patterns)))

    def spans(self, chunks: Sequence[Chunk]) -> Iterator[tuple[int, int, int]]:
        """Yield (first chunk, one past the last, rule) wherever a pattern fits."""
        said = [(one.tag, one.text if one.text in self._words else "") for one in chunks]
        for first in range(len(said)):
            state = self._start
            for last in range(first, len(said)):
                state = state.ahead.get(said[last]) or self._step(state, said[last])
                if not state.places:
                    break
                for rule in state.ended:
                    yield first, last + 1, rule

    def _step(self, state: _State, said: tuple[str, str]) -> _State:
        places: list[Place] = []
        for pattern, at in state.places:
            tokens = self._patterns[pattern]
            if at < len(tokens) and tokens[at][0] in said:
                places.append((pattern, at if tokens[at][1] == "*" else at + 1))
        state.ahead[said] = ahead = self._state(places)
        return ahead

    def _state(self, places: Iterable[Place]) -> _State:
        """Return the state of these places, and of those behind what may be left out."""
        closed: set[Place] = set()
        for pattern, first in places:
            at, tokens = first, self._patterns[pattern]
            closed.add((pattern, at))
            while at < len(tokens) and tokens[at][1]:
                at += 1
                closed.add((pattern, at))
        ended = {
            self._rules[pattern] for pattern, at in closed if at == len(self._patterns[pattern])
        }
        key = frozenset(closed)
        return self._states.setdefault(key, _State(places=key, ended=frozenset(ended)))


def _tokens(pattern: str) -> Iterator[Token]:
    """Take "ANIMAL+ FILL* NUM" apart; `+` is once, and then as often as you like."""
    for word in pattern.split():
        name = word.rstrip("?*+")
        often = word[len(name) :]
        if often == "+":
            yield name, ""
        yield name, often.replace("+", "*")


@lru_cache(maxsize=4)
def _automaton(lexicon: Lexicon) -> _Automaton:
    return _Automaton(lexicon)


def rule_spans(chunks: Sequence[Chunk], lexicon: Lexicon) -> list[tuple[int, int, int]]:
    """Return where rules fit, the longest first, then the leftmost, then in the file's order.

    Each is (first chunk, one past the last, position of the rule).
    """
    spans = _automaton(lexicon).spans(chunks)
    return sorted(spans, key=lambda span: (span[0] - span[1], span[0], span[2]))
