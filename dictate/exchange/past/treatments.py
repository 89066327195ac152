"""What one row says was found and done, in however many columns it says so.

A list has one lesion a row; or `Lesion 1, Foot 1, Lesion 2, Foot 2`; or a column for each foot with
lesions or ticks in it; or some of each.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import product
from typing import Any

from dictate.entry.terms import FEET
from dictate.entry.values import ActionValues, FindingValues
from dictate.errors import RosterError
from dictate.exchange.past import words as said
from dictate.exchange.past.headed import Headed, Said, read_headed
from dictate.exchange.past.places import claw_in, feet_in, place_of_heading
from dictate.exchange.past.words import ZONE_MAX, Meant
from dictate.exchange.roster.columns import Columns
from dictate.exchange.roster.dates import Unfit
from dictate.exchange.roster.words import folded

_WHAT = ("lesion", "action")
_WHERE = ("foot", "claw", "zone", "severity")
Cells = Mapping[int, str]
"""Column to what stands there."""


def must_go_together(columns: Columns) -> None:
    """Refuse columns of which nobody can tell which foot is of which lesion.

    Raises:
        RosterError: there are, say, three of lesions and two of feet.
    """
    counts = {name: len(columns.columns(name)) for name in (*_WHAT, *_WHERE)}
    most = max(counts.values())
    if odd := [name for name, count in counts.items() if count not in (0, 1, most)]:
        counted = ", ".join(f"{counts[name]} of {name}" for name in counts if counts[name] > 1)
        raise RosterError(
            f"nobody can tell which columns go together: {counted}",
            remedy=f"Leave some out: --column {odd[0]}=-, or bring the list into one row for each lesion",
        )


def read_treatments(
    columns: Columns, cells: Cells, words: Mapping[str, str], headed: Mapping[int, Headed]
) -> tuple[tuple[FindingValues, ...], tuple[ActionValues, ...]]:
    """Read a row's lesions and actions, each once.

    Raises:
        Unfit: a word is not known, or nothing was found or done.
    """
    own = list(read_headed(headed, cells, words))
    grouped = list(_grouped(columns, cells, words, own))
    parts = list(dict.fromkeys(_done_at(_by_foot(columns, cells, words, grouped))))
    if not parts:
        raise Unfit("says neither a lesion nor what was done")
    findings = [
        FindingValues.model_validate(
            {
                "lesion": one.meant.lesion, "stage": one.meant.stage, "foot": one.meant.foot,
                "claw": one.meant.claw, "zone": one.meant.zone, "severity": one.severity, "heard": one.heard,
            }
        )
        for one in parts
        if one.meant.lesion
    ]  # fmt: skip
    # The claw of a list's row is the sore one; on which a block was put, only its own column says.
    done = dict.fromkeys(
        (one.meant.action, one.meant.foot, one.meant.claw if one.placed else None)
        for one in parts
        if one.meant.action
    )
    actions = [
        ActionValues.model_validate({"kind": kind, "foot": foot, "claw": claw})
        for kind, foot, claw in done
    ]
    return tuple(findings), tuple(actions)


def _grouped(
    columns: Columns, cells: Cells, words: Mapping[str, str], headed: Sequence[Said]
) -> Iterator[Said]:
    """Lesions and actions of the columns that name them; a single column of feet is of all of them."""
    places = {name: columns.columns(name) for name in (*_WHAT, *_WHERE)}
    count = max(1, *map(len, places.values()))
    shared = [name for name in _WHAT if len(places[name]) == 1 < count]
    feet: set[str | None] = set()
    for group in range(count):
        own = {
            name: cells.get(at[group if len(at) == count else 0], "")
            for name, at in places.items()
            if at and name not in shared
        }
        found = list(_of_group(own, words, headed if count == 1 else ()))
        feet |= {one.meant.foot for one in found}
        yield from found
        if not found and (
            lost := [
                own[name] for name in _WHERE if len(places[name]) == count > 1 and own.get(name)
            ]
        ):
            raise Unfit(f"says {lost[0]!r}, but no lesion and nothing done there")
    foot = feet.pop() if len(feet) == 1 else None
    for name in shared:
        text = cells.get(places[name][0], "")
        for one in said.meant(text, words) if text else ():
            yield Said(meant=replace(one, foot=one.foot or foot), heard=text)
    yield from headed if count > 1 else ()


def _of_group(
    own: Mapping[str, str], words: Mapping[str, str], headed: Sequence[Said]
) -> Iterator[Said]:
    """Both columns may hold both: a list's `treatment` is often the lesion."""
    parts = [*headed]
    parts += [
        Said(meant=part, heard=own[name])
        for name in _WHAT
        if own.get(name)
        for part in said.meant(own[name], words)
    ]
    if not parts:
        return
    places = list(_places(own, words)) or [(None, None)]
    feet = [foot for foot, _ in places if foot]
    _must_be_clear(feet, parts)
    loose = len(feet) > 1 and any(one.meant.lesion for one in parts)
    zone = _zone(own["zone"]) if own.get("zone") else None
    severity = said.severity(own["severity"], words) if own.get("severity") else None
    for one, (foot, claw) in product(parts, places):
        part, heard = one.meant, one.heard
        if loose and part.action:  # at which of the lesion's feet, nobody says
            yield one
            continue
        yield replace(
            one,
            meant=replace(
                part,
                foot=_agreed("feet", foot, part.foot, own.get("foot", ""), heard),
                # The claw of the row is the sore one; a block's own cell names another.
                claw=part.claw
                if one.placed and part.action
                else _agreed("claws", claw, part.claw, own.get("claw", ""), heard),
                zone=_agreed("zones", zone, part.zone, own.get("zone", ""), heard),
            ),
            severity=_agreed("severities", severity, one.severity, own.get("severity", ""), heard),
        )


def _places(
    own: Mapping[str, str], words: Mapping[str, str]
) -> Iterator[tuple[str | None, str | None]]:
    """Foot and claw of each place that the columns of feet and claws name together."""
    foot_text, claw_text = own.get("foot", ""), own.get("claw", "")
    other = claw_in(claw_text, words) if claw_text else (None, None)
    for foot, claw in feet_in(foot_text, words) if foot_text else [(None, None)]:
        yield (
            _agreed("feet", foot, other[0], foot_text, claw_text),
            _agreed("claws", claw, other[1], foot_text, claw_text),
        )


def _agreed(what: str, one: Any, other: Any, one_text: str, other_text: str) -> Any:
    """What two cells say of the same thing."""
    if one is not None and other is not None and one != other:
        raise Unfit(f"names two {what}: {one_text!r} and {other_text!r}")
    return other if one is None else one


def _by_foot(
    columns: Columns, cells: Cells, words: Mapping[str, str], grouped: list[Said]
) -> Iterator[Said]:
    """Add what stands in a column of its own for each foot; a tick there is of the row's lesion."""
    ticked: list[tuple[str, str | None]] = []
    own: list[Said] = []
    for name in FEET:
        for at in columns.columns(name):
            claw = place_of_heading(columns.heading(at))[1]
            text = cells.get(at, "")
            tick = said.is_tick(text) if text and not words.get(folded(text)) else None
            if tick:
                ticked.append((name, claw))
            elif text and tick is None:
                own += [
                    Said(
                        meant=replace(
                            part,
                            foot=_agreed("feet", name, part.foot, name, text),
                            claw=_agreed("claws", claw, part.claw, columns.heading(at), text),
                        ),
                        heard=text,
                    )
                    for part in said.meant(text, words)
                ]
    feet = list(dict.fromkeys(foot for foot, _ in ticked))
    _must_be_clear(feet, grouped)
    for one in grouped:
        if not one.meant.foot and any(_same(one.meant, other.meant) for other in own):
            continue  # said once more under its foot
        if ticked and one.meant.foot and (one.meant.foot, None) not in ticked:
            raise Unfit(f"names {one.meant.foot}, but has a tick at {ticked[0][0]}")
        # What was done is of one foot; at which of two it was, nobody says.
        at_ticks = not one.meant.foot and (len(feet) == 1 or (feet and one.meant.lesion))
        own_claw = one.placed and one.meant.action
        for foot, headed in ticked if at_ticks else ((one.meant.foot, None),):
            claw = one.meant.claw if own_claw else headed or one.meant.claw
            yield replace(one, meant=replace(one.meant, foot=foot, claw=claw))
    yield from own


def _done_at(parts: Iterable[Said]) -> Iterator[Said]:
    """What was done without a foot is of the row's foot, where all its lesions are on one; a trim is of her."""
    said = list(parts)
    feet = {one.meant.foot for one in said if one.meant.lesion or one.meant.foot}
    foot = feet.pop() if len(feet) == 1 else None
    for one in said:
        alone = one.meant.action not in ("", "functional trim") and not one.meant.foot
        yield replace(one, meant=replace(one.meant, foot=foot)) if alone else one


def _must_be_clear(ticked: Sequence[str], grouped: Sequence[Said]) -> None:
    """Refuse ticks under feet of which nobody can tell what they are of."""
    if ticked and not grouped:
        raise Unfit(f"has a tick at {ticked[0]}, but names no lesion")
    loose = {one.meant.lesion for one in grouped if one.meant.lesion and not one.meant.foot}
    if len(loose) > 1 and len(ticked) > 1:
        raise Unfit("names several lesions and several feet, but not which is where")


def _same(one: Meant, other: Meant) -> bool:
    return (one.lesion, one.action) == (other.lesion, other.action)


def _zone(text: str) -> int:
    digits = folded(text).removeprefix("zone ").removeprefix("zona ")
    plain = digits.isascii() and digits.isdigit() and len(digits) <= 2
    if not plain or int(digits) > ZONE_MAX:
        raise Unfit(f"zone {text!r} is none of 0 to {ZONE_MAX}")
    return int(digits)
