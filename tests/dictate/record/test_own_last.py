"""Each animal of the last visit against its own visit before."""

import datetime as dt

from dictate.record.columns import columns_of_rows
from dictate.record.own_last import own_last
from dictate.record.rows import FindingRow, VisitRow

DAYS = [dt.date(2026, 1, 5), dt.date(2026, 4, 6), dt.date(2026, 7, 6)]
VISITS = [VisitRow(id=at, farm_id=1, on=on) for at, on in enumerate(DAYS, start=1)]


def rows(seen):
    """One finding for each letter: `x` a lesion, `h` one said to be healed, `-` no lesion, ` ` not seen."""
    for animal, visits in seen.items():
        for visit, mark in zip(VISITS, visits, strict=True):
            if mark != " ":
                yield FindingRow(
                    id=1, farm_id=1, visit_id=visit.id, animal_id=int(animal), animal=animal, on=visit.on,
                    lesion="no lesion" if mark == "-" else "sole ulcer", course="healed" if mark == "h" else None,
                )  # fmt: skip


def test_every_animal_of_the_last_visit_is_in_one_group():
    """Compared with the visit that saw it last, not with the herd's last visit."""
    seen = {
        "10": "-x-",
        "9": "x-x",
        "12": "x x",
        "7": "- -",
        "30": "  x",
        "31": "  -",
        "8": "xx ",
        "11": " xh",
    }
    own = own_last(columns_of_rows(list(rows(seen)), []), VISITS)
    assert (own.on, own.began, own.still, own.gone) == (DAYS[2], ("9",), ("12",), ("10", "11"))
    assert (own.clean, own.first) == (("7",), ("30", "31"))


def test_without_a_visit_there_is_nothing_to_compare():
    assert own_last(columns_of_rows([], []), []) is None
