"""What names each animal and farm, kept in the history, so that a number changed outside the program is found.

An animal is named by her farm, her numbers and the animal that she turned out to be; what the program
changes of them stands in an event of hers. This keeps what they were at first: in an event of the farm,
so that a whole list takes a few of them, which says the farm's own name too.
"""

from collections.abc import Iterator, Sequence
from typing import Any

from sqlmodel import Session, col, select

from dictate.entry.wording import counted
from dictate.store.history import new_act, write_event
from dictate.store.tables import Animal, Event, Farm

NAMED = "named"
"""Kind of the events of a farm that keep what names it and its new animals."""
AT_ONCE = 2_000
"""Animals in one event."""
_SHOWN = 5
_NAMES = ("number", "eid", "ear_tag", "merged_into_id")
_CALLED = {
    "farm_id": "farm", "number": "number", "eid": "electronic number", "ear_tag": "ear tag",
    "merged_into_id": "animal that it turned out to be",
}  # fmt: skip


def keep_names(
    session: Session, farm: Farm, animals: Sequence[Animal] = (), *, by: str = "", act: str = ""
) -> None:
    """Keep what names a farm and animals of it that were just added."""
    rows = [[one.id, *(getattr(one, name) for name in _NAMES)] for one in animals]
    keep_rows(session, farm, rows, by=by, act=act)


def keep_rows(
    session: Session, farm: Farm, rows: Sequence[list[Any]], *, by: str, act: str
) -> None:
    """The same for rows of an id, the number, the electronic number, the ear tag, and whom it turned out to be."""
    act = act or new_act()
    for start in range(0, len(rows) or 1, AT_ONCE):
        after = {"name": farm.name, "animals": list(rows[start : start + AT_ONCE])}
        write_event(session, farm, kind=NAMED, who=by, act=act, after=after)


def names_changed(session: Session) -> Iterator[str]:
    """What names a farm or an animal and is not as the history left it, one line for each kind."""
    farms, animals, taken_off = _told(session)
    there = {one.id: one for one in session.exec(select(Farm))}
    yield from _line(
        "farm",
        [
            *(f"{one.name!r} was {farms[key]!r}" for key, one in there.items() if farms.get(key, one.name) != one.name),
            *(f"{one.name!r} is not known to it" for key, one in there.items() if key not in farms),
            *(f"{name!r} is gone" for key, name in farms.items() if key not in there),
        ],
    )  # fmt: skip
    names = (*_CALLED,)
    query = select(col(Animal.id), *(col(getattr(Animal, name)) for name in names))
    wrong = []
    for key, *now in session.execute(query.order_by(col(Animal.id))):
        was = animals.pop(key, None)
        if was is None:
            wrong.append(f"{now[1]} is not known to it")
        elif was != tuple(now):
            wrong += [
                f"{now[1]}: {_CALLED[name]} was {_shown(name, old, there)}"
                for name, old, new in zip(names, was, now, strict=True)
                if old != new
            ]
    wrong += [f"{was[1]} is gone" for key, was in animals.items() if key not in taken_off]
    yield from _line("animal", wrong)


def _shown(name: str, value: Any, farms: dict[int, Farm]) -> str:
    if name == "farm_id" and value in farms:
        return farms[value].name
    return "none" if value is None else str(value)


def _line(what: str, wrong: list[str]) -> Iterator[str]:
    if wrong:
        some = "; ".join(wrong[:_SHOWN]) + (" …" if len(wrong) > _SHOWN else "")
        left = (
            "is not named as the history left it"
            if len(wrong) == 1
            else "are not named as the history left them"
        )
        yield f"{counted(len(wrong), what)} {left}: {some}"


def _told(session: Session) -> tuple[dict[int, str], dict[int, tuple[Any, ...]], set[int]]:
    """What the history says at last: farms, animals, and those whose list was taken back."""
    farms: dict[int, str] = {}
    animals: dict[int, tuple[Any, ...]] = {}
    added: dict[int, list[list[int]]] = {}
    taken_off: set[int] = set()
    query = (
        select(Event.id, Event.subject, Event.subject_id, Event.kind, Event.after, Event.undoes_id)  # type: ignore[call-overload]
        .where(col(Event.subject).in_(("animal", "farm")), col(Event.after).is_not(None))
        .order_by(col(Event.id))
        .execution_options(yield_per=AT_ONCE)
    )
    for key, subject, subject_id, kind, after, undoes in session.execute(query):
        if subject == "animal":
            if "number" in after:
                animals[subject_id] = tuple(after.get(name) for name in _CALLED)
        elif kind == NAMED:
            farms[subject_id] = after["name"]
            for animal_id, *names in after["animals"]:
                animals[animal_id] = (subject_id, *names)
                taken_off.discard(animal_id)
        elif undoes in added:
            taken_off.update(one for first, last in added[undoes] for one in range(first, last + 1))
        elif "added" in after and isinstance(after["added"], list):
            added[key] = after["added"]
    return farms, animals, taken_off
