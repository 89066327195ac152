"""HTML to PDF.

PlutoPrint lays out and prints the same HTML and SVG that a browser shows; its wheels carry all they
need, so a plain pip install prints. Nothing is fetched: a page may use the fonts below and nothing
else. IBM Plex Sans Condensed comes with the program (it keeps many words on a line at a size that can
be read in a barn); what it lacks is printed in DejaVu Sans, which comes with Matplotlib (Cyrillic,
Greek, Arabic, Hebrew …); for other scripts the fonts of the computer are used where it has them.
"""

from io import BytesIO
from pathlib import Path
from urllib.parse import unquote, urlsplit

import matplotlib as mpl
import plutoprint

_OWN = Path(__file__).parent / "fonts"
_WIDE = Path(mpl.get_data_path()) / "fonts" / "ttf"
_FACES = {
    ("Sheet", "normal"): _OWN / "IBMPlexSansCondensed-Regular.ttf",
    ("Sheet", "bold"): _OWN / "IBMPlexSansCondensed-Bold.ttf",
    ("Sheet wide", "normal"): _WIDE / "DejaVuSans.ttf",
    ("Sheet wide", "bold"): _WIDE / "DejaVuSans-Bold.ttf",
}
FONT_FACES = "".join(
    f"@font-face {{ font-family: '{family}'; font-weight: {weight}; src: url('{path.as_uri()}'); }}\n"
    for (family, weight), path in _FACES.items()
)


class _OwnFontsOnly(plutoprint.ResourceFetcher):
    """Refuses every address but those of the fonts above; works offline and leaks nothing."""

    def fetch_url(self, url: str) -> plutoprint.ResourceData:
        path = Path(unquote(urlsplit(url).path))
        if path not in _FACES.values():
            raise plutoprint.Error(f"a sheet may not fetch {url}")
        # Not bytes of ours: PlutoPrint keeps a font until the process ends, when Python's memory is gone.
        return plutoprint.default_resource_fetcher.fetch_url(url)


def print_pages(html: str) -> tuple[int, bytes]:
    """Print a page; return the number of sheets of paper and the PDF. The paper's size is in its CSS."""
    book = plutoprint.Book(plutoprint.PAGE_SIZE_A4, plutoprint.PAGE_MARGINS_NONE)
    book.custom_resource_fetcher = _OwnFontsOnly()
    book.load_html(html, FONT_FACES)
    out = BytesIO()
    book.write_to_pdf_stream(out)
    return book.get_page_count(), out.getvalue()
