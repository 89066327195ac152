"""Teach terms of your own: how they sound and what they mean."""

from typing import Annotated

import typer

from dictate.cli.common import Json, opened, print_json, say

app = typer.Typer(help=__doc__, no_args_is_help=True)

Phrase = Annotated[str, typer.Argument(help="The words as you say them.")]


@app.command()
def add(
    phrase: Phrase,
    *,
    sounds_like: Annotated[
        str | None, typer.Option(help="Known words that sound like it, for new words.")
    ] = None,
    means: Annotated[str | None, typer.Option(help="Term that it stands for.")] = None,
    everybody: Annotated[bool, typer.Option(help="For every speaker, not only you.")] = False,
) -> None:
    """Teach a term and rebuild the graph."""
    from dictate.decoder.terms import Term, add_term, checked  # noqa: PLC0415
    from dictate.hearing import open_engine  # noqa: PLC0415 (slow to load)
    from dictate.settings import load_settings  # noqa: PLC0415

    settings = load_settings()
    speaker = None if everybody else settings.trimmer
    term = Term(phrase=phrase.lower(), sounds_like=sounds_like, means=means, speaker=speaker)
    checked(term)
    add_term(settings.home, term)
    open_engine(settings.model, home=settings.home)
    say(f'"{term.phrase}" is known from now on')
    _use_again(term.phrase, speaker=speaker)


@app.command(name="list")
def list_terms(*, as_json: Json = False) -> None:
    """List what was taught: here, and in review."""
    from dictate.decoder.terms import load_terms  # noqa: PLC0415
    from dictate.review.learning import learnt  # noqa: PLC0415

    with opened() as (database, settings), database.reading() as session:
        terms = load_terms(settings.home)
        fixes = [
            {"phrase": alias.heard, "means": alias.term, "speaker": name, "learnt": True}
            for alias, name in learnt(session)
        ]
    if as_json:
        print_json([*terms, *fixes])
        return
    for term in terms:
        sound = f", sounds like {term.sounds_like}" if term.sounds_like else ""
        means = f", means {term.means}" if term.means else ""
        typer.echo(f"{term.phrase}{sound}{means} ({term.speaker or 'everybody'})")
    for one in fixes:
        typer.echo(f"{one['phrase']}, means {one['means']} ({one['speaker']}, learnt in review)")


@app.command()
def forget(phrase: Phrase) -> None:
    """Forget what was taught, here or in review; waiting notes are read again without it."""
    from dictate.decoder.terms import forget_term  # noqa: PLC0415
    from dictate.errors import NotFoundError  # noqa: PLC0415
    from dictate.settings import load_settings  # noqa: PLC0415

    phrase = phrase.lower()
    taught = True
    try:
        forget_term(load_settings().home, phrase)
    except NotFoundError:
        taught = False
    if not (_use_again(phrase) or taught):
        raise NotFoundError(f'"{phrase}" was never taught', remedy="See `dictate term list`")
    say(f'"{phrase}" is forgotten')


def _use_again(phrase: str, *, speaker: str | None = None) -> int:
    """Forget what review had learnt of these words, and read waiting notes with them again."""
    from dictate.review.learning import forget_heard, read_again  # noqa: PLC0415

    with opened() as (database, settings):
        with database.writing() as session:
            dropped = forget_heard(session, phrase, speaker=speaker, by=settings.trimmer)
        if changed := read_again(database, settings, heard=phrase):
            say(
                f"{changed} waiting {'note reads' if changed == 1 else 'notes read'} differently now"
            )
    return dropped
