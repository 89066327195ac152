"""Check the model, sound, database and disk, and say what to do."""

import typer

from dictate.cli.common import Json, print_json

app = typer.Typer()


@app.command(help=__doc__)
def doctor(*, as_json: Json = False) -> None:
    from dictate.doctor import examine  # noqa: PLC0415 (the recogniser is slow to load)

    findings = examine()
    if as_json:
        print_json(findings)
    else:
        for one in findings:
            typer.echo(f"{'ok ' if one.ok else 'BAD'} {one.part}: {one.what}")
            if one.remedy:
                typer.echo(f"    {one.remedy}")
    raise typer.Exit(0 if all(one.ok for one in findings) else 1)
