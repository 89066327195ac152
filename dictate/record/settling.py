"""Which follow-ups a later note settles, because it says that the thing was done.

| asked for  | settled by a later visit's                                    |
|------------|---------------------------------------------------------------|
| wrap off   | `wrap removed`, or `healed` for that foot                      |
| block off  | `block removed`                                                |
| look again | any finding at that foot, `no lesion` for the animal included  |
| trim       | a functional or therapeutic trim                               |
| vet        | nothing: only a person ticks it off                            |

A foot only decides when it was said on both sides.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from dictate.record.rows import TRIM_KINDS, ActionRow, FindingRow, FollowUpRow

_REMOVED = {"wrap off": "wrap removed", "block off": "block removed"}
_PUT_ON = {"wrap off": "wrap", "block off": "block"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """A follow-up and the entry that settled it."""

    follow_up_id: int
    entry_id: int
    on: date


def settled_by(
    follow_ups: Iterable[FollowUpRow], findings: Sequence[FindingRow], actions: Sequence[ActionRow]
) -> tuple[Settled, ...]:
    """Return the first later entry that settles each open follow-up of one animal.

    All rows are of that animal; the order of confirming does not matter, only the days do.
    """
    settled = []
    for asked in follow_ups:
        if asked.done_on is not None:
            continue
        feet = _feet(asked, findings, actions)
        rows: tuple[FindingRow | ActionRow, ...] = (*findings, *actions)
        later = [
            (row.on, row.entry_id)
            for row in rows
            if row.entry_id is not None and row.on > asked.on and _settles(asked, row, feet)
        ]
        if later:
            on, entry_id = min(later)
            settled.append(Settled(follow_up_id=asked.id, entry_id=entry_id, on=on))
    return tuple(settled)


def _feet(
    asked: FollowUpRow, findings: Sequence[FindingRow], actions: Sequence[ActionRow]
) -> frozenset[str]:
    """Feet the follow-up is about, as far as its own entry says."""
    put_on = _PUT_ON.get(asked.kind)
    rows = [row for row in actions if row.kind == put_on] if put_on else findings
    return frozenset(row.foot for row in rows if row.entry_id == asked.entry_id and row.foot)


def _settles(asked: FollowUpRow, row: FindingRow | ActionRow, feet: frozenset[str]) -> bool:
    if feet and row.foot and row.foot not in feet:
        return False
    if isinstance(row, FindingRow):
        healed = asked.kind == "wrap off" and row.course == "healed"
        return asked.kind == "look again" or healed
    if asked.kind == "trim":
        return row.kind in TRIM_KINDS
    return row.kind == _REMOVED.get(asked.kind)
