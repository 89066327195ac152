"""The herd picture's page and PDF."""

import datetime as dt
import io
import re
from xml.etree import ElementTree as ET

import pytest
from pypdf import PdfReader

from dictate.record.picture import draw_herd_picture
from dictate.record.rows import FindingRow, VisitRow
from dictate.sheets.herd_sheet import herd_sheet_html, herd_sheet_pdf

SPRING, AUTUMN = dt.date(2026, 3, 2), dt.date(2026, 9, 7)
VISITS = [
    VisitRow(id=1, farm_id=1, on=SPRING, whole_herd=True),
    VisitRow(id=2, farm_id=1, on=AUTUMN, whole_herd=True),
    VisitRow(id=3, farm_id=1, on=dt.date(2026, 6, 1), whole_herd=False),
]


def rows():
    at = 0
    for visit, animals, ill in ((VISITS[0], 60, 23), (VISITS[1], 60, 9), (VISITS[2], 5, 5)):
        for animal in range(animals):
            at += 1
            lesion = "digital dermatitis" if animal < ill else "no lesion"
            yield FindingRow(
                id=at, farm_id=1, visit_id=visit.id, animal_id=animal, animal=str(animal), on=visit.on,
                lesion=lesion, foot="LH", zone=10, stage="M2" if animal < ill else None, lactation=1 + animal % 3,
            )  # fmt: skip


@pytest.fixture(scope="module")
def page():
    return herd_sheet_html(draw_herd_picture("Hof <Sonnental>", VISITS, list(rows()), []))


def test_every_figure_has_its_denominator_and_the_kinds_of_visit_stand_apart(page):
    """Of 23/60 the Wilson interval is 27.1-51.0 (table of published values in test_intervals)."""
    whole, chosen = page.split("Visits where chosen animals were trimmed (1)")
    assert "Visits where the whole herd was trimmed (2)" in whole
    assert "23 of 60 (38.3 %)" in whole
    assert "5 animals" in re.sub(r"<[^>]+>", " ", chosen)
    assert "not up" in whole
    assert "must not be compared" in page
    assert "not veterinary advice" in page


def test_text_is_escaped_and_ids_differ(page):
    assert "Hof &lt;Sonnental&gt;" in page
    ids = re.findall(r'\bid="([^"]+)"', page)
    assert len(ids) == len(set(ids))


def test_plots_say_their_figures_to_readers_and_are_black_and_white(page):
    plots = [ET.fromstring(text) for text in re.findall(r"<svg.*?</svg>", page, flags=re.DOTALL)]
    assert len(plots) == 5
    for plot in plots:
        desc = plot.find("{http://www.w3.org/2000/svg}desc")
        assert "%" in desc.text
    colours = set(re.findall(r"#[0-9a-f]{6}\b", page))
    assert colours <= {"#000000", "#ffffff", "#262626"}


def test_it_prints(page):
    pdf = herd_sheet_pdf(draw_herd_picture("Hof", VISITS, list(rows()), []), paper="Letter")
    reader = PdfReader(io.BytesIO(pdf))
    assert [round(float(side)) for side in reader.pages[0].mediabox[2:]] == [612, 792]
    assert "Herd picture: Hof" in reader.pages[0].extract_text()


def test_an_empty_period_says_so():
    assert "No visit falls into this period" in herd_sheet_html(
        draw_herd_picture("Hof", [], [], [])
    )
