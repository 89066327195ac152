"""What the pages show of a visit and of an entry."""

from typing import TYPE_CHECKING

from dictate.entry.terms import NO_LESION
from dictate.review.showing import Card
from dictate.sheets.claw_map import claw_map
from dictate.texts import gettext

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dictate.record.rows import FarmRow


def farm_asked(farms: "Sequence[FarmRow]", asked: str, usual: str | None) -> "FarmRow | None":
    """The farm of a page's address, else the usual one of the settings, else the first."""
    by_id = next((farm for farm in farms if str(farm.id) == asked), None)
    return by_id or next(
        (farm for farm in farms if farm.name == usual), farms[0] if farms else None
    )


def queue_path(visit_id: int, entry_id: int | None = None, then: int | None = None) -> str:
    """Address of a queue, at an entry, with the one that follows it."""
    asked = [f"{name}={one}" for name, one in (("entry", entry_id), ("then", then)) if one]
    return f"/visits/{visit_id}/queue" + ("?" + "&".join(asked) if asked else "")


def drawn(card: Card, *, pick: bool = False) -> str:
    """The claw map of an entry as SVG; empty when no foot was named, unless one may be picked."""
    values = card.values
    lesion = any(finding.lesion != NO_LESION for finding in values.findings)
    placed = any(one.foot for one in values.findings) or any(one.foot for one in values.actions)
    if not placed and not (pick and lesion):
        return ""
    return claw_map(
        values.findings,
        values.actions,
        title=gettext("Claw map of cow %(number)s", number=values.animal)
        if values.animal
        else gettext("Claw map of a cow without a number"),
        key=f"map-{card.entry.id}",
        focus=True,
        pick=pick,
    )
