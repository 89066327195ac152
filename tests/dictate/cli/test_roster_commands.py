"""`dictate roster import`: what it says, asks and writes."""

from pathlib import Path


def _write(path: Path, text: str) -> Path:
    path.write_text(text, encoding="utf-8")
    return path


def test_good_lines_go_in_and_the_others_come_back_as_a_file(dictate, tmp_path: Path) -> None:
    """What was refused is named, written beside the list, and goes in once mended."""
    file = _write(
        tmp_path / "herd.csv", "Koenummer;Lactatienummer;Kleur\n0412;2;rood\n413;1.5;wit\n"
    )

    ran = dictate("roster", "import", file)

    assert "1 added" in ran.out
    assert "line 3: lactation '1.5' is no whole number" in ran.err
    assert "Columns not taken: Kleur" in ran.err
    mend = tmp_path / "herd to mend.csv"
    mend.write_text(mend.read_text("utf-8-sig").replace("1.5;", "1;"), encoding="utf-8")
    assert "1 added, 0 changed" in dictate("roster", "import", mend).out
    assert ["0412", "413"] == sorted(_numbers(dictate))


def test_columns_are_said_once(dictate, tmp_path: Path) -> None:
    """An unknown heading is asked for; what a person said is kept for the farm."""
    file = _write(tmp_path / "herd.csv", "Plate,Button\n412,999000000000001\n")
    ran = dictate("roster", "import", file)
    assert (8, "") == (ran.code, ran.out)
    assert "--column number=" in ran.err
    assert "'Plate', 'Button'" in ran.err
    assert "412 | " not in dictate("roster", "list").out

    assert "Plate\t(not taken)\t412" in dictate("roster", "import", file, "--preview").out
    said = ("--column", "number=Plate", "--column", "eid=2")
    assert "1 added" in dictate("roster", "import", file, *said).out
    assert "1 added" not in dictate("roster", "import", file).out
    next_one = _write(tmp_path / "later.csv", "Button,Plate\n999000000000001,77\n")
    assert "1 renumbered" in dictate("roster", "import", next_one).out


def test_a_complete_list_that_is_not(dictate, tmp_path: Path) -> None:
    """Half a list as the whole herd stops, says what it would do, and goes on with --yes."""
    whole = _write(tmp_path / "whole.csv", "number\n" + "\n".join(map(str, range(1, 21))) + "\n")
    half = _write(tmp_path / "half.csv", "number\n" + "\n".join(map(str, range(1, 11))) + "\n")
    empty = _write(tmp_path / "empty.csv", "number\n")
    dictate("roster", "import", whole)

    ran = dictate("roster", "import", half, "--complete")
    assert 8 == ran.code
    assert "10 of the 20 on the roster off" in ran.err
    assert 8 == dictate("roster", "import", empty, "--complete").code
    assert 8 == dictate("roster", "import", empty).code
    assert "10 left" in dictate("roster", "import", half, "--complete", "--yes").out

    ran = dictate("roster", "import", whole)
    assert "0 added" in ran.out
    assert "--returned same" in ran.err
    assert "10 returned" in dictate("roster", "import", whole, "--returned", "same").out
    assert 20 == len(_numbers(dictate))


def test_refused_lines_take_nobody_off(dictate, tmp_path: Path) -> None:
    """Who stands on a line that was refused has not left."""
    dictate("roster", "import", _write(tmp_path / "a.csv", "number,lactation\n1,1\n2,1\n"))

    ran = dictate(
        "roster", "import", _write(tmp_path / "b.csv", "number,lactation\n1,1\n2,-5\n"), "--complete", "--yes"
    )  # fmt: skip

    assert "0 left" in ran.out
    assert "nobody is taken off" in ran.err


def test_zeros_in_front_are_asked_and_a_list_is_taken_back(dictate, tmp_path: Path) -> None:
    """0412 where 412 is there waits for a word; `roster undo` undoes a whole list."""
    dictate("roster", "import", _write(tmp_path / "a.csv", "number\n412\n413\n"))
    zeros = _write(tmp_path / "b.csv", "number\n0412\n413\n")

    ran = dictate("roster", "import", zeros, "--complete")
    assert "0412 and 412 are one number but for zeros" in ran.err
    assert "--zeros same" in ran.err
    assert "0 left" in ran.out
    assert "1 renumbered" in dictate("roster", "import", zeros, "--zeros", "same").out
    assert ["0412", "413"] == sorted(_numbers(dictate))

    assert "1 as they were before" in dictate("roster", "undo").out
    assert ["412", "413"] == sorted(_numbers(dictate))
    assert "2 new animals removed" in dictate("roster", "undo").out
    assert "no list of Alder Farm" in dictate("roster", "undo").err


def _numbers(dictate) -> list[str]:
    return [line.split("\t")[0] for line in dictate("roster", "list").out.splitlines()]


def test_past_treatments_by_mapped_columns(dictate, tmp_path: Path) -> None:
    """Columns and words are said once; refused rows come back as a file; the list is taken back."""
    dictate("roster", "import", _write(tmp_path / "a.csv", "number\n412\n413\n"))
    past = _write(tmp_path / "past.csv", "When,Beast,What,Limb\n2024-03-14,412,sore,LH\n2024-03-15,413,odd,LH\n")  # fmt: skip
    columns = ("--column", "date=When", "--column", "number=2", "--column", "lesion=What")

    assert 8 == dictate("past", "import", past).code
    shown = dictate("past", "import", past, *columns, "--preview")
    assert "Limb\tfoot\tLH | LH" in shown.out
    assert "'sore' is not known" in shown.err
    assert 2 == dictate("past", "import", past, "--word", "sore=nonsense").code
    ran = dictate("past", "import", past, *columns, "--word", "sore=sole ulcer")
    assert "1 added, 0 known already" in ran.out
    assert "line 3: 'odd' is not known" in ran.err
    mend = tmp_path / "past to mend.csv"
    mend.write_text(mend.read_text("utf-8-sig").replace(";odd;", ";thin sole;"), encoding="utf-8")
    assert "1 added, 0 known already" in dictate("past", "import", mend).out
    assert "0 added, 1 known already" in dictate("past", "import", past).out

    assert "left hind sole ulcer  (from past.csv)" in dictate("animal", "412").out
    assert "BAD" not in dictate("doctor").out.partition("model")[0]
    kept = dictate("backup", tmp_path / "kept")
    assert "missing" not in kept.out + kept.err  # a list has no sound
    assert "past to mend.csv, 1 row" in dictate("past", "undo").out
    assert "past.csv, 1 row" in dictate("past", "undo").out
    assert 0 != dictate("past", "undo").code
    assert "sole ulcer" not in dictate("animal", "412").out


def test_a_past_list_with_a_column_for_each_lesion(dictate, tmp_path: Path) -> None:
    """What a person said of its headings, words and day is kept for the next list of the farm."""
    dictate("roster", "import", _write(tmp_path / "a.csv", "number\n412\n413\n"))
    first = _write(tmp_path / "first.csv", "Beast;Sohlendefekt;Plork;DD\n412;HL;;\n413;;ja;2\n")
    said = ("--column", "number=Beast", "--column", "each=Sohlendefekt", "--column", "each=Plork")
    words = ("--word", "Sohlendefekt=sole ulcer", "--word", "Plork=wrap", "--word", "2=x")

    assert "no column is known to be the day" in dictate("past", "import", first, *said).err
    day = ("--on", "2024-03-14")
    assert "'Sohlendefekt' is no lesion" in dictate("past", "import", first, *said, *day).err
    assert "2 added" in dictate("past", "import", first, *said, *words, *day).out
    assert "left hind sole ulcer" in dictate("animal", "412").out
    second = _write(tmp_path / "second.csv", "Beast;Plork;Sohlendefekt;DD\n412;;x;2\n413;HR;;\n")
    assert "2 added" in dictate("past", "import", second, "--on", "2025-03-14").out
    assert "right hind" in dictate("animal", "413").out
    assert 2 == dictate("past", "import", first, "--word", "+=x").code
    assert 2 == dictate("past", "import", first, "--column", "date=1", "--column", "date=2").code


def test_a_past_list_is_shown_as_it_would_be_taken_in(dictate, tmp_path: Path) -> None:
    """A number that the farm never had is refused in the preview too; nothing of it is kept."""
    dictate("roster", "import", _write(tmp_path / "herd.csv", "number\n412\n"))
    past = _write(
        tmp_path / "past.csv",
        "Date,Cow,Foot,Lesion\n2026-02-02,412,LH,SU\n,412,RH,DD\n2026-02-03,999,LH,SU\n",
    )

    ran = dictate("past", "import", past, "--preview")
    assert "1 row to take in, 0 known already, 2 lines refused" in ran.err
    assert "line 4: no animal 999" in ran.err
    ran = dictate("past", "import", past)
    assert "1 added, 0 known" in ran.out
    assert "--day-above" in ran.err
    ran = dictate("past", "import", past, "--day-above", "--new")
    assert "2 added, 1 known" in ran.out
