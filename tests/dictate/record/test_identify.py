"""Animal numbers against published numbers; each source is named beside its row."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dictate.errors import RosterError
from dictate.record.identify import check_digit, herd_warnings, read_ear_tag, read_electronic_number

UK_PUBLISHED = [
    # Encyclopaedia article on British ear tags: what the numbers of herd 123450 would be.
    "UK 123450 600001",
    "UK 123450 700002",
    "UK 123450 100003",
    # A herd's public page.
    "UK 284205 600015",
    "UK 284205 700016",
    "UK 284205 100017",
    # ICAR Animal Data Exchange, list of well-known identifiers.
    "UK230011200123",
]


@pytest.mark.parametrize("tag", UK_PUBLISHED)
def test_published_uk_numbers_have_no_warning(tag):
    assert read_ear_tag(tag).warnings == ()


def test_an_illustrative_uk_number_is_warned_about_and_kept():
    """UK 123456 600001 stood in older copies of the article as a number that "might" be."""
    tag = read_ear_tag("UK 123456 600001")
    assert tag.digits == "123456600001"
    assert "check digit 6" in tag.warnings[0]
    assert "gives 1" in tag.warnings[0]


@pytest.mark.parametrize(
    ("country", "digits", "expected"),
    [
        # German central cattle database, developer pages (worked example of Croatia: sum 656, digit 6).
        ("HR", "6234567890", 6),
        # Same pages, Finland: sum 146, up to the next ten 4; the page's picture shows a placeholder 1.
        ("FI", "1234567890", 4),
        # Same pages, Luxembourg: sum 170, remainder 5, distance from 9 is 4.
        ("LU", "123456789", 4),
    ],
)
def test_worked_examples_of_other_countries(country, digits, expected):
    assert check_digit(country, digits) == expected


@given(st.integers(0, 10**11 - 1), st.integers(0, 10), st.integers(1, 9))
def test_a_wrong_uk_digit_is_noticed_unless_off_by_seven(number, place, step):
    """Single digits are caught, save 0/7, 1/8 and 2/9, as arithmetic by 7 must."""
    body = str(number).zfill(11)
    if body.startswith("9"):
        return
    wrong = body[:place] + str((int(body[place]) + step) % 10) + body[place + 1 :]
    if wrong.startswith("9"):
        return
    right, other = (check_digit("UK", text[:6] + "0" + text[6:]) for text in (body, wrong))
    assert (right == other) == (abs(int(body[place]) - int(wrong[place])) == 7)


@pytest.mark.parametrize(
    "tag", ["UK 912345 612345", "DE 01 234 56789", "DK 12345678901", "IE 12 34567 8 9012"]
)
def test_no_rule_no_warning(tag):
    """Northern Ireland, Germany and Denmark have other schemes or no digit; Ireland's rule is not published."""
    assert read_ear_tag(tag).warnings == ()


@pytest.mark.parametrize("tag", ["", "412", "UK", "cow 412", "UK 1234 567-A x"])
def test_what_is_no_ear_tag_says_what_to_do(tag):
    with pytest.raises(RosterError, match="management number"):
        read_ear_tag(tag)


@pytest.mark.parametrize(
    ("number", "kind", "holder"),
    [
        ("840003123456789", "country", "United States"),  # ICAR ADE example of usa.ain
        ("124 000299999999", "country", "Canada"),  # printed example of the Canadian tag agency
        ("899123456789012", "country", "Northern Ireland"),  # Regulation (EU) 2021/520
        ("982000123456789", "manufacturer", ""),  # ISO 24631: manufacturer codes begin with 9
        ("999000000000001", "test", ""),
        ("005000000000001", "unknown", ""),
    ],
)
def test_electronic_numbers(number, kind, holder):
    read = read_electronic_number(number)
    assert (read.kind, read.holder) == (kind, holder)
    assert bool(read.warnings) == (kind in {"test", "unknown"})


@given(st.text(max_size=20))
def test_any_text_is_read_or_refused_in_words(text):
    for read in (read_electronic_number, read_ear_tag):
        try:
            read(text)
        except RosterError as error:
            assert error.remedy


def test_a_herd_s_warnings_are_grouped_and_counted():
    """A roster of a thousand test numbers is one line, not a thousand."""
    herd = [(str(at), f"999{at:012}", None) for at in range(1, 1000)]
    (first, second) = herd_warnings([*herd, ("7000", "12", None), ("7001", None, None)])
    assert first == (
        "999 animals, 1 (999000000000001), 2 (999000000000002), 3 (999000000000003) and 996 more: "
        "999 is for test transponders, not for animals"
    )
    assert second.startswith("animal 7000 (12): is not an electronic number: it needs 15 digits")
