"""The herd picture's page and PDF."""

import dataclasses
import datetime as dt
import io
import random
import re
import unicodedata
from collections import defaultdict
from xml.etree import ElementTree as ET

import pytest
from pypdf import PdfReader

from dictate import texts
from dictate.record.picture import picture_of_rows
from dictate.record.rows import FindingRow, VisitRow
from dictate.sheets.herd_contents import headlines
from dictate.sheets.herd_sheet import MOST_CASES, herd_sheet_html, herd_sheet_pdf
from tests.spoken import OPEN, Pseudo

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
    return herd_sheet_html(picture_of_rows("Hof <Sonnental>", VISITS, list(rows()), []))


def test_every_figure_has_its_denominator_and_the_kinds_of_visit_stand_apart(page):
    """Of 23/60 the Wilson interval is 27.1-51.0 (table of published values in test_intervals)."""
    whole, chosen = page.split("Visits where chosen animals were trimmed (1)")
    assert "Visits where the whole herd was trimmed (2)" in whole
    assert "23 of 60 (38.3 %)" in whole
    assert "5 animals" in re.sub(r"<[^>]+>", " ", chosen)
    assert ">down" in whole
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


def test_plots_that_are_kept_follow_the_figures_and_the_language():
    """The same page twice is the same; other figures, and another language, are drawn anew."""
    found = list(rows())
    picture = picture_of_rows("Alder Farm", VISITS, found, [])
    before = herd_sheet_html(picture, part="annex")
    assert herd_sheet_html(picture, part="annex") == before
    fewer = picture_of_rows("Alder Farm", VISITS, found[5:], [])
    assert plots(herd_sheet_html(fewer, part="annex")) != plots(before)
    try:
        texts.speak("de", Pseudo())
        said = plots(herd_sheet_html(picture, part="annex"))
    finally:
        texts.choose("en")
    assert said != plots(before)
    assert all(OPEN in plot for plot in said)
    assert herd_sheet_html(picture, part="annex") == before


def plots(page):
    return re.findall(r"<svg.*?</svg>", page, re.DOTALL)


def test_it_prints(page):
    pdf = herd_sheet_pdf(picture_of_rows("Hof", VISITS, list(rows()), []), paper="Letter")
    reader = PdfReader(io.BytesIO(pdf))
    assert [round(float(side)) for side in reader.pages[0].mediabox[2:]] == [612, 792]
    assert "Herd picture: Hof" in reader.pages[0].extract_text()


def test_an_empty_period_says_so():
    assert "No visit falls into this period" in herd_sheet_html(picture_of_rows("Hof", [], [], []))


def herd_over_time(animals=120, visits=4):
    """Visits to the whole herd with some lesion on a third of the animals, five forms of it."""
    rng = random.Random(4)
    days = [VisitRow(id=at + 1, farm_id=1, on=SPRING + dt.timedelta(days=120 * at), whole_herd=True) for at in range(visits)]  # fmt: skip
    found, at = [], 0
    for visit in days:
        for animal in range(animals):
            at += 1
            lesion = rng.choice(["sole ulcer", "double sole", "white line disease", "heel horn erosion", "sole haemorrhage"]) if rng.random() < 0.33 else "no lesion"  # fmt: skip
            found.append(FindingRow(id=at, farm_id=1, visit_id=visit.id, animal_id=animal, animal=str(1000 + animal), on=visit.on, lesion=lesion, foot="LH", claw="outer"))  # fmt: skip
    return days, found


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_two_pages_say_it_and_the_tables_are_an_annex(paper):
    visits, found = herd_over_time()
    pdf = herd_sheet_pdf(picture_of_rows("Hof", visits, found, []), paper=paper)
    texts = [page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages]
    pages = [re.sub(r"\s+", " ", unicodedata.normalize("NFKC", text)) for text in texts]
    assert "Up since the visit before" in pages[0]
    assert "Which animals" in pages[0]
    assert pages[1].startswith("Open cases")
    assert pages[2].startswith("Annex: all figures")
    assert "95 % interval" not in pages[0] + pages[1]
    for page in PdfReader(io.BytesIO(pdf)).pages:
        assert not re.fullmatch(r"By \w+|.*each lesion|.*visit before.*|.*open cases|.*said|.*interval", lowest(page))  # fmt: skip


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_twenty_years_are_still_two_pages_and_a_light_annex_with_the_numbers_of_each_year(paper):
    """A point a year is drawn; 100 visits, 1,500 open cases, and the page stays within 300 kB."""
    visits, found = herd_over_time(animals=1500, visits=8)
    days = [dataclasses.replace(visits[0], id=100 + at, on=SPRING + dt.timedelta(days=73 * at)) for at in range(92)]  # fmt: skip
    days = [dataclasses.replace(one, on=one.on + dt.timedelta(days=20 * 365)) for one in visits] + days  # fmt: skip
    on = {one.id: one.on for one in days}
    found = [dataclasses.replace(one, on=on[one.visit_id]) for one in found]
    found += [
        FindingRow(id=50_000 + 3 * at + n, farm_id=1, visit_id=100 + at, animal_id=n, animal=str(1000 + n),
                   on=on[100 + at], lesion="thin sole" if n < 2 else "no lesion", foot="RH")
        for at in range(92) for n in range(3)
    ]  # fmt: skip
    picture = picture_of_rows("Hof", days, found, [])
    (trim,) = picture.trims
    assert trim.course.step == "year"
    assert len(trim.course.days) <= 30
    assert len(picture.open_cases) > MOST_CASES
    page = herd_sheet_html(picture, paper=paper)
    assert len(page.encode()) <= 300_000
    pdf = PdfReader(io.BytesIO(herd_sheet_pdf(picture, paper=paper)))
    texts = [unicodedata.normalize("NFKC", one.extract_text()) for one in pdf.pages]
    pages = [re.sub(r"\s+", " ", text) for text in texts]
    assert "From year to year" in pages[0]
    assert "Which animals" in pages[0]
    assert "Open cases, those found at the most visits first" in pages[1]
    assert pages[2].startswith("Annex: all figures")
    assert len(pages) <= 20
    annex = " ".join(pages[2:])
    assert "2027 thin sole 2 3 animals 66.7" in annex
    assert f"200 found at the most visits of {len(picture.open_cases)}" in annex


def herd_of_all_feet(animals):
    """Two fifths of the animals with one or two of seven lesions at any foot and claw, four visits."""
    rng = random.Random(4)
    lesions = ["sole ulcer", "double sole", "white line disease", "heel horn erosion", "sole haemorrhage", "digital dermatitis", "toe ulcer"]  # fmt: skip
    visits = [VisitRow(id=at + 1, farm_id=1, on=dt.date(2025, 3, 3) + dt.timedelta(days=120 * at), whole_herd=True) for at in range(4)]  # fmt: skip
    found = []
    for visit in visits:
        for animal in range(animals):
            ill = rng.choice([1, 1, 1, 2]) if rng.random() < 0.4 else 0
            for _ in range(max(ill, 1)):
                lesion = rng.choice(lesions) if ill else "no lesion"
                place = {"foot": rng.choice(["LH", "RH", "LF", "RF"]), "claw": rng.choice(["outer", "inner"])}  # fmt: skip
                severity = rng.choice([None, "mild", "severe"]) if ill else None
                found.append(FindingRow(
                    id=len(found) + 1, farm_id=1, visit_id=visit.id, animal_id=animal, animal=str(1000 + animal),
                    on=visit.on, lesion=lesion, lactation=1 + animal % 4, severity=severity, **place,
                ))  # fmt: skip
    return visits, found


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("animals", [1, 33, 60, 150])
def test_no_page_begins_with_the_last_words_of_a_sentence(animals, paper):
    """Sixty animals on Letter had one word of a paragraph on a page of its own."""
    pdf = herd_sheet_pdf(picture_of_rows("Hof", *herd_of_all_feet(animals), []), paper=paper)
    for page in PdfReader(io.BytesIO(pdf)).pages:
        *_, first = lines_of(page).values()
        assert not re.match(r"[a-z]", first.strip())


def lowest(page):
    """The words at the foot of a page, above its number."""
    foot, other, *_ = lines_of(page).values()
    assert "Page" in foot
    return other.strip()


def lines_of(page):
    """The words of each line by its height, from the foot up."""
    lines = defaultdict(str)

    def see(text, cm, tm, *_):
        if text.strip():
            lines[round(cm[3] * tm[5] + cm[5])] += text

    page.extract_text(visitor_text=see)
    return dict(sorted(lines.items()))


def test_up_and_down_are_told_apart_from_chance_and_from_one_animal():
    """Newcombe's interval of 20/100 - 5/100 leaves out zero, that of 7/100 - 5/100 does not."""
    visits = VISITS[:2]
    counts = {
        "sole ulcer": (5, 20),
        "double sole": (5, 7),
        "toe ulcer": (6, 6),
        "thin sole": (9, 2),
    }
    rows, at = [], 0
    for place, visit in enumerate(visits):
        for lesion, given in {**counts, "no lesion": (100, 100)}.items():
            for animal in range(given[place]):
                at += 1
                rows.append(FindingRow(id=at, farm_id=1, visit_id=visit.id, animal_id=animal, animal=str(animal), on=visit.on, lesion=lesion, foot="LH"))  # fmt: skip
    head = headlines(picture_of_rows("Hof", visits, rows, []))
    assert [(one.lesion, one.is_clear) for one in head.up] == [
        ("sole ulcer", True),
        ("double sole", False),
    ]
    assert [one.lesion for one in head.down] == ["thin sole"]
    assert head.same == ("toe ulcer 6\u00a0of\u00a0100\u00a0(6\u00a0%)",)
    assert "on 7 Sep 2026" in head.summary
