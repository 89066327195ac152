"""Forty rosters as farms send them, each with several messes, and what must come of every row.

Run it to have them as files: `python -m tests.dictate.exchange.roster.messy FOLDER`. Farms, animals
and numbers are invented; 15-digit numbers begin with 999, the code of ISO 11784 for test
transponders. Which messes there are comes from common knowledge of spreadsheets and exports.
"""

import csv
import datetime as dt
import io
import sys
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from openpyxl import Workbook

if TYPE_CHECKING:
    from collections.abc import Callable

TODAY = dt.date(2026, 3, 2)
EID = "9990000000{:05d}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Messy:
    """One file and what it holds."""

    name: str
    data: bytes
    animals: dict[str, dict[str, object]]
    """Number to the other fields that must come out, for each row that is an animal."""
    refused: int
    """Rows that must be listed with a reason."""
    given: dict[str, str] = field(default_factory=dict)
    """What a person has to say about the columns."""
    dates: str | None = None
    asked: str = ""
    """A word of the question, where the file cannot be taken in without an answer."""


HEADINGS = {
    "en": ("Number", "EID", "Ear tag", "Name", "Lactation", "Calving date", "Dry-off date", "Status"),
    "nl": ("Koenummer", "Transponder", "Levensnummer", "Naam", "Lactatienummer", "Kalfdatum", "Droogzetdatum", "Status"),
    "de": ("Stall-Nr.", "Elektronische Ohrmarke", "Lebensnummer", "Name", "Laktation", "Abkalbedatum", "Trockengestellt am", "Status"),
    "da": ("Ko nr.", "Elektronisk øremærke", "Øremærke", "Navn", "Laktation", "Kælvningsdato", "Goldning", "Status"),
    "fr": ("N° de travail", "Boucle électronique", "N° national", "Nom", "Rang de lactation", "Date de vêlage", "Tarissement", "Statut"),
    "es": ("Número de vaca", "Crotal electrónico", "Crotal", "Nombre", "Nº lactación", "Fecha último parto", "Fecha de secado", "Estado"),
    "it": ("Numero aziendale", "Codice elettronico", "Marca auricolare", "Nome", "N. lattazione", "Data ultimo parto", "Messa in asciutta", "Stato"),
    "pl": ("Numer krowy", "Numer elektroniczny", "Numer kolczyka", "Imię", "Nr laktacji", "Ostatnie wycielenie", "Data zasuszenia", "Status"),
}  # fmt: skip
NAMES = {
    "en": ["Bella", "Daisy"], "nl": ["Zoë", "Trijntje"], "de": ["Käthe", "Blümchen"], "da": ["Ågot", "Sødmælk"],
    "fr": ["Élodie", "Noëlle"], "es": ["Niña", "Piñata"], "it": ["Nuvolà", "Perla"], "pl": ["Łaciata", "Gwiażdka"],
}  # fmt: skip
STATUS = {
    "en": "in milk", "nl": "melkgevend", "de": "laktierend", "da": "malkende", "fr": "en lactation",
    "es": "en ordeño", "it": "in mungitura", "pl": "dojna",
}  # fmt: skip
DATE = {
    "en": "%d/%m/%Y", "nl": "%d-%m-%Y", "de": "%d.%m.%Y", "da": "%d-%m-%y", "fr": "%d/%m/%Y", "es": "%d/%m/%y",
    "it": "%d/%m/%Y", "pl": "%Y-%m-%d",
}  # fmt: skip

Cells = list[list[str]]


def herd(language: str, count: int = 12) -> tuple[Cells, dict[str, dict[str, object]]]:
    """A clean list in one language, and its animals."""
    rows: Cells = [list(HEADINGS[language])]
    animals: dict[str, dict[str, object]] = {}
    for at in range(count):
        number, eid, tag = f"{at + 1:04d}", EID.format(at + 1), f"XX {10_000 + at}"
        calved = dt.date(2025, 1 + at % 12, 3 + 2 * at % 25)
        name = NAMES[language][at % 2]
        rows.append(
            [number, eid, tag, name, str(at % 5), calved.strftime(DATE[language]), "", STATUS[language]]
        )  # fmt: skip
        animals[number] = {
            "eid": eid, "ear_tag": tag, "name": name, "lactation": at % 5, "calved_on": calved,
        }  # fmt: skip
    return rows, animals


def text(rows: Cells, delimiter: str = ";", end: str = "\r\n") -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, lineterminator=end).writerows(rows)
    return out.getvalue()


def book(sheets: dict[str, list[list[object]]], formats: dict[int, str] | None = None) -> bytes:
    """A workbook; `formats` are number formats by column."""
    made = Workbook()
    made.remove(made.active)
    for title, rows in sheets.items():
        sheet = made.create_sheet(title)
        for row in rows:
            sheet.append(row)
        for column, shown_as in (formats or {}).items():
            for row in sheet.iter_rows(min_row=2, min_col=column, max_col=column):
                row[0].number_format = shown_as
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


def _spoil(
    rows: Cells, animals: dict[str, dict[str, object]], at: int, column: int, cell: str
) -> None:
    """Put something into a row that makes it one to refuse."""
    animals.pop(rows[at][0], None)
    rows[at][column] = cell


def _alone(
    rows: Cells, animals: dict[str, dict[str, object]], refused: int, **more: object
) -> Messy:
    """A file of a clean or spoilt list as UTF-8."""
    return Messy(data=text(rows).encode(), animals=animals, refused=refused, **more)  # type: ignore[arg-type]


def _languages() -> list[Messy]:
    """Each language with its own delimiter, letters and dates, and a row to refuse."""
    ways = {
        "en": (",", "utf-8"), "nl": (";", "cp1252"), "de": (";", "cp1252"), "da": ("\t", "utf-16"),
        "fr": (";", "utf-8-sig"), "es": (",", "utf-16-le"), "it": ("|", "cp1252"), "pl": (";", "cp1250"),
    }  # fmt: skip
    made = []
    for language, (delimiter, letters) in ways.items():
        rows, animals = herd(language)
        _spoil(rows, animals, 3, 5, (TODAY + dt.timedelta(days=1500)).strftime(DATE[language]))
        _spoil(rows, animals, 5, 1, "9,99E+14")
        made.append(
            Messy(
                name=f"{language}.csv", data=text(rows, delimiter).encode(letters),
                animals=animals, refused=2,
            )
        )  # fmt: skip
    return made


def _letters() -> list[Messy]:
    made = []
    for letters, language in (
        ("utf-16-be", "fr"),
        ("utf-8-sig", "da"),
        ("mac_roman", "de"),
        ("cp850", "de"),
    ):
        rows, animals = herd(language)
        made.append(
            Messy(name=f"{letters}.csv", data=text(rows, end="\r").encode(letters), animals=animals, refused=0)
        )  # fmt: skip
    rows, animals = herd("de")
    data = text(rows).encode()
    spoilt = data.replace("Käthe".encode(), b"K\xe4the", 1)  # one name from another program
    animals.pop("0001")
    made.append(Messy(name="two-sets-of-letters.csv", data=spoilt, animals=animals, refused=1))
    return made


def _layout() -> list[Messy]:
    made = []
    rows, animals = herd("en")
    rows[:0] = [["Herd list of Alder Farm"], ["Printed 02/03/2026"], []]
    rows += [[], ["Total", "12", *[""] * 6]]
    made.append(_alone(rows, animals, 3, name="titles-and-total.csv"))
    rows, animals = herd("nl")
    rows.insert(7, rows[0])
    rows.append(["Totaal: 12 koeien", *[""] * 7])
    made.append(_alone(rows, animals, 2, name="headings-again.csv"))
    rows, animals = herd("de")
    made.append(
        Messy(name="sep.csv", data=("sep=;\r\n" + text(rows)).encode("utf-8-sig"), animals=animals, refused=0)
    )  # fmt: skip
    rows, animals = herd("en")
    rows[4].append("a note that nobody gave a heading")
    animals.pop("0004")
    made.append(_alone(rows, animals, 1, name="too-many-cells.csv"))
    rows, animals = herd("en")
    lines = text(rows, ",").split("\r\n")
    lines[4] = lines[4].replace("Bella", '"Bella').replace("Daisy", '"Daisy')
    animals.pop("0004")
    made.append(
        Messy(name="open-quote.csv", data="\r\n".join(lines).encode(), animals=animals, refused=1)
    )
    rows, animals = herd("fr")
    order = [7, 3, 0, 5, 1, 6, 4, 2]
    made.append(
        _alone([[row[at] for at in order] for row in rows], animals, 0, name="other-order.csv")
    )
    rows, animals = herd("en")
    rows = [[*row, "Red", '12.5 kg, "fat"\nand more'] for row in rows]
    rows[0][-2:] = ["Colour", "Milk"]
    made.append(_alone(rows, animals, 0, name="more-columns-with-line-ends.csv"))
    rows, animals = herd("en")
    rows[0][0] = "HERD_NUMBER_OF_ANIMAL"
    rows[0][5] = " calving  DATE (dd/mm/yyyy) "
    made.append(_alone(rows, animals, 0, name="loud-headings.csv"))
    return made


def _numbers() -> list[Messy]:
    made = []
    rows, animals = herd("en", 20)
    bad = [
        "-5",
        "1.5",
        "4,12E+02",
        "Total 5",
        "",
        "4\x0712",
        "12345678901234567890123",
        "=A1+1",
        "#REF!",
        "????",
    ]
    for at, cell in enumerate(bad, start=1):
        _spoil(rows, animals, at, 0, cell)
    made.append(_alone(rows, animals, len(bad), name="bad-numbers.csv"))
    rows, animals = herd("en", 20)
    bad = [
        "8.26E+14",
        "826",
        "99900000000001",
        "999000000000000",
        "9990000000000011",
        "LA 999 1",
        "999000000000 x",
    ]
    for at, cell in enumerate(bad, start=1):
        _spoil(rows, animals, at, 1, cell)
    made.append(_alone(rows, animals, len(bad), name="bad-eids.csv"))
    rows, animals = herd("en")
    for at, row in enumerate(rows[1:]):
        eid = row[1]
        row[1] = [
            f"{eid[:3]} {eid[3:7]} {eid[7:11]} {eid[11:]}",
            f"{eid}.0",
            f'="{eid}"',
            f"'{eid}",
        ][at % 4]
        row[0] = [f'="{row[0]}"', f"'{row[0]}", f" {row[0]}\u00a0", f"\u200b{row[0]}"][at % 4]
    made.append(_alone(rows, animals, 0, name="wrapped-numbers.csv"))
    rows, animals = herd("en")
    for row in rows[1:]:
        row[4] += ".0"
        number = row[0].lstrip("0")
        animals[number] = animals.pop(row[0])
        row[0] = f"{number}.0"
    made.append(_alone(rows, animals, 0, name="written-by-a-script.csv"))
    rows, animals = herd("en", 16)
    bad = ["-5", "1.5", "two", "31", "2\x00", "99999999999999999999"]
    for at, cell in enumerate(bad, start=1):
        _spoil(rows, animals, at, 4, cell)
    data = text(rows).encode()
    made.append(Messy(name="bad-lactations.csv", data=data, animals=animals, refused=len(bad)))
    rows, animals = herd("en")
    rows.append(list(rows[2]))  # the same row twice: once is enough
    rows.append(["0005", *rows[5][1:]])
    rows[-1][3] = "Somebody else"
    animals.pop("0005")
    made.append(_alone(rows, animals, 3, name="twice.csv"))
    rows, animals = herd("en")
    for at in range(1, 13):
        rows[at][6] = rows[at][7] = ["-", "n/a", "", "0000-00-00"][at % 4]
    rows[0][7] = "Comment"
    made.append(_alone(rows, animals, 0, name="nothing-known.csv"))
    return made


def _dates() -> list[Messy]:
    made = []
    rows, animals = herd("en")
    for row in rows[1:]:
        row[5] = dt.datetime.strptime(row[5], "%d/%m/%Y").strftime("%m/%d/%Y 00:00:00")
    made.append(_alone(rows, animals, 0, name="month-first.csv"))
    rows, animals = herd("en", 4)
    for at, row in enumerate(rows[1:], start=1):
        row[5] = f"0{at}/05/2025"
        animals[row[0]]["calved_on"] = dt.date(2025, at, 5)
    made.append(_alone(rows, animals, 0, name="either.csv", asked="day or month"))
    made.append(_alone(rows, animals, 0, name="either-said.csv", dates="month-first"))
    rows, animals = herd("en")
    rows[1][5], rows[2][5] = "25/03/2025", "03/25/2025"
    animals["0001"]["calved_on"] = animals["0002"]["calved_on"] = dt.date(2025, 3, 25)
    refused = 0
    for row in rows[3:]:
        day, month, _ = row[5].split("/")
        if int(day) <= 12 and day != month:
            animals.pop(row[0])
            refused += 1
    made.append(_alone(rows, animals, refused, name="both-orders.csv"))
    rows, animals = herd("de", 12)
    written = [
        "3. März 2025",
        "03-Mar-25",
        "3 maart 2025",
        "3 mars 2025",
        "March 3, 2025",
        "20250303",
        "2025/03/03",
    ]
    for row, cell in zip(rows[1:], written, strict=False):
        row[5] = cell
        animals[row[0]]["calved_on"] = dt.date(2025, 3, 3)
    bad = ["45719", "31.02.2025", "01.01.1900", "gestern", "2030-01-01"]
    for at, cell in enumerate(bad, start=8):
        _spoil(rows, animals, at, 5, cell)
    made.append(_alone(rows, animals, len(bad), name="written-out.csv"))
    return made


def _books() -> list[Messy]:
    made = []
    rows, animals = herd("en")
    real: list[list[object]] = [list(rows[0])]
    for row in rows[1:]:
        calved = dt.datetime.strptime(row[5], "%d/%m/%Y")
        real.append([int(row[0]), int(row[1]), row[2], row[3], int(row[4]), calved, None, row[7]])
    made.append(
        Messy(
            name="numbers-with-zeros.xlsx",
            data=book({"Herd": real}, {1: "0000"}),
            animals=animals,
            refused=0,
        )
    )
    plain = {str(int(number)): said for number, said in animals.items()}
    other: list[list[object]] = [["Milk price", 0.41], ["Feed", 3]]
    titled = [["Herd of Elm Farm"], [], *[list(row) for row in real]]
    titled[5][4] = 1.5
    titled[6][5] = dt.datetime(2030, 1, 1)
    spoilt = {number: said for number, said in plain.items() if number not in ("3", "4")}
    made.append(
        Messy(
            name="several-sheets.xlsx",
            data=book({"Prices": other, "Koeien": titled}),
            animals=spoilt,
            refused=3,
        )
    )
    texts: list[list[object]] = [list(row) for row in rows]
    texts[2][0] = "=A2+1"
    left = {number: said for number, said in animals.items() if number != "0002"}
    made.append(
        Messy(name="formula-without-result.xlsx", data=book({"A": texts}), animals=left, refused=1)
    )
    two = {"Cows": [list(row) for row in rows], "Heifers": [list(row) for row in rows]}
    made.append(
        Messy(
            name="two-lists.xlsx",
            data=book(two),
            animals=animals,
            refused=0,
            asked="several sheets",
        )
    )
    return made


def _unknown() -> list[Messy]:
    made = []
    rows, animals = herd("en")
    bare = [row[:3] for row in rows[1:]]
    three = {
        number: {"eid": said["eid"], "ear_tag": said["ear_tag"]} for number, said in animals.items()
    }
    places = {"number": "1", "eid": "2", "ear_tag": "3"}
    made.append(_alone(bare, three, 0, name="no-headings.csv", asked="no headings"))
    made.append(_alone(bare, three, 0, name="no-headings-said.csv", given=places))
    strange = [["Plate", "Button", "Label"], *bare]
    made.append(_alone(strange, three, 0, name="unknown-headings.csv", asked="Plate"))
    said = {"number": "plate", "eid": "Button", "ear_tag": "3"}
    made.append(
        Messy(name="unknown-headings-said.csv", data=text(strange).encode("utf-16"), animals=three, refused=0, given=said)
    )  # fmt: skip
    numbers = "\r\n".join(number for number in animals) + "\r\n\x1a\r\n"
    made.append(
        Messy(name="numbers-only.txt", data=numbers.encode(), animals={number: {} for number in animals}, refused=1)
    )  # fmt: skip
    two = [[*row[:1], *row] for row in rows]
    two[0][0] = "Cow"
    made.append(_alone(two, animals, 0, name="two-numbers.csv", asked="several columns"))
    made.append(_alone(two, animals, 0, name="two-numbers-said.csv", given={"number": "Cow"}))
    return made


def all_messy() -> list[Messy]:
    """Every file, in the order of the messes."""
    makers: list[Callable[[], list[Messy]]] = [
        _languages, _letters, _layout, _numbers, _dates, _books, _unknown,
    ]  # fmt: skip
    return [one for maker in makers for one in maker()]


if __name__ == "__main__":
    folder = Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    for made in all_messy():
        (folder / made.name).write_bytes(made.data)
        print(f"{made.name}: {len(made.animals)} animals, {made.refused} rows refused {made.asked}")
