"""Words of the trade: what can be said, how words are read, and terms of your own."""

from pathlib import Path
from typing import Annotated

import typer

from dictate.cli.common import Day, Json, day, herd_of, opened, print_json, say


def phrases(
    about: Annotated[
        str | None,
        typer.Argument(
            help="Every way to say what holds this word, e.g. ulcer; none prints one page."
        ),
    ] = None,
    *,
    as_json: Json = False,
) -> None:
    """List what can be said: each term of the lexicon and the ways to say it."""
    from grammar.say.phrases import phrase_sheet, phrase_topics

    if about is None and not as_json:
        typer.echo(phrase_sheet())
        return
    rows = [
        {"topic": topic.title, "recorded": name, "said": list(said)}
        for topic in phrase_topics()
        for name, said in topic.rows
        if about is None or any(about.lower() in text for text in (name, *said))
    ]
    if as_json:
        print_json(rows)
        return
    for row in rows:
        typer.echo(f"{row['recorded']}: {', '.join(row['said'])}")


def explain(
    text: Annotated[list[str], typer.Argument(help="The words of one note.")],
    *,
    roster: Annotated[Path | None, typer.Option(help="Roster of the herd, a CSV file.")] = None,
    date: Day = None,
    as_json: Json = False,
) -> None:
    """Read typed words as the grammar reads heard ones; touches no database."""
    from grammar import as_json as plain
    from grammar import as_text, parse, split_text

    herd = herd_of(roster) if roster else None
    reading = parse(split_text(" ".join(text)), roster=herd, on=day(date))
    if as_json:
        print_json(plain(reading))
    else:
        typer.echo(as_text(reading))


term = typer.Typer(
    help="Teach terms of your own: how they sound and what they mean.", no_args_is_help=True
)


Phrase = Annotated[str, typer.Argument(help="The words as you say them.")]


@term.command()
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
    from dictate.decoder.terms import add_term, new_term
    from dictate.hearing import open_engine
    from dictate.settings import load_settings

    settings = load_settings()
    speaker = None if everybody else settings.trimmer
    new = new_term(phrase, sounds_like=sounds_like, means=means, speaker=speaker)
    add_term(settings.home, new)
    open_engine(settings.model, home=settings.home)
    say(f'"{new.phrase}" is known from now on')
    _use_again(new.phrase, speaker=speaker)


@term.command(name="list")
def list_terms(*, as_json: Json = False) -> None:
    """List what was taught: here, and in review."""
    from dictate.decoder.terms import load_terms
    from dictate.review.learning import learnt

    with opened() as (database, settings), database.reading() as session:
        terms = load_terms(settings.home)
        fixes = [
            {"phrase": alias.heard, "means": alias.term, "speaker": name, "learnt": True}
            for alias, name in learnt(session)
        ]
    if as_json:
        print_json([*terms, *fixes])
        return
    for one in terms:
        sound = f", sounds like {one.sounds_like}" if one.sounds_like else ""
        means = f", means {one.means}" if one.means else ""
        typer.echo(f"{one.phrase}{sound}{means} ({one.speaker or 'everybody'})")
    for fix in fixes:
        typer.echo(f"{fix['phrase']}, means {fix['means']} ({fix['speaker']}, learnt in review)")


@term.command()
def forget(phrase: Phrase) -> None:
    """Forget what was taught, here or in review; waiting notes are read again without it."""
    from dictate.decoder.terms import forget_term
    from dictate.errors import NotFoundError
    from dictate.settings import load_settings

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
    from dictate.review.learning import forget_heard, read_again

    with opened() as (database, settings):
        with database.writing() as session:
            dropped = forget_heard(session, phrase, speaker=speaker, by=settings.trimmer)
        if changed := read_again(database, settings, heard=phrase):
            say(
                f"{changed} waiting {'note reads' if changed == 1 else 'notes read'} differently now"
            )
    return dropped
