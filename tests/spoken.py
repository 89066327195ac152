"""Where templates say something that no catalogue would hear of."""

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

from jinja2 import Environment, nodes

WEB = Path(__file__).parents[1] / "dictate" / "web"
SAID_IN = {"aria-label", "alt", "placeholder", "title", "label", "summary"}
"""Attributes that are read out or shown."""
UNSAID = {"script", "style", "kbd", "code"}
"""Elements whose text is none of a language: keys, names of files."""
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


def words(text: str) -> str:
    """What is left of a text that some language must say."""
    text = re.sub(r"%\.\df|%[YmdHM]|&\w+;", "", text)
    kept = re.sub(
        r"[^\W\d_]+(?:[’'-][^\W\d_]+)*", lambda one: one[0] if one[0] not in NAMES else "", text
    )
    return kept if re.search(r"[^\W\d_]", kept.replace(GAP, "")) else ""


class Texts(HTMLParser):
    """Every text of a page and every attribute that is read out."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self._inside: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found += [value for name, value in attrs if name in SAID_IN and value and words(value)]
        if tag in UNSAID:
            self._inside.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if self._inside and self._inside[-1] == tag:
            self._inside.pop()

    def handle_data(self, data: str) -> None:
        if not self._inside and words(data):
            self.found.append(" ".join(data.split()))


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
