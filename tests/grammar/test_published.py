"""The grammar against published facts and reference libraries, each named beside its check."""

import calendar
import datetime as dt
import itertools
import random

import pytest
from num2words import num2words

from grammar import Roster, as_json, parse, vocabulary

MONDAY = dt.date(2026, 3, 2)

# ICAR Claw Health Atlas, 2nd edition: names of lesions as our lexicon writes them in British English.
# The names marked "name yes" in the project's facts were confirmed in Heringstad et al. 2018 (review)
# and Ir Vet J 2015;68:10, Table 2; the claw shapes, swellings and bulb ulcer are from memory.
ATLAS_NAMES = (
    "digital dermatitis",
    "interdigital dermatitis",
    "heel horn erosion",
    "interdigital phlegmon",
    "interdigital hyperplasia",
    "double sole",
    "axial horn fissure",
    "vertical horn fissure",
    "horizontal horn fissure",
    "sole haemorrhage",
    "swelling of coronet",
    "swelling of bulb",
    "sole ulcer",
    "bulb ulcer",
    "toe ulcer",
    "toe necrosis",
    "thin sole",
    "white line disease",
    "white line fissure",
    "white line abscess",
    "asymmetric claws",
    "concave dorsal wall",
    "corkscrew claw",
    "scissor claws",
)

# Doepfer et al. as adapted by Berry et al.: Vet Res 2020, doi 10.1186/s13567-020-00750-8, Table 1.
M_STAGES = {
    "M0": "m zero",
    "M1": "m one",
    "M2": "m two",
    "M3": "m three",
    "M4": "m four",
    "M4.1": "m four point one",
}

# Zones of lesions: International Lameness Committee, "Claw lesion identification in dairy cattle";
# white line disease and zone 10: Progressive Dairy 28244, quoting J.K. Shearer.
PUBLISHED_ZONES = {
    "sole ulcer": (4,),
    "toe ulcer": (1,),
    "heel horn erosion": (6,),
    "vertical horn fissure": (7, 8),
    "interdigital phlegmon": (9,),
    "digital dermatitis": (9, 10),
    "thin sole": (4, 5),
    "sole haemorrhage": (4, 5, 6),
    "white line disease": (1, 2, 3),
}

# ICAO Annex 10 / radiotelephony: digits are said one by one; it spells 5 and 9 fife and niner to keep them
# apart. Its other spellings (tree, fower, wun, too, ait) are ways to sound the plain word, not words.
ICAO_DIGITS = {
    "zero": "0",
    "one": "1",
    "two": "2",
    "three": "3",
    "four": "4",
    "fife": "5",
    "five": "5",
    "six": "6",
    "seven": "7",
    "eight": "8",
    "niner": "9",
    "nine": "9",
}


def read(text, **options):
    """Read a text into plain values."""
    return as_json(parse(text.split(), **options))


def only(reading):
    """Return the one entry of a reading."""
    assert len(reading["entries"]) == 1, reading
    return reading["entries"][0]


def animal(said):
    """Return the animal of a note that begins with "cow" and a number."""
    entry = only(read(f"cow {said} left hind outer sole ulcer"))
    assert [finding["lesion"] for finding in entry["findings"]] == ["sole ulcer"], said
    return entry["animal"]


def said_number(number):
    """Say a cardinal as num2words does, in plain words."""
    return num2words(number).replace("-", " ").replace(",", "")


@pytest.mark.parametrize("name", ATLAS_NAMES)
def test_atlas_name_is_its_own_lesion(name):
    """An atlas name said in full gives that lesion and no other."""
    entry = only(read(f"cow four twelve left hind {name}"))
    assert [finding["lesion"] for finding in entry["findings"]] == [name]


def test_atlas_names_can_be_heard():
    """Every word of the atlas names and of the ICAO digits is in the vocabulary."""
    words = {word for phrase in (*ATLAS_NAMES, *ICAO_DIGITS) for word in phrase.split()}
    assert words <= vocabulary()


@pytest.mark.parametrize("stage", M_STAGES)
def test_stage_of_digital_dermatitis(stage):
    """Each stage of the published table is understood, with its lesion said and alone."""
    for said in (f"digital dermatitis {M_STAGES[stage]}", M_STAGES[stage]):
        entry = only(read(f"cow four twelve left hind {said}"))
        assert [finding["stage"] for finding in entry["findings"]] == [stage]


@pytest.mark.parametrize("said", ["m five", "m six", "m two point one", "m four point two"])
def test_stage_outside_the_published_table(said):
    """A stage that the table does not have gives no stage of that name."""
    entry = only(read(f"cow four twelve left hind digital dermatitis {said}"))
    assert {finding["stage"] for finding in entry["findings"]} <= {None, *M_STAGES}


@pytest.mark.parametrize("zone", range(13))
def test_zone_numbers(zone):
    """Zones are numbered 0 to 12: Shearer et al. 2004 (from memory), Progressive Dairy 28244."""
    entry = only(read(f"cow four twelve left hind outer sole ulcer zone {said_number(zone)}"))
    assert [finding["zone"] for finding in entry["findings"]] == [zone]


@pytest.mark.parametrize("zone", [13, 14, 20, 45])
def test_no_zone_above_twelve(zone):
    """A number past 12 is no zone, and never turns into another one."""
    entry = only(read(f"cow four twelve left hind outer sole ulcer zone {said_number(zone)}"))
    assert [finding["zone"] for finding in entry["findings"]] == [None]


@pytest.mark.parametrize(
    ("lesion", "zone"), [(name, zone) for name, zones in PUBLISHED_ZONES.items() for zone in zones]
)
def test_published_zone_is_never_odd(lesion, zone):
    """A lesion in a zone that a published source gives for it is not marked."""
    entry = only(read(f"cow four twelve left hind {lesion} zone {said_number(zone)}"))
    assert [(f["lesion"], f["zone"]) for f in entry["findings"]] == [(lesion, zone)]
    assert not {"zone-odd-for-lesion", "lesion-site-odd"} & set(entry["marks"])


@pytest.mark.parametrize("lesion", ["sole ulcer", "thin sole", "white line disease"])
def test_horn_lesion_between_the_claws_is_odd(lesion):
    """Zone 0 is interdigital skin (Progressive Dairy 28244): a horn lesion there wants a look."""
    entry = only(read(f"cow four twelve left hind {lesion} zone zero"))
    assert {"zone-odd-for-lesion", "lesion-site-odd"} & set(entry["marks"])


@pytest.mark.parametrize("score", [1, 2, 3, 4, 5])
def test_five_point_locomotion(score):
    """Sprecher, Hostetler, Kaneene 1997 (as adapted 2018): scores 1 to 5."""
    entry = only(read(f"cow four twelve locomotion {said_number(score)}"))
    assert entry["locomotion"] == {"score": score, "scale": "1-5"}


@pytest.mark.parametrize("score", [0, 1, 2, 3])
def test_mobility_score(score):
    """DairyCo/AHDB mobility score sheet, 2011: scores 0 to 3."""
    entry = only(read(f"cow four twelve mobility score {said_number(score)}"))
    assert entry["locomotion"] == {"score": score, "scale": "0-3"}


@pytest.mark.parametrize(
    "said", ["locomotion zero", "locomotion six", "mobility four", "mobility five"]
)
def test_score_outside_its_scale(said):
    """A score that the named scale does not have is never stored on that scale."""
    named = "1-5" if said.startswith("locomotion") else "0-3"
    for entry in read(f"cow four twelve {said}")["entries"]:
        assert entry["locomotion"] is None or entry["locomotion"]["scale"] != named


@pytest.mark.parametrize("score", range(6))
def test_bare_score_is_open_only_where_the_scales_overlap(score):
    """0 is on the 0-3 scale only, 4 and 5 on the 1-5 scale only, 1 to 3 on both (the two tables above)."""
    entry = only(read(f"cow four twelve score {said_number(score)}"))
    scale = "0-3" if score == 0 else "1-5" if score > 3 else None
    assert entry["locomotion"] == {"score": score, "scale": scale}
    assert ("locomotion-scale-open" in entry["marks"]) == (scale is None)


def test_measure_of_the_five_step_method_is_not_judged():
    """75 mm (AHDB, 10 Dec 2019) and 90 mm (Archer et al. 2015) are both just recorded."""
    for number in (60, 75, 90):
        said = f"cow four twelve left hind dorsal wall {said_number(number)} millimetres"
        entry = only(read(said, roster=Roster(numbers=("412",))))
        assert [(m["what"], float(m["number"]), m["unit"]) for m in entry["measures"]] == [
            ("dorsal wall", number, "mm")
        ]
        assert not entry["marks"]


@pytest.mark.parametrize("digit", ICAO_DIGITS)
def test_icao_digit_words(digit):
    """An ICAO digit word stands for its digit inside a number said digit by digit."""
    assert animal(f"seven {digit} six") == f"7{ICAO_DIGITS[digit]}6"


def test_icao_digits_one_by_one():
    """Digits said one by one give the number back, leading zeros included."""
    rng = random.Random(20260302)
    words = {value: word for word, value in ICAO_DIGITS.items()}
    for length, _ in itertools.product((3, 4, 5), range(40)):
        number = "".join(rng.choices("0123456789", k=length))
        assert animal(" ".join(words[digit] for digit in number)) == number


@pytest.mark.parametrize(
    ("said", "number"),
    [
        ("double seven three", "773"),
        ("four double seven", "477"),
        ("treble five", "555"),
        ("one treble five", "1555"),
        ("triple five", "555"),
        ("four oh two", "402"),
        ("double oh seven", "007"),
    ],
)
def test_british_telephone_forms(said, number):
    """Take "double", "treble" and "oh" as British speech uses them (speech-technology references)."""
    assert animal(said) == number


def test_cardinals_as_a_reference_library_says_them():
    """Numbers as num2words says them in English are read back: all to 130, then a sample to 9999."""
    rng = random.Random(412)
    numbers = [*range(1, 131), *rng.sample(range(131, 10_000), 300)]
    wrong = {
        said: (number, got)
        for number in numbers
        if (got := animal(said := said_number(number))) != str(number)
    }
    assert not wrong


def test_pairs_as_a_reference_library_says_years():
    """Four-digit numbers said in pairs, as num2words says years ("nineteen oh five")."""
    rng = random.Random(1905)
    wrong = {}
    for number in rng.sample(range(1101, 2000), 150):
        said = num2words(number, to="year").replace("-", " ")
        if (got := animal(said)) != str(number):
            wrong[said] = (number, got)
    assert not wrong


def test_electronic_id_digit_by_digit():
    """The 15-digit ISO 11784 number of the ICAR ADE example finds its animal on the roster."""
    eid = "840003123456789"
    roster = Roster(numbers=("412", "87"), eids={eid: "412"})
    said = " ".join(num2words(int(digit)) for digit in eid)
    assert only(read(f"tag {said} left hind clean", roster=roster))["animal"] == "412"


def test_every_day_of_the_year_as_a_spoken_date():
    """Each day ahead, said as "the second of march" (num2words), gives that day (datetime)."""
    wrong = {}
    for ahead in range(1, 300):
        day = MONDAY + dt.timedelta(days=ahead)
        ordinal = num2words(day.day, to="ordinal").replace("-", " ")
        said = f"the {ordinal} of {calendar.month_name[day.month].lower()}"
        got = only(read(f"cow eight look again on {said}", on=MONDAY))["follow_ups"]
        if [follow_up["date"] for follow_up in got] != [day.isoformat()]:
            wrong[said] = got
    assert not wrong


@pytest.mark.parametrize("start", range(7))
def test_weekday_is_the_coming_one(start):
    """A weekday is the next such day after the note's own, by the calendar of datetime."""
    today = MONDAY + dt.timedelta(days=start)
    for number, name in enumerate(calendar.day_name):
        entry = only(read(f"cow eight look again on {name.lower()}", on=today))
        (follow_up,) = entry["follow_ups"]
        day = dt.date.fromisoformat(follow_up["date"])
        assert day.weekday() == number
        assert 1 <= (day - today).days <= 7


@pytest.mark.parametrize(("unit", "days"), [("day", 1), ("week", 7), ("fortnight", 14)])
def test_intervals_add_up(unit, days):
    """Intervals in days, weeks and fortnights by datetime's arithmetic, across month and year ends."""
    for start in (MONDAY, dt.date(2026, 12, 24), dt.date(2028, 2, 20)):
        for count in range(2, 13):
            said = f"cow eight look again in {num2words(count)} {unit}s"
            (follow_up,) = only(read(said, on=start))["follow_ups"]
            assert follow_up["in_days"] == count * days
            assert follow_up["date"] == (start + dt.timedelta(days=count * days)).isoformat()
