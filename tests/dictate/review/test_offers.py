"""Mis-hearings that are offered to remember: they outlive the program, and each is asked once."""

from pathlib import Path

import pytest

from dictate.review.offers import FILE_NAME, MISHEARD_MAX, Offer, Offers
from dictate.review.suggesting import _difference
from grammar.hear.repair import gapless_distance

ELSIE = Offer(heard="soul elsie", term="sole ulcer", trimmer_id=1)
LIME = Offer(heard="white lime", term="white line", trimmer_id=2)


def test_offers_are_there_again_after_the_program_was_started_anew(tmp_path: Path) -> None:
    Offers(tmp_path).add([ELSIE, LIME])
    page, terminal = Offers(tmp_path), Offers(tmp_path)
    assert page.waiting == [ELSIE, LIME]

    page.add([ELSIE])
    assert page.waiting == [ELSIE, LIME], "each once"
    assert terminal.take("soul elsie", "sole ulcer") == ELSIE
    assert page.take("soul elsie", "sole ulcer") is None, "answered in the terminal"
    assert Offers(tmp_path).waiting == [LIME]


def test_without_a_home_offers_stay_in_memory() -> None:
    offers = Offers()
    offers.add([ELSIE])

    assert offers.waiting == [ELSIE]
    assert Offers().waiting == []


def test_a_damaged_file_counts_as_empty(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).write_text("[{")
    offers = Offers(tmp_path)

    assert offers.waiting == []
    offers.add([LIME])
    assert Offers(tmp_path).waiting == [LIME]


@pytest.mark.parametrize(
    ("heard", "term", "alike"),
    [
        ("soul elsie", "sole ulcer", True),
        ("white lime", "white line", True),
        ("mortal arrow", "mortellaro", True),
        ("foul", "outer", False),
        ("kicked", "block", False),
        ("it was bad", "white line", False),
    ],
)
def test_a_mis_hearing_sounds_like_what_was_said(heard: str, term: str, *, alike: bool) -> None:
    assert (gapless_distance(heard, term) <= MISHEARD_MAX) is alike


@pytest.mark.parametrize(
    ("words", "other", "offered"),
    [
        ("left hind foul sole ulcer", "left hind outer sole ulcer", None),
        ("left hind out her sole ulcer", "left hind outer sole ulcer", ("out her", "outer")),
        ("sole ulcer zone five", "sole ulcer zone nine", ("five", "nine")),
        ("left hind sole ulcer", "left hind outer sole ulcer", ("hind", "hind outer")),
    ],
)
def test_another_hearing_is_offered_where_it_sounds_alike_or_says_more(
    words: str, other: str, offered: tuple[str, str] | None
) -> None:
    assert _difference(words.split(), other.split()) == offered
