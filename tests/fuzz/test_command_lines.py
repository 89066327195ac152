"""Every command with odd arguments says what is wrong; `tests/bench/fuzz_commands.py` tries them all."""

from pathlib import Path

import pytest
from commands import Case, all_cases, fault_in, fill_folder, leaves, sample
from running import ran

LEAVES = list(leaves())
EACH = 2


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Files that are not what they are called."""
    made = tmp_path_factory.mktemp("hostile")
    fill_folder(made)
    return made


@pytest.mark.parametrize(("words", "command"), LEAVES, ids=[" ".join(words) for words, _ in LEAVES])
def test_no_traceback_and_no_hang(words: tuple[str, ...], command: object, folder: Path) -> None:
    """Some of its hostile command lines, and its output led to a full device."""
    cases = list(all_cases(words, command))
    for case in [
        *(case for case in cases if case.out != "/dev/null"),
        *sample(cases, EACH, seed=1),
    ]:
        code, err, _ = ran(folder, case)
        assert not fault_in(code, err), f"{case}\n{err[-2000:]}"


@pytest.mark.parametrize(
    ("code", "err", "said"),
    [
        (
            1,
            'Traceback (most recent call last):\n  File "dictate/x.py", line 1, in y\nE: z',
            "E: z",
        ),
        (None, "", "did not end"),
        (-11, "", "signal 11"),
        (2, "Usage: dictate\nError: no such option", ""),
    ],
)
def test_what_counts_as_a_fault(code: int | None, err: str, said: str) -> None:
    """A refusal in words is none; a traceback, a signal and no end are."""
    assert said in fault_in(code, err)
    assert bool(said) == bool(fault_in(code, err))


def test_every_parameter_is_tried() -> None:
    """The cases come from the command tree, so that a new option is tried without a word here."""
    cases: list[Case] = [case for words, command in LEAVES for case in all_cases(words, command)]
    assert len(cases) > 3000
    assert any("--returned=412" in case.words for case in cases)
