"""A farm's roster, taken into the database: which animal a line means, and who comes and goes."""

from collections.abc import Iterator, Mapping, Sequence

from sqlmodel import Session

from dictate.errors import ConflictError, RosterError
from dictate.large_work import without_collecting
from dictate.store.animals import merge_animals
from dictate.store.history import kept_of_farm, write_event
from dictate.store.roster_lines import (
    Herd,
    RosterChange,
    RosterLine,
    is_there,
    paired,
    without_zeros,
)
from dictate.store.roster_writing import Writer, write_lines
from dictate.store.states import AnimalStatus
from dictate.store.tables import Animal, Farm

_LEAVE_MAX = 0.1
"""Share of a herd that a complete list may take off without being asked."""
_COLUMNS_KEPT = "roster columns"


class ManyLeaveError(RosterError):
    """A complete list would take off more than a tenth of the herd; nothing was changed."""

    def __init__(self, leaving: Sequence[str], herd: int) -> None:
        some = ", ".join(leaving[:5]) + (" …" if len(leaving) > 5 else "")
        super().__init__(
            f"this list as the whole herd would take {len(leaving)} of the {herd:,} on the roster off it ({some})",
            remedy="Check that it is complete; if it is, say --yes. Nothing was changed",
        )
        self.leaving, self.herd = len(leaving), herd


@without_collecting()
def take_in_roster(
    session: Session,
    farm: Farm,
    lines: Sequence[RosterLine],
    *,
    by: str,
    complete: bool = False,
    sure: bool = False,
    returned: bool | None = None,
    zeros: bool | None = None,
    source: str = "",
) -> RosterChange:
    """Add and change a farm's animals; she who is known keeps her history whatever her number is.

    An animal is known by its electronic number, else its ear tag, else the number it bears today.
    Where only the number of an animal that left comes back, a person says whether it is that animal;
    so too where a new number is another one but for zeros in front.

    Args:
        session: An open writing session.
        farm: Whose roster.
        lines: Animals of the file, each number once.
        by: Who takes it in.
        complete: The file is the whole herd: animals that it lacks leave the roster and keep their
            history.
        sure: Take off even more than a tenth of the herd.
        returned: Whether a number that only animals bore which left means that animal (true) or a
            new one (false); None leaves such lines undecided.
        zeros: Whether a new number that is another animal's but for zeros in front (0412 and 412) means
            that animal (true) or a further one (false); None leaves such lines undecided.
        source: Name of the file, for whoever wants to take it back (`roster_undo`).

    Raises:
        ManyLeaveError: it would take off many animals, and nobody was sure.
    """
    herd = Herd(session, farm)
    change = RosterChange()
    pairs = list(paired(lines, herd, returned, zeros, change))
    kept = {animal.id for _, animal in pairs if animal}
    others = {number: one for number, one in herd.present.items() if one.id not in kept}
    writer = Writer(session, by)
    pairs = list(_with_free_numbers(session, pairs, others, change, writer, complete=complete))
    leaving = []
    if complete:
        # Who is perhaps meant by a line that waits for an answer is not taken off for it.
        open_keys = {without_zeros(number) for number in change.undecided}
        leaving = [one for one in others.values() if without_zeros(one.number) not in open_keys]
        _guard(leaving, len(herd.present), lines, sure=sure)
    for animal in leaving:
        writer.change(animal, {"status": AnimalStatus.OFF_ROSTER, "on_roster": False})
    change.left = len(leaving)
    session.flush()
    added = write_lines(session, farm, pairs, writer, change)
    writer.finish(farm, added, change, source)
    return change


def kept_columns(session: Session, farm: str | None) -> dict[str, str]:
    """What a person said earlier about the columns of a farm's lists: heading to field."""
    return kept_of_farm(session, farm, _COLUMNS_KEPT)


def keep_columns(session: Session, farm: Farm, columns: Mapping[str, str], *, by: str) -> None:
    """Keep what a person said about the columns, for the next list of this farm."""
    before = kept_columns(session, farm.name)
    if before != dict(columns):
        write_event(
            session, farm, kind=_COLUMNS_KEPT, who=by, before=before or None, after=dict(columns)
        )


def _guard(
    leaving: Sequence[Animal], herd: int, lines: Sequence[RosterLine], *, sure: bool
) -> None:
    many = len(leaving) > _LEAVE_MAX * herd or not lines
    if leaving and many and not sure:
        raise ManyLeaveError([animal.number for animal in leaving], herd)


def _with_free_numbers(
    session: Session,
    pairs: Sequence[tuple[RosterLine, Animal | None]],
    others: dict[str, Animal],
    change: RosterChange,
    writer: "Writer",
    *,
    complete: bool,
) -> Iterator[tuple[RosterLine, Animal | None]]:
    """The lines whose number no other animal will bear.

    `others` are the present animals that no line means. One that is known only from notes, while the
    animal of its number was away, is that animal and is taken out of them.
    """
    for line, animal in pairs:
        bearer = others.get(line.number)
        if bearer is None or not is_there(line):
            yield line, animal
        elif animal is not None and not (bearer.on_roster or bearer.eid or bearer.ear_tag):
            try:
                merge_animals(session, bearer.id, animal.id, by=writer.by, act=writer.act)
                writer.merged = True
            except ConflictError as error:
                change.undecided[line.number] = error.what
                continue
            del others[line.number]
            yield line, animal
        elif complete:
            yield line, animal
        else:
            change.undecided[line.number] = (
                f"number {line.number} is borne by another animal that the file lacks"
                f" ({_told(bearer)}): put that one into the list, or say --complete if she left"
            )


def _told(animal: Animal) -> str:
    return animal.eid or animal.ear_tag or animal.name or "known by this number only"
