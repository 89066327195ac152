"""The docs' glossary as data, for the catalogue and for the page."""

_CELLS = 2


def read_glossary(document: str) -> dict[str, list[tuple[str, str]]]:
    """Titles of a glossary's chapters to their words with what is meant by them."""
    chapters: dict[str, list[tuple[str, str]]] = {}
    title = ""
    for line in document.splitlines():
        if line.startswith("## "):
            title = line.removeprefix("## ")
        cells = [cell.strip() for cell in line.strip("| ").split(" | ")]
        if line.startswith("| ") and len(cells) == _CELLS and cells[0] != "word":
            chapters.setdefault(title, []).append((cells[0], cells[1]))
    return chapters
