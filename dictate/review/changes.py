"""Changing the values of an entry: what a change gives, which names it may use, which marks it settles; pure."""

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from pydantic import ValidationError
from rapidfuzz import process

from dictate.entry.values import EntryValues, MarkValues
from dictate.errors import ReviewError, plain_faults
from dictate.review.waiting import settled_by
from dictate.texts import gettext

_WITH_EVIDENCE = ("findings", "actions", "follow_ups")
"""Lists whose items keep which of their slots a person set."""
_OWN = frozenset({"marks", "mark_details", "animal_candidates", "carried", "at", "by_hand"})
"""Kept by the program; a person sets none of them."""


def apply_changes(values: EntryValues, changes: Mapping[str, Any]) -> EntryValues:
    """Give new values with some slots changed.

    Args:
        values: As they stand.
        changes: By path: `animal`, `findings` (the whole list), `findings.0.lesion`,
            `locomotion.score`. None empties a slot, or takes the item out of its list
            (`actions.1`); `findings.+` adds an item.

    Raises:
        ReviewError: a path or a value does not fit.
    """
    content = values.model_dump(mode="json")
    gone: list[tuple[str, int]] = []
    for path, value in changes.items():
        _set(content, path.split("."), value, path, gone)
        _note_hand(content, path.split("."))
    kept = open_marks(values, changes)
    for name, at in sorted(gone, reverse=True):
        del content[name][at]
    if "animal" in changes:
        content["carried"] = ""
    try:
        changed = EntryValues.model_validate(content)
    except ValidationError as error:
        raise ReviewError(
            gettext("this change does not fit: %(errors)s", errors=plain_faults(error.errors()))
        ) from error
    if faults := unknown_names(values, changed):
        raise ReviewError("; ".join(faults))
    return changed.with_marks(kept)


def number_settles(values: EntryValues) -> bool:
    """Whether nothing but the animal is in doubt: with its number the entry can be confirmed."""
    return all(settled_by(mark) == {"animal"} for mark in values.marks)


def _set(
    content: dict[str, Any], steps: list[str], value: Any, path: str, gone: list[tuple[str, int]]
) -> None:
    name, *inner = steps
    if name not in content or not _OWN.isdisjoint(steps):
        slots = ", ".join(sorted(set(content) - _OWN))
        raise ReviewError(
            gettext("there is no slot %(path)s", path=repr(path)),
            remedy=gettext("The slots are %(slots)s", slots=slots),
        )
    here = content[name]
    if isinstance(here, list) and inner:
        _set_item(here, name, inner, value, path=path, gone=gone)
    elif inner:
        content[name] = {**(here or {}), inner[0]: value}
    else:
        content[name] = [] if value is None and isinstance(here, list) else value


def _set_item(
    items: list[Any],
    name: str,
    steps: list[str],
    value: Any,
    *,
    path: str,
    gone: list[tuple[str, int]],
) -> None:
    if steps == ["+"]:
        items.append(value)
        return
    if not steps or not steps[0].isdecimal() or int(steps[0]) >= len(items):
        raise ReviewError(
            gettext("there is no item %(path)s", path=repr(path)),
            remedy=gettext("The entry has %(items)s %(name)s", items=len(items), name=name),
        )
    at = int(steps[0])
    if len(steps) > 1:
        items[at] = {**items[at], steps[1]: value}
    elif value is None:
        gone.append((name, at))
    else:
        items[at] = value


def _note_hand(content: dict[str, Any], steps: list[str]) -> None:
    """Keep that a person set a slot."""
    name, *inner = steps
    item = content[name]
    if name in _WITH_EVIDENCE and inner:
        item = item[-1] if inner[0] == "+" else item[int(inner[0])]
        new = [slot for slot in item if slot not in _OWN] if inner[0] == "+" else inner[1:]
    else:
        item, new = content, [name]
    item["by_hand"] = list(dict.fromkeys((*item.get("by_hand", ()), *new)))


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
    if len(heads) == 1 and heads != {"findings"} and heads.isdisjoint(_WITH_EVIDENCE):
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
    for name in _WITH_EVIDENCE:
        for at, item in enumerate(getattr(values, name)):
            yield from ((f"{name}.{at}.{slot}", span) for slot, span in item.at.items())


_TAGS = {"lesion": "LESION", "action": "ACTION", "follow-up": "FOLLOWUP"}


@cache
def known_names() -> dict[str, tuple[str, ...]]:
    """Names of lesions, kinds of action and kinds of follow-up, in alphabetical order."""
    from grammar import load_lexicon  # noqa: PLC0415 (slow to load, and confirming needs none)

    terms = load_lexicon().terms.values()
    return {
        what: tuple(sorted({str(term.value) for term in terms if term.tag == tag}))
        for what, tag in _TAGS.items()
    }


def unknown_names(before: EntryValues, after: EntryValues) -> list[str]:
    """Say which names of the new values nobody knows; what was there before is not questioned."""
    old = set(_names(before))
    return [
        f"{name!r} is no {what}; {_meant(name, known_names()[what])}"
        for what, name in _names(after)
        if (what, name) not in old and name not in known_names()[what]
    ]


def _names(values: EntryValues) -> Iterator[tuple[str, str]]:
    yield from (("lesion", finding.lesion) for finding in values.findings)
    yield from (("action", action.kind) for action in values.actions)
    yield from (("follow-up", follow_up.kind) for follow_up in values.follow_ups)


def _meant(name: str, known: tuple[str, ...]) -> str:
    near: list[Any] = process.extract(name, known, limit=3)
    return f"did you mean {' or '.join(repr(text) for text, *_ in near)}?"
