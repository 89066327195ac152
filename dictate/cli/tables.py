"""Lists as tables for a terminal."""

from collections.abc import Iterable

from rich.table import Table

from dictate.notes.sentences import say_entry
from dictate.review.waiting import WaitingEntry

__all__ = ["queue_table"]


def queue_table(entries: Iterable[WaitingEntry]) -> Table:
    """The queue: number, clip, heard words, reading, and why it needs a look."""
    table = Table("entry", "clip", "heard", "reading", "look, because", show_lines=True)
    for entry in entries:
        why = "\n".join(mark.what for mark in entry.values.mark_details)
        table.add_row(str(entry.id), entry.clip, entry.heard, say_entry(entry.values), why)
    return table
