"""What was learnt from fixes: remember, forget, and read waiting notes again."""

from typing import Annotated

import fastapi
from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse
from pydantic import Field

from dictate.decoder.terms import add_term, forget_term, load_terms, new_term
from dictate.errors import ConflictError
from dictate.review.learning import forget, forget_heard, learnt, read_again, teach
from dictate.review.measure import reviews_by_visit
from dictate.review.written_changes import terms_of
from dictate.store.farms import all_trimmers
from dictate.texts import gettext, ngettext
from dictate.web.desk import Form, TheDesk, back_to, page
from dictate.web.guard import Who
from grammar import load_lexicon

router = APIRouter()
_SHOWN = 30
"""Visits of which the corrections are listed."""


class Lesson(Form):
    heard: str = Field(max_length=200)
    term: str = Field(max_length=200)
    back: str = Field(default="/learnt", pattern=r"^/([\w?=&-][\w/?=&-]*)?$", max_length=200)


class Phrase(Form):
    phrase: str = Field(max_length=200)


class OwnWord(Form):
    phrase: str = Field(min_length=1, max_length=100)
    sounds_like: str = Field(default="", max_length=100)
    means: str = Field(default="", max_length=100)
    everybody: bool = False


class ByTrimmer(Form):
    trimmer: int


@router.get("/learnt", response_class=HTMLResponse)
def learnt_page(request: Request, desk: TheDesk, _person: Who) -> HTMLResponse:
    """List what was learnt, and how much had to be corrected over time."""
    with desk.database.reading() as session:
        aliases = learnt(session)
        trimmers = all_trimmers(session)
        reviews = reviews_by_visit(session, newest=_SHOWN)[::-1]
    return page(
        request,
        "learnt.html",
        aliases=aliases,
        terms=load_terms(desk.settings.home),
        trimmers=trimmers,
        reviews=reviews,
        meanings=sorted({*load_lexicon().lesions, *terms_of("ACTION").values()}),
    )


@router.post("/learnt/remember")
def remember(
    desk: TheDesk, person: Who, form: Annotated[Lesson, fastapi.Form()]
) -> RedirectResponse:
    """Remember a mis-hearing for the speaker of the note that was fixed, and use it at once."""
    offer = person.offers.take(form.heard, form.term)
    if offer is None:
        raise ConflictError(gettext("this is not offered any more"))
    with desk.database.writing() as session:
        alias = teach(session, offer.trimmer_id, form.heard, form.term, by=person.name)
    changed = read_again(desk.database, desk.settings, offer.trimmer_id, heard=alias.heard)
    person.notice = _told(
        gettext("Remembered: “%(heard)s” means %(term)s.", heard=form.heard, term=form.term),
        changed,
    )
    return back_to(form.back)


@router.post("/learnt/not-now")
def not_now(person: Who, form: Annotated[Lesson, fastapi.Form()]) -> RedirectResponse:
    """Put the offer away."""
    person.offers.take(form.heard, form.term)
    return back_to(form.back)


@router.post("/learnt/teach")
def teach_word(
    desk: TheDesk, person: Who, form: Annotated[OwnWord, fastapi.Form()]
) -> RedirectResponse:
    """Teach a word of the trimmer's own; waiting notes with it are read again."""
    speaker = None if form.everybody else desk.settings.trimmer
    term = new_term(form.phrase, sounds_like=form.sounds_like, means=form.means, speaker=speaker)
    add_term(desk.settings.home, term)
    with desk.database.writing() as session:
        forget_heard(session, term.phrase, speaker=speaker, by=person.name)
    changed = read_again(desk.database, desk.settings, heard=term.phrase)
    person.notice = _told(
        gettext("“%(phrase)s” is known from now on.", phrase=term.phrase), changed
    )
    return back_to("/learnt")


@router.post("/learnt/{alias_id}/forget")
def forget_one(
    desk: TheDesk, person: Who, alias_id: int, _form: Annotated[Form, fastapi.Form()]
) -> RedirectResponse:
    """Forget a mis-hearing and read waiting notes again without it."""
    with desk.database.writing() as session:
        alias = forget(session, alias_id, by=person.name)
    changed = read_again(desk.database, desk.settings, alias.trimmer_id, heard=alias.heard)
    person.notice = _told(gettext("Forgotten: “%(phrase)s”.", phrase=alias.heard), changed)
    return back_to("/learnt")


@router.post("/learnt/forget-term")
def forget_taught(
    desk: TheDesk, person: Who, form: Annotated[Phrase, fastapi.Form()]
) -> RedirectResponse:
    """Forget a term that was taught with its sound, and read waiting notes again without it."""
    forget_term(desk.settings.home, form.phrase)
    changed = read_again(desk.database, desk.settings, heard=form.phrase)
    person.notice = _told(gettext("Forgotten: “%(phrase)s”.", phrase=form.phrase), changed)
    return back_to("/learnt")


@router.post("/learnt/read-again")
def read_waiting_again(
    desk: TheDesk, person: Who, form: Annotated[ByTrimmer, fastapi.Form()]
) -> RedirectResponse:
    """Read a speaker's waiting notes again with all that was learnt."""
    changed = read_again(desk.database, desk.settings, form.trimmer)
    person.notice = _again(changed)
    return back_to("/learnt")


def _told(done: str, changed: int) -> str:
    return f"{done} {_again(changed)}"


def _again(changed: int) -> str:
    if not changed:
        return gettext("No waiting note reads differently.")
    return ngettext(
        "%(num)s waiting note reads differently now.",
        "%(num)s waiting notes read differently now.",
        changed,
    )
