"""The generated pages of docs/reference: `python -m dictate.reference` writes them, a test checks them."""

import ast
import inspect
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

from sqlmodel import SQLModel

from dictate import errors, settings
from dictate.cli.main import COMMANDS, EXIT_STOPPED, load_command, summary
from dictate.store import record_tables, tables

_MADE = "<!-- Made by `python -m dictate.reference`; change the program, not this page. -->\n"
_TYPES = {
    "AutoString": "text",
    "BigInteger": "integer",
    "Boolean": "true or false",
    "Date": "date",
    "DecimalText": "decimal, as text",
    "Float": "number",
    "Integer": "integer",
    "JsonColumn": "JSON",
    "String": "text",
    "UtcTime": "time, UTC",
}


def commands_page() -> str:
    """Every command with its arguments and options."""
    lines = ["# Commands\n", _MADE]
    lines.append(
        "Data goes to stdout, messages go to stderr; `--json` prints JSON. "
        "[Exit codes](exit-codes.md) are the same for all commands.\n"
    )
    for module in COMMANDS:
        name = module.replace("_", "-")
        lines += _command_lines(f"dictate {name}", summary(name), load_command(name))
    return "\n".join(lines)


def _command_lines(name: str, about: str, command: Any) -> Iterator[str]:
    yield f"## {name}\n"
    yield f"{about}\n"
    inner = getattr(command, "commands", None)
    if inner:
        for part, one in inner.items():
            yield f"### {name} {part}\n"
            yield f"{(one.help or '').strip()}\n"
            yield from _parameter_lines(one)
        return
    yield from _parameter_lines(command)
    _, _, more = (command.help or "").partition("\n")
    if more.strip():
        yield f"{more.strip()}\n"


def _parameter_lines(command: Any) -> Iterator[str]:
    shown = [one for one in command.params if one.name != "help"]
    if not shown:
        return
    yield "| argument or option | meaning |"
    yield "|---|---|"
    for one in shown:
        names = ", ".join((*one.opts, *one.secondary_opts))
        if one.param_type_name == "argument":
            names = (one.metavar or one.name.upper()) + ("…" if one.nargs == -1 else "")
        elif not one.is_flag:
            names += f" {one.name.upper()}"
        needed = " (needed)" if one.required else ""
        yield f"| `{names}` | {(one.help or '').strip()}{needed} |"
    yield ""


def settings_page() -> str:
    """Every key of `settings.toml`."""
    lines = [
        "# Settings\n",
        _MADE,
        (
            "`settings.toml` lies in the home folder: `$DICTATE_HOME`, or the user's data folder for `dictate` "
            "(`dictate doctor` prints it)."
        ),
        "Nothing needs to be set; a key that is not listed here is refused.",
        "`$DICTATE_DATABASE` takes the place of `database`.\n",
        "| key | default | meaning |",
        "|---|---|---|",
    ]
    docs = _docs_of(settings)
    for name, field in settings.Settings.model_fields.items():
        if name != "home":
            default = field.get_default(call_default_factory=True)
            shown = "" if default in (None, "", {}) else f"`{default}`"
            lines.append(f"| `{name}` | {shown} | {docs['Settings', name]} |")
    example = [
        "",
        "```toml",
        'trimmer = "Robin Field"',
        'farm = "Alder Farm"',
        'paper = "A4"',
        'currency = "EUR"',
        "",
        "[prices]",
        'block = "18.50"',
        "",
        "[intervals]",
        '"wrap off" = 3',
        "```\n",
        "Intervals and prices are yours: the program has none of its own and knows no clinical default.\n",
    ]
    return "\n".join(lines + example)


def exit_codes_page() -> str:
    """Every exit code with the error behind it."""
    lines = ["# Exit codes\n", _MADE, "| code | when |", "|---|---|", "| 0 | all went well |"]
    about = dict(_error_lines())
    kinds: list[type[errors.DictateError]] = [
        one
        for one in vars(errors).values()
        if inspect.isclass(one) and issubclass(one, errors.DictateError)
    ]
    for kind in sorted(kinds, key=lambda kind: kind.exit_code):
        lines.append(f"| {kind.exit_code} | `{kind.__name__}`: {about[kind.__name__]} |")
    lines += [
        f"| {EXIT_STOPPED} | stopped with Ctrl-C; run the same command again and it goes on |",
        "",
        "Code 2 is also that of a command line that cannot be understood.",
        "`dictate take-in` and `dictate hear` go on after a bad file and end with code 3 when there was one.",
        "`dictate doctor` ends with code 1 when something is wrong.\n",
    ]
    return "\n".join(lines)


def _error_lines() -> Iterator[tuple[str, str]]:
    """Name and words of each error, from the tree in the module's docstring."""
    yield "DictateError", "anything else that went wrong"
    for line in (errors.__doc__ or "").splitlines():
        if line.startswith(("├── ", "└── ")):
            name, _, words = line[4:].partition(" ")
            yield name, words.strip()


def database_page() -> str:
    """Every table and column."""
    lines = [
        "# Database\n",
        _MADE,
        (
            "One SQLite file, `record.db` in the home folder, or a PostgreSQL database (`database` in "
            "[settings](settings.md))."
        ),
        (
            "Times are UTC. `event` and `reading` rows can never be changed, and what was heard can never be "
            "deleted: the database itself refuses."
        ),
        "`dictate sql` asks it in SQL and can change nothing.\n",
        *_diagram(),
    ]
    for module in (tables, record_tables):
        docs = _docs_of(module)
        lines.append(f"## {(module.__doc__ or '').partition(chr(10))[0]}\n")
        for kind in _tables_of(module):
            lines += _table_lines(kind, docs)
    return "\n".join(lines)


def _diagram() -> Iterator[str]:
    """Entity diagram in Mermaid: which table names which."""
    yield "## Which table names which\n"
    yield "```mermaid"
    yield "erDiagram"
    for module in (tables, record_tables):
        for kind in _tables_of(module):
            table = kind.__table__
            for column in table.columns:
                for key in column.foreign_keys:
                    some = "|o" if column.nullable else "||"
                    yield f"    {key.column.table.name} {some}--o{{ {table.name} : {column.name}"
    yield "```\n"


def _tables_of(module: ModuleType) -> Iterator[Any]:
    for kind in vars(module).values():
        if inspect.isclass(kind) and issubclass(kind, SQLModel) and hasattr(kind, "__table__"):
            yield kind


def _table_lines(kind: Any, docs: dict[tuple[str, str], str]) -> Iterator[str]:
    table = kind.__table__
    yield f"### {table.name}\n"
    if about := docs.get((kind.__name__, "")):
        yield f"{about}\n"
    yield "| column | type | null | meaning |"
    yield "|---|---|---|---|"
    for column in table.columns:
        points = ", ".join(f"→ `{key.target_fullname}`" for key in column.foreign_keys)
        about = docs.get((kind.__name__, column.name)) or docs.get(("_Recorded", column.name), "")
        meaning = " ".join(part for part in (points, about) if part)
        null = "yes" if column.nullable else ""
        yield f"| `{column.name}` | {_TYPES[type(column.type).__name__]} | {null} | {meaning} |"
    yield ""


def _docs_of(module: ModuleType) -> dict[tuple[str, str], str]:
    """Docstrings of classes and of their fields."""
    docs = {}
    for node in ast.parse(inspect.getsource(module)).body:
        if not isinstance(node, ast.ClassDef):
            continue
        docs[node.name, ""] = _plain(ast.get_docstring(node))
        for before, after in zip(node.body, node.body[1:], strict=False):
            if (
                isinstance(before, ast.AnnAssign)
                and isinstance(before.target, ast.Name)
                and isinstance(after, ast.Expr)
                and isinstance(after.value, ast.Constant)
            ):
                docs[node.name, before.target.id] = _plain(str(after.value.value))
    return docs


def _plain(text: str | None) -> str:
    return " ".join((text or "").split()).replace("|", "\\|")


PAGES: dict[str, Callable[[], str]] = {
    "commands.md": commands_page,
    "database.md": database_page,
    "exit-codes.md": exit_codes_page,
    "settings.md": settings_page,
}


if __name__ == "__main__":
    folder = Path(__file__).parents[1] / "docs" / "reference"
    for name, make in PAGES.items():
        (folder / name).write_text(make(), encoding="utf-8")
