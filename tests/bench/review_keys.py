"""Counts the keys that bring the demo day from the queue into the record.

    python tests/bench/review_keys.py

Hears the demo day with the bundled model and takes, for every entry, the shortest way that the page
offers to what was said:

- right and without marks: nothing of its own; two keys confirm all of them together
- right, but marked: Enter
- right after one of the card's choices: its key and Enter
- another number: N, the letter of one of the list, Enter; or N, digits, then letter or Enter, Enter
- nothing that was said is to be recorded from it: X and the key of a reason
- typed: T, the letters of what was missed (of those that make it right, the fewest), Enter, Enter;
  where that does not do, T, Ctrl-A, every letter of what was said, Enter, Enter
- said again: R, Enter, if a voice without the chute's noise, saying the whole note or only
  what was missed, is heard rightly. The voice is
  that of `flite` (Debian: apt-get install flite), which also speaks some of the day's clips; a
  person's own voice in a quiet room will differ. Without the program nothing is said again.

An entry that is wrong and has no mark counts two more, to find it in the list and open it. The day
is counted twice, without and with saying again. `tests/browser/test_evening.py` counts real key
presses in a browser, over made-up mis-hearings.
"""

import os
import shutil
import subprocess
import sys
import tempfile
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from sqlmodel import Session, col, select

from dictate.demo.comparing import same_entry
from dictate.demo.script import Script, ScriptedNote, demo_folder, read_script
from dictate.hearing import Engine, open_engine
from dictate.notes.pipeline import run_batch
from dictate.notes.reading_notes import context_of
from dictate.notes.taking_in import Where, find_files
from dictate.notes.understanding import understand
from dictate.notes.values import EntryValues
from dictate.review.card import TEXT, text_to_type
from dictate.review.changes import apply_changes
from dictate.review.showing import card_of, further_animals
from dictate.settings import Settings
from dictate.sound import read_sound
from dictate.store.database import Database, open_database
from dictate.store.queries import entries_of_note, farm_by_name, heard_reading, roster_of
from dictate.store.roster import read_roster, take_in_roster
from dictate.store.tables import Clip, Entry, Note, Visit
from grammar import Carry, split_text
from grammar.words import UNKNOWN

CONFIRM, DISCARD, FIND, TOGETHER = 1, 2, 2, 2
CHOOSE = 2
"""The choice and Enter."""
NUMBER = 3
"""N, a letter, Enter; each digit that narrows the list is one more."""
TYPE = 3
"""T, Enter, Enter; letters are more."""
ALL = 2
"""Ctrl and A."""
AGAIN = 2
"""R and Enter; it stops by itself when the voice does."""
KEYS_AN_ENTRY_MAX = 1.5


@dataclass(frozen=True, kw_only=True)
class Way:
    """One way to the right entry."""

    name: str
    keys: int


@dataclass(frozen=True, kw_only=True)
class Desk:
    """What deciding needs."""

    session: Session
    settings: Settings
    engine: Engine

    def read(self, entry: Entry, text: str) -> list[EntryValues]:
        """The entries that typed words would give, beside those that the note has already."""
        visit = self.session.get_one(Visit, entry.visit_id)
        heard = heard_reading(self.session, entry.note_id)
        context = context_of(self.session, visit, self.settings)
        carry = Carry(animal=heard.carried_in if heard else None)
        read = understand([split_text(text)], context, carry=carry).entries
        others = [
            EntryValues.model_validate(one.content)
            for one in entries_of_note(self.session, entry.note_id)
            if one.id != entry.id
        ]
        return [one for one in read if not any(same_entry(one, other) for other in others)]

    def say(self, text: str, folder: Path) -> str:
        """What is heard when a voice says this in a quiet room; empty where no voice is."""
        if not shutil.which("flite"):
            return ""
        path = folder / "again.wav"
        subprocess.run(["flite", "-voice", "slt", "-t", text, "-o", str(path)], check=True)
        words = self.engine.hear(read_sound(path)).text.split()
        return " ".join(word for word in words if word != UNKNOWN)


def hear_day(database: Database, settings: Settings, script: Script, audio: Path) -> None:
    """Take the demo day in, as `dictate demo` does."""
    with database.writing() as session:
        farm = farm_by_name(session, script.farm, make=True)
        take_in_roster(session, farm, read_roster(audio / "roster.csv"), by="bench", complete=True)
    where = Where(farm=script.farm, date=script.date, whole_herd=False)
    run_batch(
        database, settings, find_files([audio]), where, lambda roster: open_engine(roster=roster)
    )


def right(read: Sequence[EntryValues], wanted: Sequence[EntryValues]) -> bool:
    """Whether these entries record what is wanted, no more and no less."""
    left = list(wanted)
    for one in read:
        found = next((at for at, other in enumerate(left) if same_entry(one, other)), None)
        if found is None:
            return False
        del left[found]
    return not left


def ways(
    desk: Desk, entry: Entry, wanted: Sequence[EntryValues], said: str, folder: Path | None
) -> Iterator[Way]:
    """All ways from an entry to what is wanted of it; without a folder nothing is said again."""
    values = EntryValues.model_validate(entry.content)
    if right([values], wanted):
        yield Way(
            name="marked, right" if values.marks else "together", keys=int(bool(values.marks))
        )
        return
    if not wanted:
        yield Way(name="discarded", keys=DISCARD)
        return
    card = card_of(desk.session, entry.id or 0)
    for choice in card.choices:
        if choice.path == TEXT:
            changed = desk.read(entry, choice.value)
        else:
            changed = [apply_changes(values, dict.fromkeys(choice.path.split(","), choice.value))]
        if right(changed, wanted):
            yield Way(name="one choice", keys=CHOOSE)
    yield from another_number(desk, entry, values, wanted)
    text, first, last = text_to_type(card.words)
    missed = what_was_missed(desk, entry, wanted, said, (text[:first], text[last:]))
    if missed:
        yield Way(name="typed what was missed", keys=TYPE + len(missed))
    yield Way(name="typed in full", keys=TYPE + ALL + len(said))
    if folder:
        again = [desk.say(said, folder)]
        again += [text[:first] + desk.say(missed, folder) + text[last:]] if missed else []
        if any(one and right(desk.read(entry, one), wanted) for one in again):
            yield Way(name="said again", keys=AGAIN)


def another_number(
    desk: Desk, entry: Entry, values: EntryValues, wanted: Sequence[EntryValues]
) -> Iterator[Way]:
    """By the list of numbers, narrowed by no digit, by one, by all."""
    number = wanted[0].animal or ""
    if not right([apply_changes(values, {"animal": number})], wanted):
        return
    for digits in range(len(number)):
        if number in further_animals(desk.session, entry.id or 0, begins=number[:digits]):
            yield Way(name="another number", keys=NUMBER + digits)
    yield Way(name="another number", keys=NUMBER + len(number))


def what_was_missed(
    desk: Desk, entry: Entry, wanted: Sequence[EntryValues], said: str, around: tuple[str, str]
) -> str:
    """The fewest letters of what was said that make the entry right where typing begins."""
    words = said.split()
    parts = {" ".join(words[a:b]) for a in range(len(words)) for b in range(a + 1, len(words) + 1)}
    for part in sorted({*parts, *(f"correction {one}" for one in parts)}, key=len):
        if right(desk.read(entry, part.join(around)), wanted):
            return part
    return ""


def decide(
    desk: Desk, note: ScriptedNote, entries: Sequence[Entry], folder: Path | None
) -> Iterator[Way]:
    """The shortest way for each entry of a note; what it lacks comes with its last wrong one."""
    wanted = list(note.entries)
    wrong = []
    for entry in entries:
        values = EntryValues.model_validate(entry.content)
        same = next((one for one in wanted if same_entry(values, one)), None)
        if same is None:
            wrong.append(entry)
            continue
        wanted.remove(same)
        yield next(ways(desk, entry, [same], note.said, None))
    for at, entry in enumerate(wrong):
        target = wanted[at:] if entry is wrong[-1] else wanted[at : at + 1]
        best = min(ways(desk, entry, target, note.said, folder), key=lambda way: way.keys)
        found = 0 if entry.content["marks"] else FIND
        if folder:
            print(f"{note.clip}: {best.name}, {best.keys + found} keys")
        yield Way(name=best.name, keys=best.keys + found)
    if wanted and not wrong:
        yield Way(name="typed in full", keys=TYPE + ALL + len(note.said))


def report(title: str, done: Sequence[Way]) -> float:
    """Print one way of counting; keys an entry."""
    print(title)
    for what, count in Counter(way.name for way in done).most_common():
        keys = sorted(way.keys for way in done if way.name == what)
        print(f"{count:4} {what}: {keys[0]} to {keys[-1]} keys, {sum(keys)} in all")
    keys = TOGETHER + sum(way.keys for way in done)
    print(f"{keys} keys for {len(done)} entries: {keys / len(done):.2f} an entry")
    return keys / len(done)


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
                    .order_by(col(Entry.id))
                ).all()
                farm = session.get_one(Visit, rows[0][0].visit_id).farm_id
                engine = open_engine(roster=roster_of(session, farm))
                desk = Desk(session=session, settings=settings, engine=engine)
                by_note: dict[str, list[Entry]] = defaultdict(list)
                for entry, name in rows:
                    by_note[name].append(entry)
                silent, spoken = [], []
                for name, entries in by_note.items():
                    note = notes[name]
                    by_keys = list(decide(desk, note, entries, None))
                    silent += by_keys
                    long = any(way.keys > DISCARD for way in by_keys)
                    spoken += decide(desk, note, entries, Path(folder)) if long else by_keys
    without = report("By keys alone:", silent)
    by_voice = report("With a note said again where that is shorter:", spoken)
    best = min(without, by_voice)
    sys.exit(0 if best <= KEYS_AN_ENTRY_MAX else 1)


if __name__ == "__main__":
    main()
