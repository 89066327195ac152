"""Hearing every row of transcripts.tsv tables, for the benches that judge what was heard."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from dictate.hearing import open_engine, talk
from dictate.hearing.talk import Judged
from dictate.measuring.tables import Utterance, read_table
from dictate.sound import read_sound
from grammar import Roster


def heard_rows(
    folders: Sequence[Path], model: Path | None, roster: Roster | None = None
) -> Iterator[tuple[str, Utterance, Judged]]:
    """Yield each row with its folder's name and its hearings, talk in them judged."""
    engine = open_engine(model, roster=roster, terms=())
    for folder in folders:
        for row in read_table(folder):
            heard = engine.hear(read_sound(row.path))
            yield folder.name, row, talk.judge([heard.words, *heard.alternatives], heard.fits)
