"""An entry in words, said once for all: on the page and the terminal, on sheets, and in the ear.

Whatever has the named attributes can be put into words: an entry's values as well as rows of the
record.  What was said stays as it was said.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal
from enum import Enum, auto
from typing import Protocol, TypeVar

from dictate.entry.terms import FEET, FOOT_NAMES
from dictate.entry.values import SPOKEN_REMARK, EntryValues, FollowUpValues
from dictate.texts import gettext, ngettext, noted, translated, written_day
from dictate.texts.below import told


def counted(number: int, noun: str, many: str | None = None) -> str:
    """`1 note`, `2 notes`."""
    return f"{number:,} {noun if number == 1 else many or noun + 's'}"


class Style(Enum):
    """For whom the words are."""

    SENTENCE = auto()
    """Reads like speech: `left hind outer sole ulcer, zone 4, severe`."""
    SHEET = auto()
    """Short and in columns, place first: `LH outer zone 4: sole ulcer, severe`."""


class _Placed(Protocol):
    @property
    def foot(self) -> str | None: ...
    @property
    def claw(self) -> str | None: ...


class _Found(_Placed, Protocol):
    @property
    def zone(self) -> int | None: ...
    @property
    def lesion(self) -> str: ...
    @property
    def stage(self) -> str | None: ...
    @property
    def severity(self) -> str | None: ...
    @property
    def object(self) -> str | None: ...
    @property
    def course(self) -> str | None: ...
    @property
    def tissue(self) -> tuple[str, ...]: ...
    @property
    def region(self) -> str | None: ...


class _Done(_Placed, Protocol):
    @property
    def kind(self) -> str: ...
    @property
    def material(self) -> str | None: ...


_Any = TypeVar("_Any", bound=_Placed)


class _Scored(Protocol):
    @property
    def score(self) -> int: ...
    @property
    def scale(self) -> str | None: ...


class _Measured(Protocol):
    @property
    def what(self) -> str: ...
    @property
    def number(self) -> Decimal: ...
    @property
    def unit(self) -> str: ...


day = written_day
"""A date nobody can misread, whichever way round they write it: `2 Mar 2026`."""


def say_entry(values: EntryValues) -> str:
    """The whole entry, e.g. `412: left hind outer sole ulcer, zone 4; block (rubber) left hind inner`."""
    animal = values.animal or gettext("no animal")
    said = "; ".join(_parts(values)) or gettext("nothing recorded")
    return f"{animal}: {said}"


def say_items(values: EntryValues) -> list[tuple[str, int, str]]:
    """Each thing that can go to another animal: slot, place in it from 0, and its words."""
    return [
        *(("findings", at, say_finding(one)) for at, one in enumerate(values.findings)),
        *(("actions", at, say_action(one)) for at, one in enumerate(values.actions)),
        *(("follow_ups", at, say_follow_up(one)) for at, one in enumerate(values.follow_ups)),
        *(("measures", at, say_measure(one)) for at, one in enumerate(values.measures)),
    ]


def say_finding(finding: _Found, style: Style = Style.SENTENCE) -> str:
    """A finding, e.g. `left hind outer sole ulcer, zone 4, severe`."""
    if style is Style.SHEET:
        return _sheet_finding(finding)
    return _found_at(finding, FOOT_NAMES.get(finding.foot or ""))


def _found_at(finding: _Found, where: str | None) -> str:
    details = (
        finding.stage,
        _zone(finding.zone),
        told(finding.severity or ""),
        *(translated(one or "") for one in (finding.object, finding.course, *finding.tissue)),
    )
    start = _joined(where, finding.claw, finding.lesion)
    return ", ".join((start, *filter(None, details)))


def _zone(zone: int | None) -> str | None:
    return None if zone is None else gettext("zone %(zone)s", zone=zone)


def _sheet_finding(finding: _Found) -> str:
    """E.g. `LH outer zone 4: sole ulcer, severe, healing; corium exposed`."""
    place = say_place(finding.foot, finding.claw, finding.zone)
    if finding.region and finding.zone is None:
        place = f"{place} {translated(finding.region)}".lstrip()
    thing = f"({translated(finding.object)})" if finding.object else ""
    lesion = _joined(finding.lesion, finding.stage, thing)
    said = ", ".join((lesion, *(told(one) for one in (finding.severity, finding.course) if one)))
    said = "; ".join(filter(None, (said, ", ".join(map(translated, finding.tissue)))))
    return f"{place}: {said}" if place else said


def say_place(foot: str | None, claw: str | None, zone: int | None = None) -> str:
    """Where, for sheets and lists: `LH outer zone 4`."""
    return _joined(foot, claw, _zone(zone))


_TOGETHER = {
    FEET: noted("all four feet"), FEET[:2]: noted("both fronts"), FEET[2:]: noted("both hinds"),
}  # fmt: skip


def say_feet(feet: Iterable[str | None]) -> str:
    """Feet in their order, taken together where there is a word: `both hinds`, `LF, RH`."""
    said = set(feet)
    ordered = tuple(foot for foot in FEET if foot in said)
    return translated(_TOGETHER.get(ordered, "")) or ", ".join(ordered)


def say_action(action: _Done) -> str:
    """An action, e.g. `block (rubber) left hind inner`."""
    return _done_at(action, FOOT_NAMES.get(action.foot or ""))


def _done_at(action: _Done, where: str | None) -> str:
    material = f"({action.material})" if action.material else None
    return _joined(action.kind, material, where, action.claw)


def say_actions(actions: Iterable[_Done]) -> tuple[str, ...]:
    """For sheets: one line for each kind, claw and material, its feet taken together."""
    feet: dict[tuple[str, str | None, str | None], list[str]] = {}
    for action in actions:
        own = feet.setdefault((action.kind, action.claw, action.material), [])
        if action.foot and action.foot not in own:
            own.append(action.foot)
    return tuple(
        _joined(kind, say_feet(where), claw, f"({material})" if material else "")
        for (kind, claw, material), where in feet.items()
    )


def say_follow_up(follow_up: FollowUpValues) -> str:
    """A follow-up, e.g. `look again 16 Mar 2026`, `block off left hind inner 30 Mar 2026`."""
    one_foot = follow_up.feet[0] if len(follow_up.feet) == 1 else ""
    where = FOOT_NAMES.get(one_foot) or say_feet(follow_up.feet)
    return say_due(
        _joined(follow_up.kind, where, follow_up.claw),
        follow_up.date,
        follow_up.in_days,
        follow_up.when,
    )


def say_due(what: str, due: date | None, in_days: int | None = None, when: str = "") -> str:
    """What is due, in words, and when, else in how many days, else what was said of it."""
    if due is not None:
        return f"{what} {day(due)}"
    if in_days is not None:
        return ngettext("%(what)s in %(num)s day", "%(what)s in %(num)s days", in_days, what=what)
    said = translated(when) or gettext("no date said")
    return f"{what}: {said}"


def say_due_place(feet: Iterable[str], claw: str | None) -> str:
    """Where what is due is, for sheets and lists; empty where it was not said of it: `LH inner`."""
    return _joined(say_feet(feet), claw)


def say_locomotion(row: _Scored) -> str:
    """A score, never without its scale: `locomotion 3 (scale 1-5)`."""
    if row.scale:
        return gettext("locomotion %(score)s (scale %(scale)s)", score=row.score, scale=row.scale)
    return gettext("locomotion %(score)s (scale not said)", score=row.score)


def say_measure(measure: _Measured) -> str:
    """A measure, e.g. `dorsal wall 80 mm`."""
    return _joined(measure.what, str(measure.number), measure.unit)


def _parts(values: EntryValues) -> Iterator[str]:
    yield from _by_feet(values.findings, _found_at)
    yield from _by_feet(values.actions, _done_at)
    if values.locomotion is not None:
        yield say_locomotion(values.locomotion)
    yield from map(say_measure, values.measures)
    yield from map(say_follow_up, values.follow_ups)
    yield from map(translated, values.status)
    if values.remark:
        yield gettext("remark “%(words)s”", words=values.remark)
    elif values.spoken_remark:
        yield translated(SPOKEN_REMARK)


def _by_feet(said: Sequence[_Any], say: Callable[[_Any, str | None], str]) -> Iterator[str]:
    """What was said of several feet in the same words, once where there is a word for them."""
    words = [say(one, None) for one in said]
    for one, same in zip(said, words, strict=True):
        some = [other for other, its in zip(said, words, strict=True) if its == same]
        feet = tuple(foot for foot in FEET if any(other.foot == foot for other in some))
        if feet not in _TOGETHER or len(feet) != len(some):
            yield say(one, FOOT_NAMES.get(one.foot or ""))
        elif one is some[0]:
            yield say(one, _TOGETHER[feet])


def _joined(*parts: str | None) -> str:
    """Terms and names one behind the other, each in the language of the page."""
    return " ".join(translated(part) for part in parts if part)
