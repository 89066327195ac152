"""Reading what a module says out of its source: each sentence of a function, its values named.

`f"no foot for {finding.lesion.value}"` is the text `no foot for %(lesion)s`.
"""

import ast
import re
from collections.abc import Iterator

_MADE_BY = re.compile(
    r"^(mark|\w*_?question|\w*asked|Question|MarkValues|Diagnosis|Unfit|ask|make|set_aside|__init__|\w+Error|_?fault|_?faulty|_?refused)$"
)
_BESIDE = re.compile(r"%\((\w+)\)s %\((\w+)\)s")
"""Values beside each other: nobody could tell where the one ends, so they are one."""
_FORMAT = re.compile(r"[<>\\\\=]|://")
_NAMED = frozenset({"what", "why", "clear", "remedy", "told", "where", "doubt", "how"})
"""Arguments and variables that hold what a person reads."""
_WEAK = frozenset({"value", "get", "strip", "join", "map", "repr", "str", "sorted"})
"""Names that say nothing of a value: the one before them does."""


def sentences(source: str) -> Iterator[str]:
    """Every sentence that is made for a person."""
    for node in ast.walk(ast.parse(source)):
        for said in _said(node):
            for one in _choices(said):
                text = _text(one)
                if text is not None and _is_sentence(text):
                    yield text


def _said(node: ast.AST) -> Iterator[ast.expr]:
    """The expressions in which a node says something."""
    match node:
        case ast.Call(func=ast.Name(id=name) | ast.Attribute(attr=name)):
            if _MADE_BY.match(name) or name == "append":
                yield from node.args
            yield from (one.value for one in node.keywords if one.arg in _NAMED)
        case ast.Assign(targets=[ast.Name(id=name)], value=value) if name in _NAMED:
            yield value
        case ast.Assign(targets=[ast.Subscript()], value=ast.JoinedStr() as value):
            yield value
        case ast.Assign(targets=[ast.Tuple()], value=ast.IfExp() | ast.Tuple() as value):
            yield value
        case (
            ast.Return(value=ast.expr() as value)
            | ast.Expr(value=ast.Yield(value=ast.expr() as value))
        ):
            yield value
        case ast.GeneratorExp(elt=value) | ast.ListComp(elt=value):
            yield value
        case _:
            return


def _choices(node: ast.expr) -> Iterator[ast.expr]:
    """The strings that an expression may come to."""
    match node:
        case ast.IfExp(body=one, orelse=other):
            yield from (*_choices(one), *_choices(other))
        case ast.BoolOp(values=values) | ast.Tuple(elts=values) | ast.List(elts=values):
            for value in values:
                yield from _choices(value)
        case _:
            yield node


def _text(node: ast.expr) -> str | None:
    """The text of an expression with `%(name)s` for each value; None when it is no string of ours."""
    taken: list[str] = []
    written = _written(node, taken)
    while written and (merged := _BESIDE.sub(r"%(\1_\2)s", written, count=1)) != written:
        written = merged
    return written


def _written(node: ast.expr, taken: list[str]) -> str | None:
    match node:
        case ast.Constant(value=str(text)):
            return text.replace("%", "%%")
        case ast.JoinedStr(values=values):
            return "".join(_written(value, taken) or _named(value, taken) for value in values)
        case ast.BinOp(op=ast.Add(), left=left, right=right):
            parts = [_written(left, taken), _written(right, taken)]
            if parts == [None, None]:
                return None
            sides = zip(parts, (left, right), strict=True)
            return "".join(
                part if part is not None else _named(side, taken) for part, side in sides
            )
        case _:
            return None


def _named(node: ast.expr, taken: list[str]) -> str:
    found = [
        name.strip("_")
        for one in ast.walk(node)
        if (
            name := one.attr
            if isinstance(one, ast.Attribute)
            else one.id
            if isinstance(one, ast.Name)
            else ""
        )
    ]
    strong = [name for name in found if name not in _WEAK]
    name = next(iter(strong), "value").lower()
    taken.append(name)
    again = taken.count(name)
    return f"%({name}{again if again > 1 else ''})s"


def _is_sentence(text: str) -> bool:
    """Whether a person is to read it: words with a gap between them, and no marks of a format."""
    own = re.sub(r"%\(\w+\)s", "1", text)
    return bool(re.search(r"[^\W\d_]{2,}", own)) and " " in own.strip() and not _FORMAT.search(text)
