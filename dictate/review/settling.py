"""Which marks a change settles: those about the very slots that it sets; all others stay. Pure."""

from collections.abc import Iterator, Mapping
from typing import Any

from dictate.entry.values import EntryValues, MarkValues
from dictate.review.order import settled_by

_LISTS = ("findings", "actions", "follow_ups")


def open_marks(values: EntryValues, changes: Mapping[str, Any]) -> list[MarkValues]:
    """The marks that stay open when a person changes slots by their paths.

    A mark that points at the words of a slot is settled by setting that slot or taking its item out.
    One about words that stand in no slot is settled by putting something where nothing was. Marks of
    values come again from checking, so that it does not matter here whether they stay.
    """
    return [mark for mark in values.mark_details if not _settles(values, changes, mark)]


def slots_of(values: EntryValues, mark: MarkValues) -> list[str]:
    """Paths of the slots that were heard in the words that a mark points at."""
    heads = settled_by(mark.id)
    return [
        path
        for path, (first, last) in _spans(values)
        if mark.first >= 0 and first < mark.last and mark.first < last
        if path.partition(".")[0] in heads
    ]


def _settles(values: EntryValues, changes: Mapping[str, Any], mark: MarkValues) -> bool:
    heads = settled_by(mark.id)
    asked = {path: new for path, new in changes.items() if path.partition(".")[0] in heads}
    if len(heads) == 1 and heads != {"findings"} and heads.isdisjoint(_LISTS):
        return bool(asked)
    if slots := slots_of(values, mark):
        return any(_same(path, slot) for path in asked for slot in slots)
    return any(new is not None and _is_empty(values, path) for path, new in asked.items())


def _same(path: str, slot: str) -> bool:
    """Whether a change of one path sets the slot, or the item or list that holds it."""
    return path == slot or slot.startswith(f"{path}.")


def _is_empty(values: EntryValues, path: str) -> bool:
    """Whether nothing stood at a path so far; a whole list that is set anew counts as empty."""
    here: Any = values
    for step in path.split("."):
        if step == "+" or here is None:
            return True
        here = here[int(step)] if isinstance(here, tuple) else getattr(here, step, None)
    return here is None or isinstance(here, tuple)


def _spans(values: EntryValues) -> Iterator[tuple[str, tuple[int, int]]]:
    yield from values.at.items()
    for name in _LISTS:
        for at, item in enumerate(getattr(values, name)):
            yield from ((f"{name}.{at}.{slot}", span) for slot, span in item.at.items())
