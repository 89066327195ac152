"""What the grammar may know at a visit: its herd, its day, and what the speaker taught."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import sqlalchemy as sa
from sqlmodel import Session

from dictate.decoder.terms import aliases, load_terms
from dictate.errors import StoreError
from dictate.hearing import Fit
from dictate.hearing.talk import usual_fit
from dictate.settings import Settings
from dictate.store.farms import aliases_of, roster_of
from dictate.store.read_only import reading_only
from dictate.store.tables import Trimmer, Visit
from dictate.store.visits import fits_so_far
from grammar import Roster


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """What the grammar may know while it reads the notes of one visit."""

    roster: Roster | None = None
    on: dt.date | None = None
    aliases: Mapping[str, str] = field(default_factory=dict)
    """Heard words to term, as the speaker taught them."""
    intervals: Mapping[str, int] = field(default_factory=dict)
    """The trimmer's own days by kind of follow-up, for those said without a date."""
    usual_fit: float = 0.0
    """How well the trimmer's notes fit their sound so far, see `dictate.hearing.talk`."""


def context_of(session: Session, visit: Visit, settings: Settings) -> Context:
    """What the grammar may know at a visit."""
    return Context(
        roster=roster_of(session, visit.farm_id),
        on=visit.date,
        aliases=taught_to(session, settings, visit.trimmer_id),
        intervals=settings.intervals,
    )


def context_with_fit(session: Session, visit: Visit, settings: Settings) -> Context:
    """The same with how well the trimmer's notes fit their sound so far, to tell talk from notes."""
    usual = usual_fit(Fit(**fit) for fit in fits_so_far(session, visit))
    return replace(context_of(session, visit, settings), usual_fit=usual)


def taught_to(session: Session, settings: Settings, trimmer_id: int) -> dict[str, str]:
    """Heard words to term, as one trimmer taught them.

    Raises:
        SettingsError: `terms.toml` cannot be used.
    """
    name = session.get_one(Trimmer, trimmer_id).name
    return aliases(load_terms(settings.home), name) | aliases_of(session, trimmer_id)


def taught_here(settings: Settings) -> dict[str, str]:
    """The same for the trimmer of the settings; a record on this computer is only read, never made.

    Raises:
        SettingsError: `terms.toml` cannot be used.
    """
    return aliases(load_terms(settings.home), settings.trimmer) | _learnt_here(settings)


def _learnt_here(settings: Settings) -> dict[str, str]:
    url = sa.make_url(settings.database_url)
    if url.get_backend_name() != "sqlite" or not (settings.home / (url.database or "")).is_file():
        return {}
    try:
        with reading_only(settings.database_url) as ask:
            _, rows = ask(
                "SELECT trimmer.name, alias.heard, alias.term"
                " FROM alias JOIN trimmer ON trimmer.id = alias.trimmer_id"
            )
    except StoreError:  # of an older version, or not a record at all: nothing was learnt there
        return {}
    return {heard: term for name, heard, term in rows if name == settings.trimmer}
