"""Learning from fixes: a mis-hearing that a person explained becomes an alias of that speaker.

An alias maps heard words to a term of the lexicon. Numbers are never learnt: a wrong animal number
is a matter of hearing, and an alias would put findings on the wrong animal later.
"""

from typing import Any

from sqlmodel import Session, col, select

from dictate.errors import NotFoundError, ReviewError
from dictate.notes.reading_notes import read_visit
from dictate.review.offers import why_not_learnt
from dictate.settings import Settings
from dictate.store.clips import entries_of_note
from dictate.store.database import Database
from dictate.store.history import write_event
from dictate.store.states import EntryState, NoteState
from dictate.store.tables import Alias, Entry, Note, Trimmer, Visit
from dictate.texts import gettext


def learnt(session: Session) -> list[tuple[Alias, str]]:
    """What has been learnt, by speaker and heard words, with the speaker's name."""
    query = (
        select(Alias, Trimmer.name)
        .join(Trimmer, col(Trimmer.id) == Alias.trimmer_id)
        .order_by(col(Trimmer.name), col(Alias.heard))
    )
    return list(session.exec(query).all())


def teach(session: Session, trimmer_id: int, heard: str, term: str, *, by: str) -> Alias:
    """Remember that these heard words mean a term when this trimmer speaks.

    Raises:
        ReviewError: the words hold a number, mean something already, or the term is unknown.
        NotFoundError: there is no such trimmer.
    """
    heard, term = _plain(heard), _plain(term)
    if session.get(Trimmer, trimmer_id) is None:
        raise NotFoundError(gettext("whoever said this is not in the record"))
    if fault := why_not_learnt(heard, term):
        raise ReviewError(
            gettext(
                "“%(heard)s” was not learnt as %(term)s: %(fault)s",
                heard=heard,
                term=term,
                fault=fault,
            )
        )
    found = session.exec(
        select(Alias).where(Alias.trimmer_id == trimmer_id, Alias.heard == heard)
    ).first()
    before = {"heard": heard, "term": found.term} if found else None
    alias = found or Alias(trimmer_id=trimmer_id, heard=heard, term=term)
    alias.term = term
    session.add(alias)
    session.flush()
    after = {"heard": heard, "term": term}
    write_event(session, alias, kind="learnt", who=by, before=before, after=after)
    return alias


def forget(session: Session, alias_id: int, *, by: str) -> Alias:
    """Forget a mis-hearing; notes that were read with it stay as they are until read again.

    Raises:
        NotFoundError: it was forgotten already.
    """
    alias = session.get(Alias, alias_id)
    if alias is None:
        raise NotFoundError(gettext("this was forgotten already"))
    before = {"heard": alias.heard, "term": alias.term}
    write_event(session, alias, kind="forgotten", who=by, before=before)
    session.delete(alias)
    session.flush()
    return alias


def forget_heard(session: Session, heard: str, *, by: str, speaker: str | None) -> int:
    """Forget what some heard words mean, for one speaker or for all; how many were forgotten."""
    found = [
        alias
        for alias, name in learnt(session)
        if alias.heard == _plain(heard) and speaker in (None, name)
    ]
    for alias in found:
        forget(session, alias.id, by=by)
    return len(found)


def read_again(
    database: Database, settings: Settings, trimmer_id: int | None = None, *, heard: str = ""
) -> int:
    """Read a trimmer's waiting notes again with what was taught; the number that read differently.

    Without a trimmer, those of all are read. Given `heard`, only notes with these words in one of
    their hearings are. Notes of which a person changed or decided an entry are left alone. If the
    program stops half way, the notes count as heard and not read, and the next run reads them.
    """
    with database.writing() as session:
        notes = [note for note in _untouched(session, trimmer_id) if _says(note, heard)]
        before = {note.id: _contents(session, note) for note in notes}
        visits = {note.visit_id for note in notes}
        for note in notes:
            note.state = NoteState.HEARD
    for visit_id in sorted(visits):
        read_visit(database, settings, visit_id)
    with database.reading() as session:
        return sum(
            _contents(session, session.get_one(Note, note_id)) != was
            for note_id, was in before.items()
        )


def _untouched(session: Session, trimmer_id: int | None) -> list[Note]:
    touched = select(Entry.note_id).where(
        (col(Entry.state) != EntryState.WAITING) | col(Entry.touched).is_(True)
    )
    query = (
        select(Note)
        .join(Visit, col(Visit.id) == Note.visit_id)
        .where(
            Note.state == NoteState.WAITING,
            col(Note.id).not_in(touched.where(Entry.visit_id == Note.visit_id)),
        )
        .order_by(col(Note.id))
    )
    if trimmer_id is not None:
        query = query.where(Visit.trimmer_id == trimmer_id)
    return list(session.exec(query).all())


def _says(note: Note, heard: str) -> bool:
    hearings = (note.words, *note.alternatives)
    return not heard or any(
        f" {heard} " in f" {' '.join(word['text'] for word in words)} " for words in hearings
    )


def _contents(session: Session, note: Note) -> list[dict[str, Any]]:
    return [entry.content for entry in entries_of_note(session, note.id)]


def _plain(text: str) -> str:
    return " ".join(text.lower().split())
