"""Lists as tables for a terminal."""

from collections.abc import Iterable

from rich.table import Column, Table
from rich.text import Text

from dictate.entry.wording import say_entry
from dictate.review.left_aside import LeftAside
from dictate.review.waiting import WaitingEntry


def queue_table(entries: Iterable[WaitingEntry]) -> Table:
    """The queue: number, clip, heard words, reading, and why it needs a look."""
    clip = Column("clip", overflow="fold")  # the end of a file's name tells it from the next
    table = Table("entry", clip, "heard", "reading", "look, because", show_lines=True)
    for entry in entries:
        why = "\n".join(mark.what for mark in entry.values.mark_details)
        add_plain(table, str(entry.id), entry.clip, entry.heard, say_entry(entry.values), why)
    return table


def left_aside_table(rows: Iterable[LeftAside]) -> Table:
    """What was left aside as talk: number, clip, length, and the words that were heard in it."""
    table = Table("entry", Column("clip", overflow="fold"), "seconds", "heard", show_lines=True)
    for row in rows:
        add_plain(table, str(row.id), row.clip, f"{row.seconds:.0f}", row.heard)
    return table


def add_plain(table: Table, *cells: str) -> None:
    """Add a row of plain text: heard words such as `[unk]` are not the terminal's markup."""
    table.add_row(*map(Text, cells))
