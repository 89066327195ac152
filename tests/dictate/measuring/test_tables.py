"""Folders of sound with a table of what was said."""

import pytest

from dictate.errors import SoundError
from dictate.measuring.tables import choose, read_table


def folder_with(tmp_path, table, files=("a.ogg", "b.wav")):
    (tmp_path / "transcripts.tsv").write_text(table)
    for name in files:
        (tmp_path / name).touch()
    return tmp_path


def test_a_table_is_read(tmp_path):
    """Names go without their ending; extra columns are welcome."""
    table = (
        "utterance\tsplit\ttext\tcondition\na\tdev\tCow Four\tclean\nb.wav\ttrain\tclean\t10 dB\n"
    )

    first, second = read_table(folder_with(tmp_path, table))

    assert (first.path.name, first.words, first.split) == ("a.ogg", ("cow", "four"), "dev")
    assert (second.path.name, second.condition) == ("b.wav", "10 dB")


@pytest.mark.parametrize(
    ("table", "message"),
    [
        ("utterance\tsaid\na\tcow\n", "lacks the columns text"),
        ("utterance\ttext\nc\tcow\n", "1 files are not there, such as c"),
    ],
)
def test_a_table_with_faults_is_refused(tmp_path, table, message):
    """What is missing is named."""
    with pytest.raises(SoundError, match=message):
        read_table(folder_with(tmp_path, table))


def test_a_folder_without_table_is_refused(tmp_path):
    """The message names the file that is expected."""
    with pytest.raises(SoundError, match=r"transcripts\.tsv: no such table"):
        read_table(tmp_path)


def test_rows_that_are_not_measured_may_teach(tmp_path):
    """A split is measured; the language model may come only from the other rows."""
    table = "utterance\tsplit\ttext\na\tdev\tcow\nb\ttrain\tclean\n"
    rows = read_table(folder_with(tmp_path, table))

    measured, others = choose(rows, split="dev")
    assert [row.words for row in measured] == [("cow",)]
    assert [row.words for row in others] == [("clean",)]

    everything, nothing = choose(rows)
    assert (len(everything), nothing) == (2, [])
    assert len(choose(rows, limit=1)[0]) == 1
