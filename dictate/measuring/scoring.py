"""How right a hearing is: word errors, slots and entries against what was said."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Any

from dictate.measuring.meant import fewest_errors

_EVIDENCE = frozenset({
    "heard", "marks", "mark_details", "animal_candidates", "when", "course", "corrections",
})  # fmt: skip
"""Keys of an entry that show how it came about, not what goes into the record."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """Counts over notes; sums of scores are scores."""

    notes: int = 0
    notes_exact: int = 0
    """Notes whose every entry is right."""
    words: int = 0
    word_errors: int = 0
    """Substitutions, deletions and insertions."""
    slots: int = 0
    slots_right: int = 0
    slots_invented: int = 0
    entries: int = 0
    entries_right: int = 0
    animals_wrong: int = 0
    """Notes with an animal that was not said."""
    animals_wrong_unmarked: int = 0
    """Of these, notes in which nothing asks for a look."""
    seconds: float = 0.0
    seconds_taken: float = 0.0

    def __add__(self, other: "Score") -> "Score":
        return Score(
            **{f.name: getattr(self, f.name) + getattr(other, f.name) for f in fields(self)}
        )

    @property
    def word_error_rate(self) -> float:
        """Errors for each word said."""
        return self.word_errors / max(self.words, 1)

    @property
    def slot_accuracy(self) -> float:
        """Share of right slots among those said and those invented."""
        return self.slots_right / max(self.slots + self.slots_invented, 1)

    @property
    def exact_entry_rate(self) -> float:
        """Share of entries that came out exactly right."""
        return self.entries_right / max(self.entries, 1)

    @property
    def real_time_factor(self) -> float:
        """Seconds taken for each second of sound."""
        return self.seconds_taken / max(self.seconds, 1e-9)


def score_words(said: Sequence[str], heard: Sequence[str]) -> Score:
    """Count word errors; figures and spelled words count as what they mean."""
    return Score(words=len(said), word_errors=fewest_errors(said, heard))


def score_entries(said: Sequence[Mapping[str, Any]], heard: Sequence[Mapping[str, Any]]) -> Score:
    """Compare entries in order: slots as a bag for each entry, entries whole."""
    right = wanted = invented = exact = 0
    for position in range(max(len(said), len(heard))):
        want = Counter(slots_of(said[position])) if position < len(said) else Counter()
        got = Counter(slots_of(heard[position])) if position < len(heard) else Counter()
        right += (want & got).total()
        wanted += want.total()
        invented += (got - want).total() - min((got - want).total(), (want - got).total())
        exact += position < len(said) and want == got
    wrong = {str(e["animal"]) for e in heard if e.get("animal")} - {
        str(e["animal"]) for e in said if e.get("animal")
    }
    marked = any(entry.get("marks") for entry in heard)
    return Score(
        notes=1,
        notes_exact=exact == len(said) == len(heard),
        slots=wanted,
        slots_right=right,
        slots_invented=invented,
        entries=len(said),
        entries_right=exact,
        animals_wrong=bool(wrong),
        animals_wrong_unmarked=bool(wrong) and not marked,
    )


def slots_of(entry: Mapping[str, Any]) -> Iterable[tuple[Any, ...]]:
    """Yield an entry's filled slots; those of a finding carry the finding's lesion.

    `("findings", "sole ulcer", "zone", 4)`: a right zone on a wrong lesion is not a right slot.
    """
    for key, value in entry.items():
        if key in _EVIDENCE or value is None or value in ([], ()):
            continue
        if isinstance(value, list | tuple):
            for item in value:
                yield from _parts(key, item)
        elif isinstance(value, Mapping):
            yield from _parts(key, value)
        else:
            yield (key, str(value))


def _parts(key: str, item: Any) -> Iterable[tuple[Any, ...]]:
    if not isinstance(item, Mapping):
        yield (key, str(item))
        return
    name = str(item.get("lesion") or item.get("kind") or item.get("what") or "")
    for part, value in item.items():
        if part not in _EVIDENCE and value is not None and value not in ([], ()):
            yield (key, name, part, str(value))
