"""A note's words as a line with one place marked, and what putting words there makes of it; pure."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from grammar import split_text
from grammar.hear.words import UNKNOWN


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """The words of a note and the place that is worked on."""

    words: tuple[str, ...]
    """A stretch of unclear sounds stands as one."""
    at: int = 0
    """The word that is worked on; their number is the end of the note."""
    room: bool = False
    """What is put in stands before that word and takes nothing away."""

    @property
    def text(self) -> str:
        return " ".join(self.words)

    @property
    def here(self) -> str:
        """The word that would be replaced; empty where there is room."""
        return "" if self.room else self.words[self.at]

    @property
    def before(self) -> tuple[str, ...]:
        return self.words[: self.at]

    @property
    def after(self) -> tuple[str, ...]:
        return self.words[self.at :] if self.room else self.words[self.at + 1 :]

    def put(self, text: str, *, first: int | None = None, last: int | None = None) -> "Line":
        """With words in place of the word here, or of a stretch; work goes on behind them.

        Where nothing was understood or room was made, more may be missing: room stays behind them.
        """
        new = tuple(word.text for word in split_text(text))
        begin = self.at if first is None else first
        end = (self.at if self.room else self.at + 1) if last is None else last
        more = self.room or UNKNOWN in self.words[begin:end]
        words = (*self.words[:begin], *new, *self.words[end:])
        return self._at(words, begin + len(new), room=more)

    def drop(self) -> "Line":
        """Without the word here; nothing changes where there is room."""
        if self.room:
            return self
        return self._at((*self.before, *self.after), self.at)

    def go(self, at: int) -> "Line":
        """At another word, or at the end."""
        return self._at(self.words, min(max(at, 0), len(self.words)))

    def make_room(self) -> "Line":
        return replace(self, room=True)

    def go_on(self, doubtful: Collection[int]) -> "Line":
        """At the first doubtful word from here, else at the end."""
        places = [at for at in doubtful if at >= self.at]
        return self if self.room else self.go(min(places, default=len(self.words)))

    @staticmethod
    def _at(words: Sequence[str], at: int, *, room: bool = False) -> "Line":
        return Line(words=tuple(words), at=at, room=room or at >= len(words))


def line_of(text: str, *, at: int = 0, room: bool = False) -> Line:
    """The line of a text, at one of its places."""
    words: list[str] = []
    for word in split_text(text):
        if word.text != UNKNOWN or words[-1:] != [UNKNOWN]:
            words.append(word.text)
    line = Line(words=tuple(words)).go(at)
    return line.make_room() if room else line
