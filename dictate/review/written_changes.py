"""Changes as a person writes them, as `slot=value` or in the fields of a form; pure."""

import datetime as dt
import re
from collections.abc import Iterable, Mapping
from typing import Any

from dictate.entry.values import EntryValues
from dictate.errors import ReviewError
from dictate.texts import gettext, translated
from grammar import load_lexicon

_LISTS = {
    "finding": "findings",
    "action": "actions",
    "follow-up": "follow_ups",
    "measure": "measures",
}
_OF_FINDING = frozenset(["foot", "claw", "zone", "lesion", "stage", "severity", "object", "course"])


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
                gettext("%(text)s is not a change", text=repr(text)),
                remedy=gettext("Write it as slot=value, e.g. animal=412"),
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
        raise ReviewError(
            gettext("%(name)s names no item", name=repr(name)),
            remedy=gettext("Count from 1, e.g. %(head)s.1.foot=LH", head=head),
        )
    return ".".join(part for part in (_LISTS[head], str(int(number) - 1), slot) if part)


def _only(values: EntryValues, name: str) -> int:
    if len(values.findings) > 1:
        raise ReviewError(
            gettext("the entry has %(findings)s findings", findings=len(values.findings)),
            remedy=gettext("Say which: finding.1.%(name)s=…", name=name),
        )
    return 0


_FIELD = re.compile(
    r"(?:animal|remark|status|locomotion\.(?:score|scale)"
    r"|(?:findings|actions|follow_ups|measures)\.(?:\d{1,3}|new)\.[a-z][a-z_]*)\Z"
)
_TERM_TAGS = {"lesion": "LESION"}
"""Slots whose value must be a canonical term; slang for it is taken too."""
_NEEDED = {"findings": "lesion", "actions": "kind", "follow_ups": "kind", "measures": "what"}
"""A new item counts only once this slot is filled in."""


def changes_from_form(
    values: EntryValues, fields: Mapping[str, str], removed: Iterable[str], *, on: dt.date
) -> dict[str, Any]:
    """Give the changes, as `apply_changes` takes them, that lead from the values to the form.

    Args:
        values: As they stand.
        fields: By path, e.g. `findings.0.foot`; empty for an empty slot. `new` in place of a number
            holds an item to add.
        removed: Items to take out, e.g. `actions.1`.
        on: Day of the visit, from which a follow-up's days count.

    Raises:
        ReviewError: a field does not exist, or a lesion is none that the lexicon knows.
    """
    before = values.model_dump(mode="json")
    gone = set(removed)
    changes: dict[str, Any] = dict.fromkeys(gone)
    new: dict[str, dict[str, Any]] = {}
    for path, text in fields.items():
        if not _FIELD.match(path):
            raise ReviewError(gettext("there is no field %(path)s", path=repr(path)))
        value = _typed(path, text)
        head, _, rest = path.partition(".")
        at, _, slot = rest.partition(".")
        if at == "new":
            new.setdefault(head, {})[slot] = value
        elif f"{head}.{at}" not in gone and value != _value_at(before, path):
            changes[path] = value
    for head, item in new.items():
        if item.get(_NEEDED[head]) is not None:
            changes[f"{head}.+"] = {
                slot: value for slot, value in item.items() if value is not None
            }
    return _without_half_locomotion(_with_dates(changes, before, on))


def terms_of(tag: str) -> dict[str, str]:
    """What can be typed for a kind of term: names in the page's language and phrases, to canonical values."""
    terms = [term for term in load_lexicon().terms.values() if term.tag == tag and not term.meant]
    named = {str(term.value): str(term.value) for term in terms}
    named = {translated(value).lower(): value for value in named} | named
    return named | {term.phrase: str(term.value) for term in terms}


def _typed(path: str, text: str) -> Any:
    slot = path.rpartition(".")[2]
    plain = text.strip()
    if slot in ("tissue", "status", "feet"):
        return [part.strip() for part in plain.split(",") if part.strip()]
    if not plain:
        return None
    if tag := _TERM_TAGS.get(slot):
        known = terms_of(tag)
        if plain.lower() not in known:
            raise ReviewError(
                gettext("“%(plain)s” is no lesion that the lexicon knows", plain=plain),
                remedy=gettext("Choose one from the list, or “other” with a remark"),
            )
        return known[plain.lower()]
    return int(plain) if slot in ("zone", "in_days", "score") and plain.isdecimal() else plain


def _value_at(content: Mapping[str, Any], path: str) -> Any:
    here: Any = content
    for step in path.split("."):
        if here is None:
            return None
        if isinstance(here, list):
            if int(step) >= len(here):
                raise ReviewError(gettext("there is no item %(path)s any more", path=repr(path)))
            here = here[int(step)]
        else:
            here = here.get(step)
    return here


def _with_dates(
    changes: Mapping[str, Any], before: Mapping[str, Any], on: dt.date
) -> dict[str, Any]:
    """Keep a follow-up's date and its days in step, whichever of them was changed."""
    dated = dict(changes)
    for at in range(len(before["follow_ups"])):
        path = f"follow_ups.{at}"
        if changes.get(f"{path}.date"):
            dated[f"{path}.in_days"] = (_day(changes[f"{path}.date"]) - on).days
        elif isinstance(days := changes.get(f"{path}.in_days"), int):
            dated[f"{path}.date"] = (on + dt.timedelta(days=days)).isoformat()
    if added := changes.get("follow_ups.+"):
        if added.get("date"):
            added["in_days"] = (_day(added["date"]) - on).days
        elif isinstance(added.get("in_days"), int):
            added["date"] = (on + dt.timedelta(days=added["in_days"])).isoformat()
    return dated


def _without_half_locomotion(changes: dict[str, Any]) -> dict[str, Any]:
    """An emptied score empties the whole slot."""
    if "locomotion.score" in changes and changes["locomotion.score"] is None:
        kept = {
            path: value for path, value in changes.items() if not path.startswith("locomotion.")
        }
        return kept | {"locomotion": None}
    return changes


def _day(text: Any) -> dt.date:
    try:
        return dt.date.fromisoformat(str(text))
    except ValueError as error:
        raise ReviewError(
            gettext("“%(text)s” is not a date", text=text), remedy=gettext("Write it as 2026-03-16")
        ) from error
