"""Fifteen rosters and ten lists of past treatments as farms have them, each with several messes at once.

They were written in one go, in a quarter of an hour, before their author had looked at the reader;
`docs/reliability.md` says how it did at first sight. All farms and animals are invented.
"""

import io
from dataclasses import dataclass, field
from datetime import date
from typing import Any

import openpyxl

TODAY = date(2026, 11, 27)


@dataclass(frozen=True)
class List:
    """A file, and what it must give."""

    name: str
    file: str
    data: bytes
    hoped: Any
    """Number to fields; of past lists each number, day, lesion or deed, foot and claw."""
    refused: tuple[str, ...] = ()
    """What stands in rows that must be listed as not taken."""
    aside: tuple[str, ...] = ()
    """Columns that must be named as not taken."""
    answers: dict[str, Any] = field(default_factory=dict)
    """What a person says when asked."""
    asks: bool = False
    """Whether it has to be asked about first."""


def book(*sheets: tuple[str, list[list[Any]], list[str]]) -> bytes:
    """A workbook of sheets, each with its name, rows and merged cells."""
    made = openpyxl.Workbook()
    made.remove(made.active)
    for title, rows, merged in sheets:
        sheet = made.create_sheet(title)
        for row in rows:
            sheet.append(row)
        for cells in merged:
            sheet.merge_cells(cells)
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


ROSTERS: list[List] = []


def add(*what: Any, **more: Any) -> None:
    ROSTERS.append(List(*what, **more))


# Dutch, cp1252, semicolons, headings in two rows, leading zeros, remark column, total below
add(
    "dutch two rows and a total",
    "lijst.csv",
    (
        "Veestapel Elzenhof\r\n"
        "Dier;;Levens-;Laatste;Lact.;Opmerking\r\n"
        "nr.;naam;nummer;kalfdatum;nr.;\r\n"
        "0045;Geertje 12;NL 6123 4567 1;3-2-26;3;mank \u2013 let op\r\n"
        "0046;Jo\u00ebl 4;NL 6123 4567 2;14-11-25;1;\r\n"
        "112;Pleun;NL 6123 4567 3;30-10-25;2;\u20ac 1.200 geboden\r\n"
        "113;;NL 6123 4567 4;;0;vaars\r\n"
        "\r\n"
        "Aantal dieren: 4;;;;;\r\n"
    ).encode("cp1252"),
    {
        "0045": {"name": "Geertje 12", "lactation": 3, "calved_on": date(2026, 2, 3)},
        "0046": {"name": "Joël 4", "lactation": 1, "calved_on": date(2025, 11, 14)},
        "112": {"name": "Pleun", "lactation": 2, "calved_on": date(2025, 10, 30)},
        "113": {"lactation": 0},
    },
    aside=("Opmerking",),
)

# German workbook: merged title, dates as serials, 15 digits as floats, a row without number, sum
add(
    "german workbook with serials",
    "bestand.xlsx",
    book(
        (
            "Tiere",
            [
                ["Bestandsliste Erlenhof, Stand 20.11.2026", None, None, None, None, None],
                [],
                ["Stallnummer", "Ohrmarke", "Transponder", "Name", "Laktation", "letzte Kalbung"],
                [12, "DE 09 123 45678", 276000912345678.0, "Berta", 3.0, 46000],
                [13, "DE 09 123 45679", 276000912345679.0, "Ella", "1.", 45950.0],
                [None, "DE 09 123 45680", 276000912345680.0, "Uschi", 2, 45901],
                [],
                ["015", "DE 09 123 45681", "276 0009 1234 5681", "Änne", 5, "12.3.26"],
                ["Summe", 4, None, None, 11, None],
            ],
            ["A1:F1"],
        )
    ),
    {
        "12": {
            "eid": "276000912345678",
            "name": "Berta",
            "lactation": 3,
            "calved_on": date(2025, 12, 9),
        },
        "13": {"eid": "276000912345679", "lactation": 1, "calved_on": date(2025, 10, 20)},
        "015": {
            "eid": "276000912345681",
            "name": "Änne",
            "lactation": 5,
            "calved_on": date(2026, 3, 12),
        },
    },
    refused=("Uschi",),
)

# Danish UTF-16, tabs, twice the same row, a sold one
add(
    "danish utf-16",
    "dyr.txt",
    (
        "CHR 00000\tudskrift 26-11-2026\r\n"
        "Ko nr\tCKR nr\tØremærke nr\tKælvningsdato\tLaktation\tStatus\tBemærkning\r\n"
        "201\t00000-00201\tDK 00000 00201\t04-03-2026\t2\tmalker\t\r\n"
        "202\t00000-00202\tDK 00000 00202\t15-05-2026\t4\tgold\tklov skal ses\r\n"
        "202\t00000-00202\tDK 00000 00202\t15-05-2026\t4\tgold\tklov skal ses\r\n"
        "203\t00000-00203\tDK 00000 00203\t21-06-2026\t1\tsolgt\t\r\n"
        "I alt\t3 dyr\r\n"
    ).encode("utf-16"),
    {
        "201": {"calved_on": date(2026, 3, 4), "lactation": 2},
        "202": {"calved_on": date(2026, 5, 15), "lactation": 4},
        "203": {"lactation": 1},
    },
    aside=("Bemærkning",),
)

# French, latin-1, commas, quotes, units in cells
add(
    "french with units",
    "troupeau.csv",
    (
        '"N° de travail","N° national","Nom","Rang de lactation","Date de vêlage","Jours en lait","Observations"\n'
        '"4512","FR 22 1234 4512","ÉTOILE","3 lact.","12 février 2026","125 j","boite, AVG"\n'
        '"4513","FR 22 1234 4513","L\'Aimée","2","03/09/2026","85 j",""\n'
        '"0007","FR 22 1234 0007","Nuit","1","21/10/2026","37 j","à parer"\n'
        '"4515","FR 22 1234 4515","Vague","-","","",""\n'
    ).encode("latin-1"),
    {
        "4512": {"name": "ÉTOILE", "calved_on": date(2026, 2, 12), "lactation": 3},
        "4513": {"name": "L'Aimée", "lactation": 2, "calved_on": date(2026, 9, 3)},
        "0007": {"calved_on": date(2026, 10, 21)},
        "4515": {"name": "Vague"},
    },
    aside=("Jours en lait", "Observations"),
)

# Spanish, BOM, comments lines, exponent form
add(
    "spanish with comments and exponents",
    "vacas.csv",
    (
        "# exportado 25/11/2026\n# usuario: ana\n\n"
        "Crotal;Vaca nº;Identificación electrónica;Nº partos;Último parto;Estado\n"
        "ES091234567801;101;724091234567801;2;13/01/2026;lactación\n"
        "ES091234567802;102;7,24091E+14;3;02/02/2026;seca\n"
        "ES091234567803;103; 724 0912 3456 7803 ;1;28/03/2026;lactación\n"
        "# fin del rebaño\n"
    ).encode("utf-8-sig"),
    {
        "101": {"eid": "724091234567801", "lactation": 2, "calved_on": date(2026, 1, 13)},
        "103": {"eid": "724091234567803"},
    },
    refused=("102",),
)

# Italian; averages below; dashes for nothing; decimals with comma
add(
    "italian with averages",
    "mandria.csv",
    (
        "Matricola;Marca auricolare;Nome;N. parti;Data ultimo parto;Latte kg/gg\n"
        "33;IT012345678933;Bruna;4;1.9.2026;31,5\n"
        "34;IT012345678934;—;1;22.8.2026;28,0\n"
        "35;IT012345678935;Perla;—;—;—\n"
        "36;IT012345678936;Stella;2;31.2.2026;30,1\n"
        ";;;2,3;;29,9\n"
        "Media mandria;;;2,3;;29,9\n"
        "Capi: 4;;;;;\n"
    ).encode(),
    {
        "33": {"name": "Bruna", "lactation": 4, "calved_on": date(2026, 9, 1)},
        "34": {"lactation": 1, "name": None},
        "35": {"name": "Perla", "lactation": None},
    },
    refused=("36",),
    aside=("Latte kg/gg",),
    answers={"given": {"number": "Matricola"}, "words": {}},
    asks=True,
)

# Polish cp1250, bars
add(
    "polish bars",
    "stado.txt",
    (
        "Nr krowy | Nr kolczyka | Nazwa | Laktacja | Data wycielenia | Zasuszona | Uwagi\r\n"
        "---------+-------------+-------+----------+-----------------+-----------+------\r\n"
        "7 | PL005012345607 | Żółta | 3 | 12.03.2026 | | \r\n"
        "8 | PL005012345608 | Łata | 2 | 05.10.2025 | 13.09.2026 | kulawa\r\n"
        "9 | PL005012345609 | Gwiazda | 1 | 28.02.2026 | nie | \r\n"
        "Razem: 3 szt.\r\n"
    ).encode("cp1250"),
    {
        "7": {"name": "Żółta", "lactation": 3, "calved_on": date(2026, 3, 12)},
        "8": {"name": "Łata", "dried_off_on": date(2026, 9, 13)},
        "9": {"name": "Gwiazda"},
    },
    aside=("Uwagi",),
)

# no headings, ambiguous dates
add(
    "no headings, ambiguous dates",
    "herd.csv",
    (
        b"412,826000123456789,Daisy,2,03/04/2026\n413,826000123456790,Bella,1,05/06/2026\n0414,826000123456791,Mary,4,07/08/2026\n"
    ),
    {
        "412": {"eid": "826000123456789", "name": "Daisy", "calved_on": date(2026, 4, 3)},
        "413": {"calved_on": date(2026, 6, 5)},
        "0414": {"lactation": 4},
    },
    answers={
        "given": {"number": "1", "eid": "2", "name": "3", "lactation": "4", "calved_on": "5"},
        "words": {},
        "dates": "day-first",
    },
    asks=True,
)

# two groups below each other, columns in another order
add(
    "two tables with other order",
    "groups.csv",
    (
        b"High group,,,\nCow,Name,Lact,Calved\n301,Ivy,2,2026-09-01\n302,Fern,3,2026-08-14\nSubtotal,2,,\n,,,\nDry cows,,,\nCow,Lact,Calved,Name\n303,4,2025-10-02,Moss\n304,1,2025-11-20,Reed\nSubtotal,2,,\nGrand total,4,,\n"
    ),
    {
        "301": {"name": "Ivy", "lactation": 2, "calved_on": date(2026, 9, 1)},
        "302": {"name": "Fern", "lactation": 3},
        "303": {"name": "Moss", "lactation": 4, "calved_on": date(2025, 10, 2)},
        "304": {"name": "Reed", "lactation": 1},
    },
)

# several sheets
add(
    "three sheets",
    "farm.xlsx",
    book(
        (
            "Milking",
            [
                ["Cow no.", "EID", "DIM"],
                [501, "826000100000501", "45 d"],
                [502, "826000100000502", "101 d"],
            ],
            [],
        ),
        ("Dry", [["Cow no.", "EID", "Dry since"], [503, "826000100000503", date(2026, 11, 2)]], []),
        ("Sold 2025", [["Cow no.", "Sold"], [499, "to market"]], []),
    ),
    {"501": {"eid": "826000100000501"}, "502": {}},
    aside=("DIM",),
    answers={"given": {}, "words": {}, "sheet": "Milking"},
    asks=True,
)

# junk in the number
add(
    "junk in numbers",
    "cows.csv",
    (
        b"Cow;Tag;Lact.\n412*;UK 123456 700412;2\n#413;UK 123456 100413;1\n414 (lame);UK 123456 200414;3\nCow 415;UK 123456 300415;2\n416/2;UK 123456 400416;2\n417A;UK 123456 500417;2\n418;UK 123456 600418;2\n418;UK 123456 700418;5\n419 ;UK 123456 100419;12.5\n420;UK 123456 200420;two\n"
    ),
    {n: {} for n in ("413", "415", "416/2", "417A")},
    refused=("412*", "414 (lame)", "600418", "700418", "100419", "200420"),
)

# apostrophes, hard blanks, thousands
add(
    "apostrophes and thousands",
    "export.csv",
    (
        'Animal ID,Electronic ID,Calving date\n\'0412,982 000 123 456 789,2026-11-01 00:00:00\n"1,204",982-000123456790,2026-10-05 00:00:00\n1\u00a0205,"982,000,123,456,791",2026-09-07 00:00:00\n1206,"=""982000123456792""",2026-08-03 00:00:00\n1207,98200012345679,2026-08-04 00:00:00\n1208,1982000123456793,2026-08-04 00:00:00\n'
    ).encode(),
    {
        "0412": {"eid": "982000123456789", "calved_on": date(2026, 11, 1)},
        "1206": {"eid": "982000123456792"},
    },
    refused=("1,204", "1207", "1208"),
)

# printout with pages
add(
    "printout with pages",
    "print.txt",
    (
        b"HERD LIST                                   Page 1 of 2\n\n"
        b"Cow    Ear tag          Lact  Calved        Remarks\n"
        b"-----  ---------------  ----  ------------  -----------------\n"
        b"  17   AB1234 00017        3  12 Mar 2026   quiet\n"
        b"  18   AB1234 00018        1  02 Apr 2026\n"
        b"\fHERD LIST                                   Page 2 of 2\n\n"
        b"Cow    Ear tag          Lact  Calved        Remarks\n"
        b"-----  ---------------  ----  ------------  -----------------\n"
        b"  19   AB1234 00019        2                kicks, take care\n"
        b"1020   AB1234 01020       10  30 Jun 2026\n"
        b"-----  ---------------  ----  ------------  -----------------\n"
        b"4 animals listed                Average lactation 4.0\n"
    ),
    {
        "17": {"lactation": 3, "calved_on": date(2026, 3, 12)},
        "18": {"calved_on": date(2026, 4, 2)},
        "19": {"lactation": 2},
        "1020": {"lactation": 10},
    },
    aside=("Remarks",),
)

# trimmer's own list: feet and lesions as columns
add(
    "trim list with feet and lesions",
    "trimlist.csv",
    (
        b"Trim list 24/11/2026;;;;;;;;;\nNo;Pen;LF;RF;LH;RH;DD;SU;Wt (kg);Notes\n61;3;;;x;;x;;640 kg;\n62;3;;x;;;;x;655 kg;wrap\n63;4;;;;;;;;\n64;4;;;;x;RH;;700kg;2 blocks\n65;?;;;;;;;;\nTotal;5;0;1;1;1;2;1;;\n"
    ),
    {"61": {}, "62": {}, "63": {}, "64": {}, "65": {}},
    aside=("Pen", "LF", "RF", "LH", "RH", "DD", "SU", "Wt (kg)", "Notes"),
)

# Swedish (no language of ours), Mac line ends
add(
    "swedish, mac line ends",
    "djur.csv",
    (
        "Djurnummer;SE-nummer;Kalvningsdatum;Laktationsnr\r1401;SE 012345 1401;2026-01-31;2\r1402;SE 012345 1402;2026-02-28;3\r14O3;SE 012345 1403;2026-03-31;1\r"
    ).encode("mac-roman"),
    {"1401": {"lactation": 2, "calved_on": date(2026, 1, 31)}, "1402": {"lactation": 3}},
    refused=("14O3",),
    answers={
        "given": {
            "number": "Djurnummer",
            "ear_tag": "SE-nummer",
            "calved_on": "Kalvningsdatum",
            "lactation": "Laktationsnr",
        },
        "words": {},
    },
    asks=True,
)


PAST_LISTS: list[List] = []


def past(*what: Any, **more: Any) -> None:
    PAST_LISTS.append(List(*what, **more))


SU, DD, WL = "sole ulcer", "digital dermatitis", "white line disease"

past(
    "a column for each lesion, x",
    "su.csv",
    (
        b"Date;Cow;SU;DD;WL;IH;Remarks\n12/03/2026;412;x;;;;\n12/03/2026;413;;X;;;bad one\n13/03/2026;414;;;;;nothing\n13/03/2026;415;x;x;;;\n"
    ),
    {
        ("412", "2026-03-12", SU, None, None),
        ("413", "2026-03-12", DD, None, None),
        ("415", "2026-03-13", SU, None, None),
        ("415", "2026-03-13", DD, None, None),
    },
    refused=("414",),
)

past(
    "a foot letter in the cell of the lesion",
    "letters.csv",
    (
        b"Cow;Date;DD;SU;WLD;Block;Notes\n412;2026-03-12;LH RH;;;;\n413;2026-03-12;;RF outer;;RF;\n414;2026-03-12;;;LH, LF;;check\n415;2026-03-12;all;;;;\n416;2026-03-12;B;;;;\n"
    ),
    {
        ("412", "2026-03-12", DD, "LH", None),
        ("412", "2026-03-12", DD, "RH", None),
        ("413", "2026-03-12", SU, "RF", "outer"),
        ("413", "2026-03-12", "block", "RF", None),
        ("414", "2026-03-12", WL, "LH", None),
        ("414", "2026-03-12", WL, "LF", None),
    }
    | {("415", "2026-03-12", DD, f, None) for f in ("LF", "RF", "LH", "RH")},
    refused=("416",),
    aside=(),
)

past(
    "german feet, the date above the table",
    "klauen.csv",
    (
        "Klauenpflege Erlenhof;;;;;\nDatum: 12.03.2026;;;;;\nNr.;VL;VR;HL;HR;Bemerkung\n12;;;DD;DD;\n13;;;RSG au\u00dfen;;Klotz\n14;o.B.;o.B.;o.B.;o.B.;\n15;;;;WL;\nGesamt: 4 Tiere;;;;;\n"
    ).encode("cp1252"),
    {
        ("12", "2026-03-12", DD, "LH", None),
        ("12", "2026-03-12", DD, "RH", None),
        ("13", "2026-03-12", SU, "LH", "outer"),
    }
    | {("14", "2026-03-12", "no lesion", f, None) for f in ("LF", "RF", "LH", "RH")}
    | {("15", "2026-03-12", WL, "RH", None)},
    asks=True,
    answers={"given": {}, "words": {}, "on": "2026-03-12"},
)

past(
    "feet merged over lesions",
    "two.xlsx",
    book(
        (
            "Trim",
            [
                ["Cow", "Date", "Left hind", None, None, "Right hind", None, None],
                [None, None, "DD", "SU", "WL", "DD", "SU", "WL"],
                [412, date(2026, 3, 12), "x", None, None, None, None, None],
                [413, date(2026, 3, 12), None, "x", None, None, None, "x"],
                [414, date(2026, 3, 12), None, None, None, None, None, None],
                ["Total", None, 1, 1, 0, 0, 0, 1],
            ],
            ["C1:E1", "F1:H1", "A1:A2", "B1:B2"],
        )
    ),
    {
        ("412", "2026-03-12", DD, "LH", None),
        ("413", "2026-03-12", SU, "LH", None),
        ("413", "2026-03-12", WL, "RH", None),
    },
    refused=("414",),
)

past(
    "grades in lesion columns, totals",
    "grades.csv",
    (
        b"// scores 1-3\nAnimal,Date,DD,SU,HHE,Foot\n412,12-Mar-26,2,,,LH\n413,12-Mar-26,,3,1,RH\n414,12-Mar-26,0,0,0,\n,,,,,\nTotal,,1,1,1,\n"
    ),
    {
        ("412", "2026-03-12", DD, "LH", None),
        ("413", "2026-03-12", SU, "RH", None),
        ("413", "2026-03-12", "heel horn erosion", "RH", None),
    },
    refused=("414",),
    asks=True,
    answers={"given": {}, "words": {"2": "x", "3": "x"}},
)

past(
    "dutch lesion columns with feet",
    "bekapt.csv",
    (
        "Koenr;Datum;Mortellaro;Zoolzweer;Wittelijndefect;Tyloom;Blok\n412;12-3-2026;LA;;;;\n413;12-3-2026;;RA;;;RA\n0414;13-3-2026;;;LV;LA+RA;\nTotaal;;1;1;1;2;1\n"
    ).encode("cp1252"),
    {
        ("412", "2026-03-12", DD, "LH", None),
        ("413", "2026-03-12", SU, "RH", None),
        ("413", "2026-03-12", "block", "RH", None),
        ("0414", "2026-03-13", WL, "LF", None),
        ("0414", "2026-03-13", "interdigital hyperplasia", "LH", None),
        ("0414", "2026-03-13", "interdigital hyperplasia", "RH", None),
    },
    asks=True,
)

past(
    "dates only on the first row of a day",
    "ditto.csv",
    (
        'Date,Cow,Lesion,Foot,Treatment\n12/03/2026,412,SU,LH,block\n,,DD,RH,\n,413,WL,RH,"\n'.replace(
            '"\n', "\n"
        )
        + '13/03/2026,414,DD,LH,wrap\n",",415,DD,RH,\n'.replace('",",', ",")
    ).encode(),
    {
        ("412", "2026-03-12", SU, "LH", None),
        ("412", "2026-03-12", "block", "LH", None),
        ("414", "2026-03-13", DD, "LH", None),
        ("414", "2026-03-13", "wrap", "LH", None),
    },
    refused=("DD RH", "413", "415"),
)

past(
    "workbook with serial days",
    "old.xlsx",
    book(
        (
            "2025",
            [
                ["Hoof trimming", None, None, None],
                ["Cow", "Day", "Finding", "Notes"],
                [412.0, 45730, "SU LH z4", None],
                ["413", "15.3.2025", "ok", "good feet"],
                [414, date(2025, 3, 15), "-", None],
                [415, date(2025, 3, 15), 0, None],
                [416, date(2025, 3, 15), "DD M2 RH, SU LH inner", "9 kg"],
                [None, None, None, None],
                ["5 cows", None, None, None],
            ],
            ["A1:D1"],
        )
    ),
    {
        ("412", "2025-03-14", SU, "LH", None),
        ("413", "2025-03-15", "no lesion", None, None),
        ("416", "2025-03-15", DD, "RH", None),
        ("416", "2025-03-15", SU, "LH", "inner"),
    },
    refused=("414", "415"),
)

past(
    "french feet in letters",
    "parage.csv",
    (
        "Date;N° vache;Pied;Lésion;Traitement;Délai lait (j)\n12/03/2026;412;ARD;Mortellaro;pansement;0\n12/03/2026;413;AVG ext;ulcère de la sole;talonnette;0\n12/03/2026;414;ARG;fourbure;;2\n"
    ).encode(),
    {
        ("412", "2026-03-12", DD, "RH", None),
        ("412", "2026-03-12", "wrap", "RH", None),
        ("413", "2026-03-12", SU, "LF", "outer"),
        ("413", "2026-03-12", "block", "LF", None),
        ("414", "2026-03-12", "other", "LH", None),
    },
    asks=True,
    answers={"given": {}, "words": {}, "dates": "day-first"},
)

past(
    "several visits across",
    "across.csv",
    (b"Cow;12/03/2026;14/06/2026;20/09/2026\n412;DD LH;;DD RH\n413;;SU LH;ok\n"),
    {
        ("412", "2026-03-12", DD, "LH", None),
        ("412", "2026-09-20", DD, "RH", None),
        ("413", "2026-06-14", SU, "LH", None),
        ("413", "2026-09-20", "no lesion", None, None),
    },
    asks=True,
)
