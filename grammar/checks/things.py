"""What a reading records by its words: one lesion or action as said, with all feet that got it."""

from dataclasses import dataclass

from grammar.records import Action, Entry, Finding, Reading, Slot

__all__ = ["Thing", "things_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """A lesion, a clean foot or an action, said once."""

    entry: int
    """Position of its entry."""
    kind: str
    """lesion, clean or action."""
    value: str
    heard: str
    first: int
    last: int
    feet: frozenset[str]
    sites: tuple[Slot[str], ...]
    """The feet with their words."""


def things_of(reading: Reading) -> tuple[Thing, ...]:
    """Return what is recorded with words of its own, in the order of the entries."""
    return tuple(
        thing for position, entry in enumerate(reading.entries) for thing in _of(entry, position)
    )


def _of(entry: Entry, position: int) -> list[Thing]:
    rows: dict[tuple[str, int, int], list[Finding | Action]] = {}
    for kind, records in (("lesion", entry.findings), ("action", entry.actions)):
        for one in records:
            slot = _head(one)
            if slot.first >= 0:
                rows.setdefault((kind, slot.first, slot.last), []).append(one)
    return [_thing(kind, found, position) for (kind, _, _), found in rows.items()]


def _head(one: Finding | Action) -> Slot[str]:
    return one.lesion if isinstance(one, Finding) else one.kind


def _thing(kind: str, found: list[Finding | Action], position: int) -> Thing:
    slot = _head(found[0])
    feet = [one.foot for one in found if one.foot is not None]
    return Thing(
        entry=position, kind="clean" if slot.value == "no lesion" else kind, value=slot.value,
        heard=slot.heard, first=slot.first, last=slot.last,
        feet=frozenset(foot.value for foot in feet), sites=tuple(feet),
    )  # fmt: skip
