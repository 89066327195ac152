"""Where templates and code say something that no catalogue would hear of."""

import ast
import re
from collections.abc import Iterator
from gettext import NullTranslations
from html.parser import HTMLParser
from pathlib import Path

from babel.messages.pofile import read_po
from jinja2 import Environment, nodes

from dictate.texts import TEMPLATE

WEB = Path(__file__).parents[1] / "dictate" / "web"
SAID_IN = {"aria-label", "alt", "placeholder", "title", "label", "summary"}
"""Attributes that are read out or shown."""
UNSAID = {"script", "style", "kbd", "code", "metadata"}
"""Elements whose text is none of a language: keys, names of files, what a drawing is made with."""
KEYS = {"Enter", "Escape", "Backspace", "Space", "End", "Delete", "ArrowLeft", "ArrowRight"}
NAMES = {
    "dictate",
    "A",
    "Letter",
    "PDF",
    "CSV",
    "MB",
    "dB",
    "ICAR",
    "LF",
    "RF",
    "LH",
    "RH",
    "unk",
    "true",
    "false",
}
"""The program, sizes, units and letters that stand for something: the same in every language."""
DATA = {"locomotion score", "no lesion"}
"""Terms of the trade that a template looks up: they are data of the grammar."""
GAP = "\x00"
"""Stands for what a template puts in."""
_CODE = re.compile(r"^[/?&=.a-z0-9_:-]*$|^(button|min=)")
"""Addresses, names of fields and classes."""


_SENTENCE = re.compile(r"[A-Za-z’]{2,} [a-z’]{2,}|[A-Z][a-z]+ ?[.!…]|^.[A-Z][a-z]+.$")
"""Two words, or one with a capital that ends or stands alone."""
_SELECTOR = re.compile(r"use strict|[.#]\w+ |\[[\w-]+\]|\w > ")


def words(text: str) -> str:
    """What is left of a text that some language must say."""
    text = re.sub(r"%\.\df|%g|%[YmdHM]|&\w+;", "", text)
    kept = re.sub(
        r"[^\W\d_]+(?:[’'-][^\W\d_]+)*", lambda one: one[0] if one[0] not in NAMES else "", text
    )
    return kept if re.search(r"[^\W\d_]", kept.replace(GAP, "")) else ""


OPEN, SHUT = "⟦", "⟧"


class Pseudo(NullTranslations):
    """A language in which every text of the catalogue stands in brackets, and what is put in stands outside."""

    def __init__(self) -> None:
        super().__init__()
        self._known = collected_texts()

    def gettext(self, message: str) -> str:
        if message not in self._known:
            return message
        return _bracketed(message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        text = msgid1 if n == 1 else msgid2
        return _bracketed(text) if msgid1 in self._known else text


def _bracketed(text: str) -> str:
    return OPEN + re.sub(r"%\(\w+\)s", rf"{SHUT}\g<0>{OPEN}", text) + SHUT


class Texts(HTMLParser):
    """Every text of a page and every attribute that is read out."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self._inside: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if name in SAID_IN and value:
                self.text(value, attribute=True)
        if tag in UNSAID:
            self._inside.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if self._inside and self._inside[-1] == tag:
            self._inside.pop()

    def handle_data(self, data: str) -> None:
        self.text(data, attribute=False)

    def text(self, text: str, *, attribute: bool) -> None:
        """Keep a text that some language must say."""
        if (attribute or not self._inside) and words(text):
            self.found.append(" ".join(text.split()))


def texts_of(html: str) -> list[str]:
    """Texts and read-out attributes of a page, in their order."""
    parser = Texts()
    parser.feed(html)
    parser.close()
    return parser.found


def environment() -> Environment:
    return Environment(
        extensions=["jinja2.ext.i18n"], trim_blocks=True, lstrip_blocks=True, autoescape=True
    )


def outside_the_catalogue(source: str) -> list[str]:
    """Texts of a template that are in no `{% trans %}` and in no `_()`."""
    tree = environment().parse(source)
    return texts_of("".join(_written(tree))) + sorted(set(_labels(tree)))


def _written(node: nodes.Node) -> Iterator[str]:
    """The template's own letters, with gaps where it puts something in."""
    if isinstance(node, nodes.TemplateData):
        yield node.data
    elif isinstance(node, nodes.Output):
        for one in node.nodes:
            yield from _written(one) if isinstance(one, nodes.TemplateData) else GAP
    elif not isinstance(node, nodes.Expr):
        if isinstance(node, nodes.Block):
            yield GAP
        for one in node.iter_child_nodes():
            yield from _written(one)


def _labels(node: nodes.Node, *, shown: bool = False) -> Iterator[str]:
    """Strings in expressions that read like words of ours; `shown` where they are put out as they are."""
    if isinstance(node, nodes.Const):
        said = node.value if isinstance(node.value, str) else ""
        known = said in KEYS | DATA or said.startswith(("/", "?", "&"))
        if words(said) and not known and (shown or not _CODE.match(said)):
            yield said
        return
    for one, put_out in _inside(node, shown=shown):
        yield from _labels(one, shown=put_out)


def _inside(node: nodes.Node, *, shown: bool) -> Iterator[tuple[nodes.Node, bool]]:
    """The parts of a node that may hold words, and whether each is put out as it is."""
    match node:
        case nodes.Call(node=nodes.Name(name="_" | "gettext" | "ngettext")):
            yield from ((one.value, True) for one in node.kwargs)
        case nodes.Compare() | nodes.Getitem() | nodes.Include() | nodes.Import() | nodes.Extends():
            parts = node.iter_child_nodes()
            yield from (
                (one, False) for one in parts if not isinstance(one, nodes.Const | nodes.Operand)
            )
        case nodes.Output():
            yield from (
                (one, True) for one in node.nodes if not isinstance(one, nodes.TemplateData)
            )
        case nodes.CondExpr():
            yield node.test, False
            yield from ((one, shown) for one in (node.expr1, node.expr2) if one is not None)
        case nodes.Pair():
            yield node.value, False
        case _:
            passes = isinstance(node, nodes.Or | nodes.And | nodes.Concat | nodes.Add)
            yield from ((one, shown and passes) for one in node.iter_child_nodes())


def said_in(path: Path) -> Iterator[str]:
    """First texts of all calls that say something in a Python file; `?` where one is not written out."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name):
            continue
        if node.func.id not in {"gettext", "ngettext", "noted"} or "texts" in path.parts:
            continue
        text = node.args[0]
        if isinstance(text, ast.Constant):
            yield str(text.value)
        elif not isinstance(text, ast.Name | ast.Call | ast.Attribute | ast.Subscript):
            yield f"{path.name}:{node.lineno}: ?"


def outside_in_script(source: str) -> list[str]:
    """Sentences of a script, in quotes or backquotes, that are in no `_()`."""
    code = re.sub(r"(?m)(^|\s)//.*$", "", source)
    strings = re.findall(r'(_\()?("(?:[^"\\\n]|\\.)*"|`[^`]*`)', code)
    return [one for said, one in strings if not said and _is_said(re.sub(r"\$\{[^}]*\}", "", one))]


def _is_said(quoted: str) -> bool:
    if quoted[1:-1] in KEYS or _SELECTOR.search(quoted):
        return False
    return bool(_SENTENCE.search(quoted))


def collected_texts() -> set[str]:
    """Every text of the stored catalogue."""
    with TEMPLATE.open("rb") as file:
        ids = [one.id for one in read_po(file)]
    return {one if isinstance(one, str) else one[0] for one in ids}
