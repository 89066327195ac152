"""The visit sheet: what comes first, what it says, and that print cuts nothing off."""

import datetime as dt
import io
import random
import re
import unicodedata
from collections import Counter
from dataclasses import replace
from itertools import chain, count

import pytest
from pypdf import PdfReader

from dictate.record.rows import (
    ActionRow,
    FindingRow,
    FollowUpRow,
    LocomotionRow,
    RemarkRow,
    VisitRow,
)
from dictate.sheets.pdf import print_pages
from dictate.sheets.visit_contents import make_visit_sheet
from dictate.sheets.visit_rows import VisitRows
from dictate.sheets.visit_sheet import visit_sheet_html, visit_sheet_pdf

DAY = dt.date(2026, 3, 2)
VISIT = VisitRow(id=1, farm_id=1, on=DAY, whole_herd=False, trimmer="Pat Muster")
_ids = count(1)
NAMES = [
    "Christiane-Wiesenblu",
    "Коровка-Звёздочка-Но",
    "Γαλαξίας-Αστεροσκόνη",
    "بقرة النجمة الجميلة",
]
PLACES = [
    ("sole ulcer", "outer", 4),
    ("white line disease", "outer", 3),
    ("digital dermatitis", None, 10),
    ("heel horn erosion", None, 6),
]


def row(table, animal, **values):
    return table(
        id=next(_ids), farm_id=1, visit_id=1, animal_id=animal, animal=str(animal), on=DAY, **values
    )


def sheet_of(**rows):
    return make_visit_sheet(farm="Hof Sonnental", visit=VISIT, rows=VisitRows(**rows))


def large_visit(animals=60, seed=3):
    """A visit with a lesion on every animal, blocks, products, referrals and names of four scripts."""
    rng = random.Random(seed)
    rows = {"names": {}, "findings": [], "actions": [], "follow_ups": [], "remarks": []}
    for number in range(animals):
        animal = 100 + 7 * number
        name = NAMES[number % len(NAMES)]
        rows["names"][animal] = name
        for _ in range(rng.choice([1, 1, 2])):
            lesion, claw, zone = rng.choice(PLACES)
            foot = rng.choice(["LF", "RF", "LH", "RH"])
            rows["findings"].append(
                row(FindingRow, animal, lesion=lesion, foot=foot, claw=claw, zone=zone)
            )
            if claw:
                block = row(
                    ActionRow, animal, kind="block", foot=foot, claw="inner", material="rubber"
                )
                rows["actions"].append(block)
                due = DAY + dt.timedelta(days=28)
                rows["follow_ups"].append(row(FollowUpRow, animal, kind="block off", due_on=due))
        for foot in ("LF", "RF", "LH", "RH"):
            rows["actions"].append(row(ActionRow, animal, kind="functional trim", foot=foot))
        if number % 11 == 0:
            rows["actions"].append(row(ActionRow, animal, kind="referred"))
            rows["remarks"].append(row(RemarkRow, animal, text="swollen to the hock"))
    return rows


def printed(pdf):
    return PdfReader(io.BytesIO(pdf))


def words_of(pdf):
    text = " ".join(page.extract_text() for page in printed(pdf).pages)
    return re.sub(r"\s+", " ", unicodedata.normalize("NFKC", text))  # undoes ligatures


def test_referrals_come_first_and_stand_out():
    sheet = sheet_of(
        findings=[
            row(FindingRow, 9, lesion="sole ulcer", foot="LH"),
            row(FindingRow, 412, lesion="toe necrosis", foot="RH"),
        ],
        actions=[row(ActionRow, 412, kind="referred")],
        follow_ups=[row(FollowUpRow, 9, kind="vet", due_on=DAY, when="today")],
    )
    assert [line.animal for line in sheet.refer] == ["9", "412"]
    assert not sheet.severe
    assert not sheet.lines
    html = visit_sheet_html(sheet)
    assert html.index("Refer to vet: 2") < html.index('class="line"')


def test_no_referral_is_said_too():
    assert "no animal was referred" in visit_sheet_html(sheet_of())


def test_what_was_said_to_be_bad_stands_out_and_nothing_is_judged():
    sheet = sheet_of(
        findings=[
            row(FindingRow, 1, lesion="sole ulcer", foot="LH", severity="severe"),
            row(FindingRow, 2, lesion="toe necrosis", foot="LH"),
        ],
        locomotion=[
            row(LocomotionRow, 3, score=5, scale="1-5"),
            row(LocomotionRow, 4, score=3, scale="0-3"),
            row(LocomotionRow, 5, score=3, scale="1-5"),
            row(LocomotionRow, 6, score=3),
        ],
    )
    assert [line.animal for line in sheet.severe] == ["1", "3", "4"]
    assert [line.animal for line in sheet.lines] == ["2", "5", "6"]
    page = visit_sheet_html(sheet)
    assert "<span>locomotion 3 (scale not said)</span>" in page
    assert set(re.findall(r"<strong>([^<]*(?:severe|score))</strong>", page)) == {
        "LH: sole ulcer, severe", "locomotion 5 (scale 1-5), the worst score", "locomotion 3 (scale 0-3), the worst score",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("whole_herd", "words"),
    [(True, "Whole herd trimmed"), (False, "not the whole herd"), (None, "Not stated")],
)
def test_it_says_which_animals_were_trimmed(whole_herd, words):
    visit = VisitRow(id=1, farm_id=1, on=DAY, whole_herd=whole_herd)
    assert words in visit_sheet_html(make_visit_sheet(farm="Hof", visit=visit, rows=VisitRows()))


def test_a_product_brings_the_caution_and_stands_as_said():
    html = visit_sheet_html(
        sheet_of(actions=[row(ActionRow, 7, kind="topical", foot="LH", material="the blue stuff")])
    )
    assert "7 (the blue stuff)" in html
    assert "No withdrawal time is recorded" in html
    assert "the herd&#39;s vet, the product label and local law decide" in html


def test_follow_ups_stand_by_date_and_undated_ones_last():
    sheet = sheet_of(
        follow_ups=[
            row(FollowUpRow, 12, kind="look again", due_on=dt.date(2026, 4, 1)),
            row(
                FollowUpRow,
                9,
                kind="look again",
                feet=("LH",),
                claw="inner",
                due_on=dt.date(2026, 4, 1),
            ),
            row(
                FollowUpRow,
                3,
                kind="wrap off",
                due_on=dt.date(2026, 3, 4),
                snoozed_to=dt.date(2026, 3, 6),
            ),
            row(FollowUpRow, 4, kind="trim", when="at dry-off"),
            row(FollowUpRow, 5, kind="block off", due_on=dt.date(2026, 3, 3), done_on=DAY),
        ]
    )
    assert [(line.words, line.what) for line in sheet.due] == [
        ("6 Mar 2026", (("wrap off", ("3",)),)),
        ("1 Apr 2026", (("look again", ("9 (LH inner)", "12")),)),
        ("No date said", (("trim, at dry-off", ("4",)),)),
    ]


def test_a_follow_up_without_a_foot_takes_the_feet_of_its_own_note():
    due = {"kind": "look again", "due_on": dt.date(2026, 4, 1)}
    sheet = sheet_of(
        findings=[
            row(FindingRow, 12, lesion="sole ulcer", foot="RH", claw="outer", entry_id=1),
            row(FindingRow, 12, lesion="no lesion", foot="LH", entry_id=1),
            row(FindingRow, 12, lesion="sole ulcer", foot="LF", entry_id=2),
            row(FindingRow, 9, lesion="thin sole", foot="LH", entry_id=3),
        ],
        actions=[row(ActionRow, 9, kind="wrap", foot="RF", entry_id=3)],
        follow_ups=[
            row(FollowUpRow, 12, entry_id=1, **due),
            row(FollowUpRow, 9, entry_id=3, kind="wrap off", due_on=dt.date(2026, 4, 1)),
        ],
    )
    assert [line.what for line in sheet.due] == [
        (("look again", ("12 (RH)",)), ("wrap off", ("9 (RF)",)))
    ]


def test_waiting_entries_are_owned_up_to():
    sheet = make_visit_sheet(farm="Hof", visit=VISIT, rows=VisitRows(), waiting=3)
    assert "3 more entries of this visit still wait" in visit_sheet_html(sheet)


def test_hostile_text_stays_text():
    rows = {"remarks": [row(RemarkRow, 1, text="</td><script>alert(1)</script>")]}
    html = visit_sheet_html(make_visit_sheet(farm="<b>&'\"", visit=VISIT, rows=VisitRows(**rows)))
    assert "<script>" not in html
    assert "&lt;b&gt;&amp;" in html


@pytest.mark.parametrize(("paper", "size"), [("A4", (595, 842)), ("Letter", (612, 792))])
def test_sixty_animals_with_lesions_take_two_pages(paper, size):
    """Every number, name and follow-up is on the paper, inside its edges."""
    rows = large_visit()
    pdf = visit_sheet_pdf(sheet_of(**rows), paper=paper)
    pages = printed(pdf).pages
    assert len(pages) == 2
    assert [round(float(side)) for side in pages[0].mediabox[2:]] == list(size)
    text = words_of(pdf)
    for animal in rows["names"]:
        assert str(animal) in text
    for name in NAMES[:3]:
        for part in name.split("-"):
            assert part in text
    assert "The herd" not in text
    assert "Page 2 of 2" in text
    starts = []
    for page in pages:
        page.extract_text(
            visitor_text=lambda text, _cm, tm, *_: starts.append(tm[4]) if text.strip() else None
        )
    assert min(starts) > 0
    assert max(starts) < size[0]


def mixed_visit(animals, seed=11):
    """A visit with severe, very lame, referred, clean and only-trimmed animals, five-digit numbers."""
    rng = random.Random(seed)
    rows = {"findings": [], "actions": [], "follow_ups": [], "locomotion": []}
    refer, severe = set(), set()
    for animal in rng.sample(range(10_000, 99_999), animals):
        way = rng.choice(["severe", "refer", "both", "lame", "clean", "trim", "mild", "mild"])
        if len(rows["findings"]) == 0:
            way = "both"  # the visit of one animal has it in the box, too
        rows["actions"] += [row(ActionRow, animal, kind="functional trim", foot=f) for f in ("LF", "RF", "LH", "RH")]  # fmt: skip
        if way == "clean":
            rows["findings"] += [row(FindingRow, animal, lesion="no lesion", foot=f) for f in ("LF", "RF", "LH", "RH")]  # fmt: skip
        elif way != "trim":
            lesion, claw, zone = rng.choice(PLACES)
            said = "severe" if way in {"severe", "both"} else "mild"
            rows["findings"].append(row(FindingRow, animal, lesion=lesion, foot="LH", claw=claw, zone=zone, severity=said))  # fmt: skip
        if way in {"severe", "both"} and rng.random() < 0.3:  # said twice, printed once
            rows["locomotion"].append(row(LocomotionRow, animal, score=5, scale="1-5"))
        if way == "lame":
            rows["locomotion"].append(row(LocomotionRow, animal, score=3, scale="0-3"))
        if way in {"refer", "both"}:
            rows["actions"].append(row(ActionRow, animal, kind="referred"))
            refer.add(str(animal))
        elif way in {"severe", "lame"}:
            severe.add(str(animal))
    return rows, refer, severe


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("animals", [1, 33, 60, 150, 400])
def test_each_referred_or_severe_animal_is_printed_once_in_its_box(animals, paper):
    """Counted in the text of the PDF, read by pypdf; no letter is smaller than 7 points, no line than 9."""
    rows, refer, severe = mixed_visit(animals)
    pdf = visit_sheet_pdf(sheet_of(**rows), paper=paper)
    assert refer
    boxes = in_boxes(words_of(pdf))
    assert sorted(boxes["refer"]) == sorted(refer)
    assert sorted(boxes["severe"]) == sorted(severe)
    everybody = [str(one) for one in {row.animal_id for row in rows["actions"]}]
    assert sorted(chain.from_iterable(boxes.values())) == sorted(everybody)
    sizes = letter_sizes(pdf)
    assert min(sizes) >= 7
    assert max(sizes, key=sizes.get) >= 9


def in_boxes(text):
    """The five-digit numbers in each part of the sheet, as often as they stand there."""
    heads = {"Refer to vet:": "refer", "Severe or very lame:": "severe", "Others:": "others", "Animals:": "others", "Without a lesion": "alike"}  # fmt: skip
    text = text.split("To do next")[0]
    boxes = {name: [] for name in heads.values()}
    parts = re.split(f"({'|'.join(heads)})", text)
    for head, part in zip(parts[1::2], parts[2::2], strict=True):
        boxes[heads[head]] += re.findall(r"(?<![\d.])\d{5}(?!\d)", part)
    return boxes


def letter_sizes(pdf):
    """Sizes of the printed letters in points, with how many letters have each."""
    sizes = Counter()
    for page in printed(pdf).pages:

        def see(text, cm, tm, _font, size):
            if text.strip():
                sizes[round(abs(size * (tm[2] * cm[1] + tm[3] * cm[3])), 2)] += len(text.strip())

        page.extract_text(visitor_text=see)
    return sizes


def test_clean_feet_are_said_in_words_and_what_all_got_once():
    feet = ("LF", "RF", "LH", "RH")
    rows = {"actions": [row(ActionRow, animal, kind="functional trim", foot=foot) for animal in range(1, 9) for foot in feet]}  # fmt: skip
    rows["findings"] = [row(FindingRow, animal, lesion="no lesion", foot=foot) for animal in (1, 2, 3) for foot in feet]  # fmt: skip
    rows["findings"].append(row(FindingRow, 4, lesion="sole ulcer", foot="LH"))
    rows["actions"].append(row(ActionRow, 9, kind="block", foot="LH", claw="inner"))
    sheet = sheet_of(**rows)
    assert sheet.all_done == "functional trim all four feet: every animal but 9"
    assert [(group.words, group.animals) for group in sheet.alike] == [
        ("Functional trim all four feet", ("5", "6", "7", "8")),
        ("All four feet clean", ("1", "2", "3")),
        ("Block LH inner", ("9",)),
    ]
    assert [(line.animal, line.done) for line in sheet.lines] == [("4", ())]


def test_page_one_has_the_trimmer_and_the_key_and_every_page_its_count():
    rows, *_ = mixed_visit(150)
    sheet = make_visit_sheet(
        farm='Hof "Sonnental" \\A', visit=VISIT, rows=VisitRows(**rows), contact="0170 555 01 23"
    )
    pages = printed(visit_sheet_pdf(sheet)).pages
    first = re.sub(r"\s+", " ", pages[0].extract_text())
    for words in (
        "Pat Muster",
        "0170 555 01 23",
        "2 Mar 2026",
        "LF left front",
        "4 sole towards the heel",
    ):
        assert words in first
    for at, page in enumerate(pages, start=1):
        text = page.extract_text()
        assert f"Page {at} of {len(pages)}" in text
        assert 'Hof "Sonnental" \\A, 2 Mar 2026' in text


def test_twelve_findings_and_a_long_product_name_are_all_printed():
    places = [(f, c, z) for f, c, z in zip("LF LF RF RF LH LH LH LH RH RH RH RH".split(), ["outer", "inner"] * 6, range(1, 13), strict=True)]  # fmt: skip
    findings = [
        row(
            FindingRow,
            5,
            lesion="white line abscess",
            foot=f,
            claw=c,
            zone=z,
            tissue=("corium exposed", "pus"),
        )
        for f, c, z in places
    ]
    product = "Donaudampfschifffahrtsgesellschaftssalbe" * 2
    text = words_of(
        visit_sheet_pdf(
            sheet_of(
                findings=findings, actions=[row(ActionRow, 5, kind="topical", material=product)]
            )
        )
    )
    for foot, claw, zone in places:
        assert f"{foot} {claw} zone {zone}: white line abscess" in text
    assert product in text.replace(" ", "")


def test_printing_fetches_nothing_from_outside(tmp_path):
    """Neither an address nor a file of the computer gets into a sheet."""
    secret = tmp_path / "secret.svg"
    secret.write_text('<svg xmlns="http://www.w3.org/2000/svg"><text>secret</text></svg>')
    pages, pdf = print_pages(
        f'<p>plain</p><img src="{secret.as_uri()}"><img src="http://example.invalid/x.png">'
    )
    assert pages == 1
    assert "secret" not in words_of(pdf)
    assert "plain" in words_of(pdf)


def test_what_was_said_of_the_whole_animal_and_of_a_region_is_on_the_sheet():
    html = visit_sheet_html(
        sheet_of(
            findings=[row(FindingRow, 1, lesion="abscess", foot="LH", claw="outer", region="toe")],
            status=[row(RemarkRow, 1, text="very lame")],
        )
    )
    assert "LH outer toe: abscess" in html
    assert "very lame" in html


def test_a_served_sheet_has_a_way_back_and_a_written_one_has_none() -> None:
    sheet = sheet_of()
    assert "<nav" not in visit_sheet_html(sheet)
    assert '<a href="/bill/1">Back</a>' in visit_sheet_html(sheet, way=[("Back", "/bill/1")])


def test_a_sheet_names_nobody_where_no_name_was_given() -> None:
    nobody = make_visit_sheet(
        farm="Hof Sonnental", visit=replace(VISIT, trimmer=""), rows=VisitRows(), contact=""
    )
    assert "Trimmer:" not in visit_sheet_html(nobody)
    assert "Trimmer: <strong>Pat Muster</strong>" in visit_sheet_html(sheet_of())
