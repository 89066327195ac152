"""Counts the keys that bring the demo day from the queue into the record.

    python tests/bench/review_keys.py

Hears the demo day with the bundled model and decides for every entry what a person would press:

- right and without marks: nothing of its own; two keys confirm all of them together
- right, but marked: Enter
- right after one of the card's choices: its key and Enter
- nothing that was said is to be recorded from it: X and the key of a reason
- anything else: T, every letter of what was said, Enter, and Enter to confirm; fixing slot by slot is
  often shorter, so this is the most that it takes

An entry that is wrong and has no mark counts two more, to find it in the list and open it.
`tests/browser/test_evening.py` counts real key presses in a browser, over made-up mis-hearings.
"""

import os
import sys
import tempfile
from collections import Counter
from pathlib import Path

from sqlmodel import Session, col, select

from dictate.demo.comparing import same_entry
from dictate.demo.script import Script, ScriptedNote, demo_folder, read_script
from dictate.hearing import open_engine
from dictate.notes.pipeline import run_batch
from dictate.notes.taking_in import Where, find_files
from dictate.notes.values import EntryValues
from dictate.review.changes import apply_changes
from dictate.settings import Settings
from dictate.store.database import Database, open_database
from dictate.store.queries import farm_by_name
from dictate.store.roster import read_roster, take_in_roster
from dictate.store.tables import Clip, Entry, Note
from dictate.web.card import TEXT
from dictate.web.showing import card_of

CONFIRM, CHOOSE, DISCARD, FIND = 1, 2, 2, 2
TYPE = 3
"""T, Enter, Enter."""


def hear_day(database: Database, settings: Settings, script: Script, audio: Path) -> None:
    """Take the demo day in, as `dictate demo` does."""
    with database.writing() as session:
        farm = farm_by_name(session, script.farm, make=True)
        take_in_roster(session, farm, read_roster(audio / "roster.csv"), by="bench", complete=True)
    where = Where(farm=script.farm, date=script.date, whole_herd=False)
    run_batch(
        database, settings, find_files([audio]), where, lambda roster: open_engine(roster=roster)
    )


def keys_for(session: Session, entry: Entry, note: ScriptedNote) -> tuple[str, int]:
    """What a person does with an entry, and how many keys that takes."""
    values = EntryValues.model_validate(entry.content)
    found = FIND if not values.marks else 0
    if any(same_entry(values, said) for said in note.entries):
        return ("marked, right", CONFIRM) if values.marks else ("together", 0)
    if not note.entries:
        return "discarded", DISCARD + found
    for choice in card_of(session, entry.id or 0).choices:
        if choice.path == TEXT:
            continue
        changed = apply_changes(values, dict.fromkeys(choice.path.split(","), choice.value))
        if any(same_entry(changed, said) for said in note.entries):
            return "one choice", CHOOSE + found
    return "typed", TYPE + len(note.said) + found


def main() -> None:
    audio = demo_folder()
    script = read_script(audio)
    notes = {note.clip: note for note in script.note}
    with tempfile.TemporaryDirectory() as folder:
        os.environ["DICTATE_HOME"] = folder
        settings = Settings(home=Path(folder), trimmer=script.trimmer, farm=script.farm)
        with open_database(settings.database_url) as database:
            hear_day(database, settings, script, audio)
            with database.reading() as session:
                rows = session.exec(
                    select(Entry, Clip.file_name)
                    .join(Note, col(Note.id) == Entry.note_id)
                    .join(Clip, col(Clip.id) == Note.clip_id)
                ).all()
                done = [keys_for(session, entry, notes[name]) for entry, name in rows]
                model = session.exec(select(Note.model)).first()
    keys = 2 + sum(count for _, count in done)
    for what, count in Counter(what for what, _ in done).most_common():
        print(f"{count:4} {what}")
    typed = sum(count for what, count in done if what == "typed")
    print(f"{keys} keys for {len(done)} entries: {keys / len(done):.2f} an entry ({model})")
    without = len(done) - sum(what == "typed" for what, _ in done)
    print(
        f"{keys - typed} keys for the {without} that need no typing: {(keys - typed) / without:.2f}"
    )
    sys.exit(0 if keys / len(done) <= 1.5 else 1)


if __name__ == "__main__":
    main()
