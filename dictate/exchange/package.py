"""The description beside the files: a Data Package (Frictionless Data), so that others can read them."""

import json
from pathlib import Path
from typing import Any

from dictate.errors import StoreError
from dictate.exchange.descriptions import described
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
