"""Changing the values of an entry: pure, from old values and a few named changes to new ones."""

from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import ValidationError

from dictate.entry.values import EntryValues
from dictate.errors import ReviewError
from dictate.faults import plain_faults
from dictate.review.names import unknown_names
from dictate.review.order import settled_by
from dictate.review.settling import open_marks

_LISTS = {
    "finding": "findings",
    "action": "actions",
    "follow-up": "follow_ups",
    "measure": "measures",
}
_WITH_EVIDENCE = ("findings", "actions", "follow_ups")
"""Lists whose items keep which of their slots a person set."""
_OWN = frozenset({"marks", "mark_details", "animal_candidates", "carried", "at", "by_hand"})
"""Kept by the program; a person sets none of them."""
_OF_FINDING = frozenset(["foot", "claw", "zone", "lesion", "stage", "severity", "object", "course"])


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
        raise ReviewError(f"this change does not fit: {plain_faults(error.errors())}") from error
    if faults := unknown_names(values, changed):
        raise ReviewError("; ".join(faults))
    return changed.with_marks(kept)


def number_settles(values: EntryValues) -> bool:
    """Whether nothing but the animal is in doubt: with its number the entry can be confirmed."""
    return all(settled_by(mark) == {"animal"} for mark in values.marks)


def changes_from_text(values: EntryValues, texts: Iterable[str]) -> dict[str, Any]:
    """Turn `animal=412`, `finding.2.zone=4`, `action.1=` or `foot=LH` into changes.

    Items count from 1, as they are shown. The slots of a finding may stand alone when the entry has
    just one (or none yet: then it is added).

    Raises:
        ReviewError: a text is not of this form.
    """
    changes: dict[str, Any] = {}
    added: dict[str, Any] = {}
    for text in texts:
        name, equals, value = text.partition("=")
        if not equals:
            raise ReviewError(
                f"{text!r} is not a change", remedy="Write it as slot=value, e.g. animal=412"
            )
        head, _, rest = name.strip().partition(".")
        said = value.strip() or None
        if head in _LISTS:
            changes[_item_path(head, rest, name)] = said
        elif head in _OF_FINDING and not values.findings:
            added[head] = said
        elif head in _OF_FINDING:
            changes[f"findings.{_only(values, name)}.{head}"] = said
        else:
            changes[name.strip()] = said
    if added:
        changes["findings.+"] = added
    return changes


def _item_path(head: str, rest: str, name: str) -> str:
    number, _, slot = rest.partition(".")
    if not number.isdecimal() or int(number) < 1:
        raise ReviewError(f"{name!r} names no item", remedy=f"Count from 1, e.g. {head}.1.foot=LH")
    return ".".join(part for part in (_LISTS[head], str(int(number) - 1), slot) if part)


def _only(values: EntryValues, name: str) -> int:
    if len(values.findings) > 1:
        raise ReviewError(
            f"the entry has {len(values.findings)} findings",
            remedy=f"Say which: finding.1.{name}=…",
        )
    return 0


def _set(
    content: dict[str, Any], steps: list[str], value: Any, path: str, gone: list[tuple[str, int]]
) -> None:
    name, *inner = steps
    if name not in content or not _OWN.isdisjoint(steps):
        slots = ", ".join(sorted(set(content) - _OWN))
        raise ReviewError(f"there is no slot {path!r}", remedy=f"The slots are {slots}")
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
        raise ReviewError(f"there is no item {path!r}", remedy=f"The entry has {len(items)} {name}")
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
