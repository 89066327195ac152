"""The figures of a measurement as a table to read and as plain data."""

from collections.abc import Mapping, Sequence
from io import StringIO
from typing import Any

from rich.console import Console
from rich.table import Table

from dictate.measuring.measure import Report
from dictate.measuring.scoring import Score

_WIDTH = 118
_SPEAKERS_MAX = 24
"""With more speakers than this their lines are left out; `--json` has them."""


def as_table(reports: Sequence[Report]) -> str:
    """Return the figures side by side, one line an engine and condition."""
    table = Table(box=None, pad_edge=False)
    for heading in ("engine", "of", "notes", "word error", "slots", "exact entries",
                    "wrong animal (unmarked)", "RTF", "load s", "peak MB"):  # fmt: skip
        table.add_column(heading, justify="left" if heading in {"engine", "of"} else "right")
    for report in reports:
        run = report.run
        last = (
            f"{report.total.real_time_factor:.3f}",
            f"{run.seconds_to_load:.2f}",
            f"{run.peak_memory_mb:.0f}",
        )
        table.add_row(run.engine, "all", *_cells(report.total), *last)
        for name, score in _parts(report):
            table.add_row("", name, *_cells(score))
    out = StringIO()
    Console(file=out, width=_WIDTH, no_color=True).print(table)
    return out.getvalue().rstrip()


def _parts(report: Report) -> list[tuple[str, Score]]:
    parts = [by for by in (report.by_condition, report.by_speaker) if 1 < len(by) <= _SPEAKERS_MAX]
    return [(name, score) for by in parts for name, score in sorted(by.items())]


def _cells(score: Score) -> tuple[str, ...]:
    return (
        str(score.notes),
        f"{score.word_error_rate:.2%}",
        f"{score.slot_accuracy:.1%}" if score.slots else "-",
        f"{score.exact_entry_rate:.1%}" if score.entries else "-",
        f"{score.animals_wrong} ({score.animals_wrong_unmarked})",
    )


def as_plain(report: Report) -> dict[str, Any]:
    """Return the figures as plain data."""
    run = report.run
    return {
        "engine": run.engine,
        "seconds_to_load": round(run.seconds_to_load, 3),
        "peak_memory_mb": round(run.peak_memory_mb, 1),
        "real_time_factor": round(report.total.real_time_factor, 4),
        "all": _plain(report.total),
        "conditions": _each(report.by_condition),
        "speakers": _each(report.by_speaker),
    }


def _each(scores: Mapping[str, Score]) -> dict[str, dict[str, float]]:
    return {name: _plain(score) for name, score in sorted(scores.items())}


def _plain(score: Score) -> dict[str, float]:
    return {
        "notes": score.notes,
        "word_error_rate": round(score.word_error_rate, 4),
        "slot_accuracy": round(score.slot_accuracy, 4),
        "exact_entry_rate": round(score.exact_entry_rate, 4),
        "wrong_animals": score.animals_wrong,
        "wrong_animals_unmarked": score.animals_wrong_unmarked,
    }
