"""Teach terms of your own: how they sound and what they mean."""

from typing import Annotated

import typer

from dictate.cli.common import Json, print_json, say

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
    from dictate.hearing import open_engine  # noqa: PLC0415 (slow to load)
    from dictate.hearing.terms import Term, add_term, checked  # noqa: PLC0415
    from dictate.settings import load_settings  # noqa: PLC0415

    settings = load_settings()
    speaker = None if everybody else settings.trimmer
    term = Term(phrase=phrase.lower(), sounds_like=sounds_like, means=means, speaker=speaker)
    checked(term)
    add_term(settings.home, term)
    open_engine(settings.model, home=settings.home)
    say(f'"{term.phrase}" is known from now on')


@app.command(name="list")
def list_terms(*, as_json: Json = False) -> None:
    """List the taught terms."""
    from dictate.hearing.terms import load_terms  # noqa: PLC0415
    from dictate.settings import load_settings  # noqa: PLC0415

    terms = load_terms(load_settings().home)
    if as_json:
        print_json(terms)
        return
    for term in terms:
        sound = f", sounds like {term.sounds_like}" if term.sounds_like else ""
        means = f", means {term.means}" if term.means else ""
        typer.echo(f"{term.phrase}{sound}{means} ({term.speaker or 'everybody'})")


@app.command()
def forget(phrase: Phrase) -> None:
    """Forget a taught term."""
    from dictate.hearing.terms import forget_term  # noqa: PLC0415
    from dictate.settings import load_settings  # noqa: PLC0415

    forget_term(load_settings().home, phrase.lower())
    say(f'"{phrase}" is forgotten')
