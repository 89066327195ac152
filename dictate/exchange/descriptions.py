"""What each column means, taken from the docstrings of the store's tables so that it is said once."""

import ast
import inspect
import itertools
from functools import cache

from sqlmodel import SQLModel

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
