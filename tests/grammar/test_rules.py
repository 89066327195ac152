"""Every rule, check and lesion works and has a case; no rule takes what another should."""

import itertools
import random
import re
import tomllib
from datetime import date
from pathlib import Path

import pytest

from grammar import (
    Carry,
    Roster,
    as_json,
    as_text,
    load_lexicon,
    parse,
    parse_best,
    split_text,
)
from grammar.checks import CHECKS
from grammar.hear.chunks import to_chunks
from grammar.hear.odd_words import find_odd_words
from grammar.hear.phrases import choose_cover, find_terms
from grammar.say.phrases import phrase_sheet
from grammar.say.sample import told_tissue

CASES = [
    case
    for path in sorted((Path(__file__).parents[1] / "cases").glob("*.toml"))
    for case in tomllib.loads(path.read_text(encoding="utf-8"))["case"]
]
ON = date(2026, 3, 2)


def chunks_of(words):
    lexicon = load_lexicon()
    return to_chunks(words, choose_cover(words, find_terms(words, lexicon), lexicon), lexicon)


def taken_rules(words):
    return {taken.rule for taken in parse(words, on=ON).taken}


@pytest.mark.parametrize("rule", load_lexicon().rules, ids=lambda rule: rule.id)
def test_rule_takes_its_example(rule):
    """The example of each rule is taken by that rule, whole."""
    reading = parse(rule.example.split(), on=ON)

    (taken,) = [t for t in reading.taken if t.rule == rule.id]
    assert (0, len(rule.example.split())) == (taken.first, taken.last)


@pytest.mark.parametrize("row", load_lexicon().odd_words, ids=lambda row: row.example)
def test_odd_word_marks_its_example(row):
    """The word of each row is found odd in its example."""
    chunks = chunks_of(row.example.split())

    odd = find_odd_words(chunks, load_lexicon())

    assert any(row.of_talk or said in row.words for _, _, said in odd), chunks


def test_every_rule_has_a_case():
    """No rule lives without a note that a person has written for it."""
    used = {rule for case in CASES for rule in taken_rules(case["heard"].split())}

    assert [] == [rule.id for rule in load_lexicon().rules if rule.id not in used]


def test_every_value_has_a_case():
    """Each lesion, action, follow-up, foot, claw and command of the lexicon is said in some case."""
    used = {rule for case in CASES for rule in taken_rules(case["heard"].split())}
    kinds = ("LESION", "ACTION", "FOLLOWUP", "FOOT", "CLAW", "COMMAND")
    ids = {term.id for term in load_lexicon().terms.values() if term.tag in kinds}

    assert set() == ids - used


def test_over_match():
    """Over all cases, each word is taken once: by one rule, by none (left over), or in a remark."""
    for case in CASES:
        words = case["heard"].split()
        reading = parse(words, on=ON)
        spans = sorted((t.first, t.last) for t in reading.taken)
        assert all(a[1] <= b[0] for a, b in itertools.pairwise(spans)), case["id"]
        covered = {i for first, last in spans for i in range(first, last)}
        assert covered.isdisjoint(reading.leftover), case["id"]


RISKS = {row.name: row for rows in load_lexicon().risk_words.values() for row in rows}


@pytest.mark.parametrize("row", RISKS.values(), ids=lambda row: row.name)
def test_risk_marks_its_example(row):
    """The word of each row is marked in its example, with the row's question about what it threatens."""
    asked = [
        mark.what
        for entry in parse(row.example.split()).entries
        for mark in entry.marks
        if mark.check == "word-unused"
    ]
    before, behind = row.ask.split("{thing}")
    assert any(before in what and what.endswith(behind) for what in asked), asked


# Words that do their work, or are talk: no rule needs to take account of them.
HARMLESS = (
    "cow four twelve had a look at the left hind outer ulcer blocked the inner",
    "cow four twelve both hinds had dermatitis sprayed both",
    "cow four twelve the farmer was right left hind outer ulcer blocked the inner",
    "cow four twelve left hind not bad sole ulcer outer",
    "cow four twelve left hind outer ulcer sorry girl",
    "cow four twelve wrapped only the right hind m two left hind clean",
    "cow four twelve left hind outer ulcer no right hind",
    "cow four twelve left hind and the right hind dermatitis",
)


@pytest.mark.parametrize("said", HARMLESS)
def test_words_that_do_their_work_are_not_marked(said):
    marks = {mark.check for entry in parse(said.split()).entries for mark in entry.marks}
    assert marks.isdisjoint({"word-unused", "animal-lost", "foot-shared"})


def test_a_word_counts_as_used_where_the_note_reads_differently_without_it():
    """ "Not" is marked only where nothing was denied by it."""
    denied = parse("cow four twelve left hind not an ulcer".split()).entries[0]
    talked = parse("cow four twelve far from an ulcer bruising left hind".split()).entries[0]

    assert ("sole ulcer",) == tuple(slot.value for slot in denied.denied)
    assert () == denied.marks
    assert ("word-unused", 6) in [(mark.check, mark.first) for mark in talked.marks]


def test_the_mark_is_of_the_animal_that_it_was_said_of():
    """Of two animals in a note only the one with the word is marked; what a remark says is no word."""
    said = "cow four twelve left hind wart wrapped cow four thirteen left hind wart dressed it down"
    first, second = parse(said.split()).entries
    (remarked,) = parse("cow four twelve left hind wart remark dressed it down".split()).entries

    assert "word-unused" not in {mark.check for mark in first.marks}
    assert "word-unused" in {mark.check for mark in second.marks}
    assert () == remarked.marks


def test_of_more_such_words_than_are_tried_each_is_marked():
    """A note is read again a few times only; nothing is let through for want of a reading."""
    said = " ".join(
        f"cow {n} hundred left hind wart dressed it down"
        for n in ("one", "two", "three", "four", "five", "six", "seven")
    )
    entries = parse(said.split()).entries

    assert 7 == len(entries)
    assert all("word-unused" in {mark.check for mark in entry.marks} for entry in entries)


def test_words_stepped_over_do_not_shift_the_mark():
    """The place is that of the words as heard, with um and uh."""
    words = "um cow four twelve uh there was um a block on her left hind inner".split()
    (mark,) = parse(words).entries[0].marks

    assert ("word-unused", "block") == (mark.check, words[mark.first])


# What the brackets of a check's example stand for.
SITUATIONS = {
    "animal-carried": {"carry": Carry(animal="412")},
    "animal-not-on-roster": {"roster": Roster(numbers=("7",))},
    "animal-ambiguous": {"roster": Roster(numbers=("422", "4202"))},
    "number-sounds-alike": {"roster": Roster(numbers=("415", "450"))},
    "animal-seen-twice": {"carry": Carry(animal="87", seen=("412", "87"))},
    "follow-up-past": {"on": ON},
}


@pytest.mark.parametrize("check", CHECKS.values(), ids=lambda check: check.id)
def test_check_is_raised_by_its_example(check):
    """The example in the docs raises the check, and a plain note does not."""
    words = re.sub(r"\(.*\)", "", check.example).split()
    if check.id == "alternatives-disagree":
        other = ["cow", "four", "fifty", "left", "hind", "clean"]
        plain = as_json(parse_best([words, other], roster=Roster(numbers=("415", "450"))))
    else:
        plain = as_json(parse(words, **SITUATIONS.get(check.id, {})))

    raised = {mark for entry in plain["entries"] for mark in entry["marks"]} | set(plain["marks"])
    assert check.id in raised
    clean = as_json(
        parse(
            ["cow", "four", "twelve", "left", "hind", "outer", "sole", "ulcer", "zone", "four"],
            on=ON,
        )
    )
    assert [] == clean["entries"][0]["marks"]


def test_marks_point_at_their_words():
    """A mark's span holds the words it is about."""
    words = ["cow", "four", "twelve", "left", "hind", "outer", "sole", "ulcer", "zone", "eight"]
    (mark,) = parse(words).entries[0].marks

    assert "zone-odd-for-lesion" == mark.check
    assert ["zone", "eight"] == words[mark.first : mark.last]


def test_slots_point_at_their_words():
    """Every slot keeps the words it was heard in, and where."""
    words = ["cow", "four", "twelve", "left", "hind", "outer", "soul", "ulcer", "zone", "four"]
    (finding,) = parse(words).entries[0].findings

    for slot in (finding.lesion, finding.foot, finding.claw, finding.zone):
        assert slot.heard == " ".join(words[slot.first : slot.last])
    assert ("soul ulcer", "sole ulcer", "repaired") == (
        finding.lesion.heard,
        finding.lesion.value,
        finding.lesion.how,
    )


def test_both_readings_of_a_correction_are_kept():
    """The slot keeps what it replaced, and the entry says so."""
    entry = parse(
        ["cow", "four", "twelve", "left", "hind", "sole", "ulcer", "no", "right", "hind"]
    ).entries[0]

    assert "RH" == entry.findings[0].foot.value
    assert ("LH",) in entry.findings[0].foot.rejected
    assert [("foot", "left hind", "right hind")] == [
        (c.slot, c.was, c.now) for c in entry.corrections
    ]


def test_remark_is_word_for_word():
    """Nothing in a remark is repaired, filtered or read."""
    words = [
        "cow",
        "four",
        "twelve",
        "left",
        "hind",
        "clean",
        "remark",
        "soul",
        "ulcer",
        "cow",
        "nine",
        "no",
        "scratch",
        "that",
        "[unk]",
    ]
    reading = parse(words)

    assert ["soul ulcer cow nine no scratch that [unk]"] == [e.remark for e in reading.entries]
    assert () == reading.commands


def test_explain_shows_what_took_each_word():
    """Carets stand under what was taken, question marks under what was not."""
    text = as_text(parse(["cow", "four", "twelve", "left", "hind", "banana", "sole", "ulcer"]))
    words, carets, *rest = text.splitlines()

    assert "^" * len("cow four twelve") == carets[: len("cow four twelve")]
    at = words.index("banana")
    assert "?" * len("banana") == carets[at : at + len("banana")]
    assert any("animal by number" in line for line in rest)
    assert any("left over: banana" in line for line in rest)


def test_phrase_sheet_fits_a_page():
    """The sheet is one page of print: at most 120 lines of 100 characters."""
    lines = phrase_sheet().splitlines()

    assert len(lines) <= 120
    assert max(map(len, lines)) <= 100


def test_long_notes_keep_all_animals():
    """A hundred animals in one breath are a hundred entries."""
    rng = random.Random(3)
    numbers = rng.sample(range(100, 999), 100)
    words = [w for n in numbers for w in ("cow", *(str(n)), "left", "hind", "clean")]

    assert [str(n) for n in numbers] == [e.animal.value for e in parse(words).entries]


def test_commands_and_leftovers_say_where_they_stand():
    """A cut between notes falls on a command's words; what is left over has its places."""
    plain = as_json(
        parse(
            [
                "cow",
                "four",
                "left",
                "hind",
                "clean",
                "next",
                "cow",
                "banana",
                "foul",
                "end",
                "of",
                "note",
            ]
        )
    )
    assert plain["command_details"] == [
        {"kind": "next cow", "first": 5, "last": 7},
        {"kind": "end of note", "first": 9, "last": 12},
    ]
    assert plain["leftover_at"] == [7]


@pytest.mark.parametrize(
    ("said", "animal", "other"),
    [("3 80 4", "384", "3804"), ("400 12", "412", "40012"), ("10 4", "104", None)],
)
def test_figures_are_read_as_an_engine_writes_words(said, animal, other):
    """Common practice: a general engine writes "three eighty four" as "3 80 4"."""
    (entry,) = as_json(parse(split_text(f"cow {said} left hind sole ulcer")))["entries"]

    assert animal == entry["animal"]
    assert [animal, *filter(None, [other])] == entry["animal_candidates"]


def test_marks_stand_in_the_order_of_the_table():
    """Those of the whole reading too, so that a mark which goes and comes again stands where it stood."""
    note = "cow four twelve there was a block on her left hind inner left hind outer sole ulcer zone ten"
    found = [one.check for one in parse(note.split()).entries[0].marks]
    assert {"word-unused", "zone-odd-for-lesion"} <= set(found)
    assert found == sorted(found, key=list(CHECKS).index)


@pytest.mark.parametrize(
    ("note", "feet"),
    [
        ("cow six bulb ulcer left hind outer right front clean trimmed", ["RF"]),
        ("cow six left front clean right front clean trimmed", ["LF", "RF"]),
    ],
)
def test_a_trim_is_shared_among_clean_feet_alone(note, feet):
    assert [one.foot.value for one in parse(note.split()).entries[0].actions] == feet


def test_blanks_inside_a_word_move_no_place():
    """A word of a general engine may hold a carriage return (found by the fuzzer)."""
    reading = parse(["number", "six", "fou\rr", "oh", "oh", "left", "hind", "sole", "ulcer"])
    assert reading.entries[0].findings[0].lesion.first == 7


def test_a_severity_of_both_hinds_stands_on_no_clean_front():
    note = "cow three fronts clean hinds sole ulcer on both severe"
    found = parse(note.split()).entries[0].findings
    graded = {(one.foot.value, one.severity.value) for one in found if one.severity}
    assert graded == {("LH", "severe"), ("RH", "severe")}


def test_what_every_deed_tells_is_found_without_its_article():
    """The sampler says "the wall off" behind other words, and keeps "wall off"."""
    deeds = [term.phrase for term in load_lexicon().terms.values() if term.tag == "ACTION"]
    told = {phrase: told_tissue(phrase.removeprefix("the ")) for phrase in deeds}
    assert told["let the pus out"] == "pus"
    assert told["the wall off"] is None
