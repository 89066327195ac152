"""What a speaker's words mean: taught with `dictate term`, or learnt in review; read as one.

Terms that the recogniser must know stand in `terms.toml` beside the settings, for it works without
a database; what was learnt from a fix stands in the database, which several computers may share.
Every reading takes both, and where they differ what was learnt from a fix counts.
"""

import sqlalchemy as sa
from sqlmodel import Session

from dictate.decoder.terms import aliases, load_terms
from dictate.errors import StoreError
from dictate.settings import Settings
from dictate.store.farms import aliases_of
from dictate.store.read_only import reading_only
from dictate.store.tables import Trimmer


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
