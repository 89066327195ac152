"""The description beside the files: a Data Package (Frictionless Data), so that others can read them."""

import ast
import inspect
import itertools
import json
from functools import cache
from pathlib import Path
from typing import Any

from sqlmodel import SQLModel

from dictate.errors import StoreError
from dictate.exchange.tables import EXPORTED, Exported
from dictate.store.migrate import HEAD
from dictate.written import write_whole

FILE_NAME = "datapackage.json"


def write_package(folder: Path, suffix: str, counts: dict[str, int]) -> Path:
    """Write `datapackage.json` for files with this suffix."""
    path = folder / FILE_NAME
    package = {
        "name": "dictate-record",
        "profile": "data-package",
        "title": "Confirmed herd record",
        "description": "Findings and actions as said at the chute and confirmed by a person. "
        "No veterinary advice: the herd's vet, product labels and local law decide.",
        "dictate_tables": HEAD,
        "resources": [_resource(exported, suffix, counts[exported.name]) for exported in EXPORTED],
    }
    return write_whole(path, json.dumps(package, ensure_ascii=False, indent=1) + "\n")


def read_package(folder: Path) -> tuple[str, dict[str, int]]:
    """Return the files' suffix and the rows each table has to have.

    Raises:
        StoreError: the folder holds no export, or one made with other tables.
    """
    path = folder / FILE_NAME
    try:
        package = json.loads(path.read_text(encoding="utf-8"))
        resources = {resource["name"]: resource for resource in package["resources"]}
        counts = {exported.name: int(resources[exported.name]["rows"]) for exported in EXPORTED}
        suffix = Path(resources[EXPORTED[0].name]["path"]).suffix
        made_with = package["dictate_tables"]
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as error:
        raise StoreError(
            f"holds no complete export: {error!r}",
            where=str(path),
            remedy="Name a folder that `dictate export` wrote",
        ) from error
    if made_with != HEAD:
        raise StoreError(
            f"was exported with tables {made_with}, this program has {HEAD}",
            where=str(path),
            remedy="Import with the version that exported it, then upgrade",
        )
    return suffix, counts


def _resource(exported: Exported, suffix: str, rows: int) -> dict[str, Any]:
    own = {column.name: column for column in exported.columns}
    fields = [
        {
            "name": name,
            "type": own[name].kind.field_type if name in own else "string",
            "description": described(exported.model, name),
        }
        for name in exported.headings
    ]
    keys = [
        {"fields": column.name, "reference": {"resource": column.names_table, "fields": "id"}}
        for column in exported.columns
        if column.names_table
    ]
    return {
        "name": exported.name,
        "path": f"{exported.name}{suffix}",
        "profile": "tabular-data-resource",
        "rows": rows,
        "schema": {
            "fields": fields,
            "primaryKey": "id",
            "foreignKeys": keys,
            "missingValues": [""],
        },
    }


_COMMON = {
    "id": "Key of the row.",
    "farm_name": "Name of the farm, repeated for reading; importing leaves it aside.",
    "animal_number": "Management number of the animal, repeated for reading; importing leaves it aside.",
}


def described(model: type[SQLModel], column: str) -> str:
    """Return the words under a field, or a plain name for fields that explain themselves."""
    for owner in model.__mro__:
        if issubclass(owner, SQLModel) and owner is not SQLModel and column in _fields(owner):
            return _fields(owner)[column]
    if column in _COMMON:
        return _COMMON[column]
    if column.endswith("_id"):
        return f"The {column.removesuffix('_id').replace('_', ' ')} it belongs to."
    return column.replace("_", " ").capitalize() + "."


@cache
def _fields(model: type[SQLModel]) -> dict[str, str]:
    """Strings that stand under the annotated fields of a class."""
    (body,) = ast.parse(inspect.cleandoc("\n" + inspect.getsource(model))).body
    found = {}
    statements = body.body if isinstance(body, ast.ClassDef) else []
    for field, after in itertools.pairwise(statements):
        match field, after:
            case ast.AnnAssign(target=ast.Name(id=name)), ast.Expr(value=ast.Constant(value=text)):
                found[name] = " ".join(str(text).split())
    return found
