"""What the pages show of a visit and of an entry."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session

from dictate.errors import NotFoundError
from dictate.review.showing import Card
from dictate.sheets.claw_map import claw_map
from dictate.store.tables import Farm, Visit

__all__ = ["Place", "drawn", "farm_asked", "place_of", "queue_path"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A visit with its farm."""

    visit: Visit
    farm: Farm


def place_of(session: Session, visit_id: int) -> Place:
    """The visit of a page's address.

    Raises:
        NotFoundError: there is none.

    """
    visit = session.get(Visit, visit_id)
    if visit is None:
        raise NotFoundError(
            f"there is no visit {visit_id}", remedy="Choose one from the list of visits"
        )
    return Place(visit=visit, farm=session.get_one(Farm, visit.farm_id))


def farm_asked(farms: Sequence[Farm], asked: str, usual: str | None) -> Farm | None:
    """The farm of a page's address, else the usual one of the settings, else the first."""
    by_id = next((farm for farm in farms if str(farm.id) == asked), None)
    return by_id or next(
        (farm for farm in farms if farm.name == usual), farms[0] if farms else None
    )


def queue_path(visit_id: int, entry_id: int | None = None, then: int | None = None) -> str:
    """Address of a queue, at an entry, with the one that follows it."""
    asked = [f"{name}={one}" for name, one in (("entry", entry_id), ("then", then)) if one]
    return f"/visits/{visit_id}/queue" + ("?" + "&".join(asked) if asked else "")


def drawn(card: Card) -> str:
    """The claw map of an entry as SVG; empty when no foot was named."""
    values = card.values
    if not any(part.foot for part in (*values.findings, *values.actions)):
        return ""
    return claw_map(
        values.findings,
        values.actions,
        title=f"Claw map of cow {values.animal or 'without a number'}",
        key=f"map-{card.entry.id}",
        focus=True,
    )
