"""The reference pages of the grammar, written from its own tables.

    python -m grammar.lexicon.reference docs/reference

A test fails when a page differs from what this makes.
"""

import sys
from collections.abc import Callable, Iterable
from pathlib import Path

from grammar.checks import CHECKS
from grammar.lexicon.lexicon import Lexicon
from grammar.lexicon.load import load_lexicon
from grammar.say.phrases import phrase_topics

_MADE = "<!-- Made by `python -m grammar.lexicon.reference docs/reference`; change the grammar, not this page. -->"


def _table(head: Iterable[str], rows: Iterable[Iterable[str]]) -> list[str]:
    head = list(head)
    lines = [head, ["---"] * len(head), *rows]
    return ["| " + " | ".join(cells) + " |" for cells in lines]


def checks_page() -> str:
    """Return docs/reference/checks.md: every check with what raises it and how to clear it."""
    lines = [
        "# Checks", "", _MADE, "",
        "Each check looks at one entry and points at the words that want a person's look.",
        "A check never changes a value.",
        "The examples are words that raise the check; what stands in brackets is the situation.", "",
    ]  # fmt: skip
    for row in CHECKS.values():
        lines += [
            f"## {row.id}", "", row.what, "",
            f"- Why: {row.why}", f"- To clear it: {row.clear}", f"- Example: “{row.example}”", "",
        ]  # fmt: skip
    return "\n".join(lines)


def lexicon_page() -> str:
    """Return docs/reference/lexicon.md: the files, the lesions with their codes, the sources."""
    lexicon = load_lexicon()
    return "\n".join([
        "# Lexicon", "", _MADE, "",
        "The lexicon is data in `grammar/lexicon/*.toml`; it is checked when it is loaded, and every fault is reported at once.",
        "A row names its source; *CP* is common practice.",
        "Its version, a hash over all files, is kept with every note.", "",
        "## Lesions", "",
        "Codes are those of the ICAR atlas as far as a published text confirms them.",
        "A code marked “not verified” is from memory: it is never shown as the standard's.",
        "Zones are where a lesion is usually found; another zone is only marked.", "",
        *_lesions(lexicon), "",
        "## Sound-alike numbers", "",
        *_table(("number word", "sounds like", "source"), ((p.a, p.b, p.source) for p in lexicon.numbers.pairs)), "",
        "## Mis-heard words", "",
        "A phrase of the lexicon is also known with these words in place of its own; the slot is then marked as repaired.", "",
        *_table(("heard", "meant", "source"), ((c.heard, c.meant, c.source) for c in lexicon.files["confusions"].confusion)), "",  # type: ignore[attr-defined]
        "## Rules", "",
        "Rules join neighbouring pieces; everything else is looked up as it stands.", "",
        *_table(("rule", "example", "patterns"), ((r.id, f"“{r.example}”", ", ".join(f"`{p}`" for p in r.patterns)) for r in lexicon.rules)), "",
        "## Words of the net", "",
        "Words that change what is said near a lesion or a piece of work; `grammar/lexicon/risks.toml` has them.",
        "Where nothing came of them, the check `word-unused` asks.", "",
        *_table(("class", "example", "asked"), ((r.name, f"“{r.example}”", f"“{r.ask.format(thing='…')}”") for r in lexicon.files["risks"].risk)), "",  # type: ignore[attr-defined]
        "## Sources", "",
        *_table(("key", "source"), sorted(lexicon.sources.items())), "",
    ])  # fmt: skip


def _lesions(lexicon: Lexicon) -> list[str]:
    rows = []
    for row in lexicon.lesions.values():
        code = (
            "" if row.code is None else row.code + ("" if row.code_verified else " (not verified)")
        )
        zones = ", ".join(map(str, row.zones)) + (f" ({row.zones_source})" if row.zones else "")
        rows.append((row.name, code, row.group, zones, row.source))
    return _table(("lesion", "code", "group", "usual zones", "source"), rows)


def phrases_page() -> str:
    """Return docs/reference/phrases.md: everything that can be said."""
    lines = [
        "# What can be said", "", _MADE, "",
        "`dictate phrases` prints the short form of this page.",
        "Order is free; words such as “the”, “on”, “and” may stand anywhere.", "",
    ]  # fmt: skip
    for topic in phrase_topics():
        rows = ((name, "; ".join(phrases)) for name, phrases in topic.rows)
        lines += [f"## {topic.title}", "", *_table(("recorded", "said"), rows), ""]
    return "\n".join(lines)


PAGES: dict[str, Callable[[], str]] = {
    "checks.md": checks_page,
    "lexicon.md": lexicon_page,
    "phrases.md": phrases_page,
}
"""File name -> the function that makes it."""


def main() -> None:
    folder = Path(sys.argv[1])
    for name, make in PAGES.items():
        (folder / name).write_text(make(), encoding="utf-8")


if __name__ == "__main__":
    main()
