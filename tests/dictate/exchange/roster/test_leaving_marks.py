"""Columns named for a way to leave, with a mark or a day under them: nobody sold stands as present."""

import datetime as dt
from pathlib import Path

import pytest

from dictate.exchange.roster import find_columns, read_rows
from dictate.exchange.roster.table import read_table_file
from dictate.store.states import AnimalStatus

TODAY = dt.date(2026, 3, 2)
LISTS = {
    "en": "Cow;Sold;Dead\n301;;\n302;yes;\n303;;x\n304;no;no\n305;2026-01-15;\n",
    "nl": "Koe;Verkocht;Dood\n301;;\n302;X;\n303;;ja\n304;nee;nee\n305;15-1-2026;\n",
    "de": "Kuh;verkauft;verendet\n301;;\n302;ja;\n303;;x\n304;nein;nein\n305;15.1.2026;\n",
    "da": "Ko nr.;Solgt;Død\n301;;\n302;ja;\n303;;x\n304;nej;nej\n305;15-01-2026;\n",
    "fr": "N° vache;Vendu le;Mort le\n301;;\n302;oui;\n303;;oui\n304;non;non\n305;15/01/2026;\n",
    "es": "Vaca;Vendida;Muerta\n301;;\n302;sí;\n303;;sí\n304;no;no\n305;15/01/2026;\n",
    "it": "Vacca;Venduta;Morta\n301;;\n302;sì;\n303;;si\n304;no;no\n305;15/01/2026;\n",
    "pl": "Krowa;Sprzedana dnia;Martwa\n301;;\n302;tak;\n303;;tak\n304;nie;nie\n305;15.01.2026;\n",
}


@pytest.mark.parametrize("language", LISTS)
def test_a_mark_under_a_way_to_leave(tmp_path: Path, language: str) -> None:
    """Also where `no` is as often in a row as a heading is above it (common practice in lists)."""
    file = tmp_path / "herd.csv"
    file.write_text(LISTS[language], encoding="utf-8")
    table = read_table_file(file)
    read = read_rows(table, find_columns(table), today=TODAY)
    assert not [one for one in read.refused if one.animal]
    assert {line.number: line.status for line in read.lines} == {
        "301": None,
        "302": AnimalStatus.SOLD,
        "303": AnimalStatus.DEAD,
        "304": None,
        "305": AnimalStatus.SOLD,
    }


def test_a_row_with_words_of_a_heading_is_no_heading(tmp_path: Path) -> None:
    """`Kuh` and `verkauft` stand in a row of an animal, below headings of which few are known."""
    file = tmp_path / "herd.csv"
    file.write_text("Nr;Art;Bemerkung\n12;Kuh;verkauft\n13;Kuh;\n", encoding="utf-8")
    table = read_table_file(file)
    read = read_rows(table, find_columns(table), today=TODAY)
    assert [line.number for line in read.lines] == ["12", "13"]


def test_what_is_no_mark_is_asked(tmp_path: Path) -> None:
    """A price under `Sold` is neither a day nor a mark: the row waits."""
    file = tmp_path / "herd.csv"
    file.write_text("Cow;Sold\n12;€ 950\n13;\n", encoding="utf-8")
    table = read_table_file(file)
    read = read_rows(table, find_columns(table), today=TODAY)
    assert [line.number for line in read.lines] == ["13"]
    assert [one.row.line for one in read.refused] == [2]
