"""What strangers' bytes can reach: each target takes bytes and may raise only the errors it promises."""

import io
import random
import shutil
import tempfile
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from dictate.errors import DictateError, RosterError, SettingsError, SoundError, StoreError
from grammar.errors import LexiconError

if TYPE_CHECKING:
    from dictate.store.database import Database

__all__ = ["TARGETS", "Target", "forget_folder", "mutated", "own_folder"]

ROOT = Path(__file__).parents[2]
CRASHES = Path(__file__).with_name("crashes")
"""Inputs that once crashed a target, as `<target>-<name>`; every run of the tests tries them first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """One way in."""

    name: str
    run: Callable[[bytes], None]
    seeds: Callable[[], list[bytes]]
    allowed: tuple[type[Exception], ...] = ()
    share: int = 2
    """Of the time, beside the other targets."""

    def try_one(self, data: bytes) -> bool:
        """True when it was taken, false when it was refused as promised; anything else is a crash."""
        try:
            self.run(data)
        except self.allowed:
            return False
        return True

    def crashes(self) -> list[bytes]:
        return [path.read_bytes() for path in sorted(CRASHES.glob(f"{self.name}-*"))]


def mutated(rng: random.Random, seeds: list[bytes], *, other: bytes = b"") -> bytes:
    """One seed with a few random faults: bits, cut ends, doubled and swapped stretches, odd bytes."""
    data = bytearray(rng.choice(seeds))
    for _ in range(rng.choice((1, 1, 2, 4, 16))):
        at = rng.randrange(len(data) + 1)
        end = min(len(data), at + rng.choice((1, 2, 8, 64, 1024)))
        fault = rng.randrange(7)
        if fault == 0 and at < len(data):
            data[at] ^= 1 << rng.randrange(8)
        elif fault == 1:
            del data[at:end]
        elif fault == 2:
            data[at:at] = data[at:end]
        elif fault == 3:
            data[at:end] = rng.randbytes(end - at)
        elif fault == 4:
            del data[at:]
        elif fault == 5:
            data[at:at] = rng.choice(_ODD)
        else:
            piece = rng.choice(seeds) or b"x"
            start = rng.randrange(len(piece))
            data[at:at] = piece[start : start + 64]
    return bytes(data[:1_000_000])


_ODD = (
    b"\0", b"\xff\xff\xff\xff", b"\x7f\xff\xff\xff", b"\x80", b"\xed\xa0\x80", b'"', b"'", b"\r", b"\n\n",
    b",,,,", b";", b"\t", b"=1+1", b"99999999999999999999", b"-1", b"1e999", b"NaN", b"[[", b"]]", b"{", b"}",
    "\u202e\u0000\u00b2\u0663".encode(), "\U0001f404".encode(), b"<script>", b"../", b"0" * 5000, b"[" * 3000,
    b'{"a":' * 3000, b"a." * 3000,
)  # fmt: skip


@cache
def _scratch() -> Path:
    """A folder in memory, of this process alone."""
    return Path(
        tempfile.mkdtemp(
            prefix="dictate-fuzz-", dir="/dev/shm" if Path("/dev/shm").is_dir() else None
        )
    )


def own_folder() -> None:
    """In a process that was forked: write no longer where its parent does."""
    for made in (_scratch, _import_folder, _empty_database):
        made.cache_clear()


def forget_folder() -> None:
    """Remove what this process wrote."""
    shutil.rmtree(_scratch(), ignore_errors=True)


def _file(name: str, data: bytes) -> Path:
    path = _scratch() / name
    path.write_bytes(data)
    return path


def _sound(data: bytes) -> None:
    from dictate.sound import read_sound, recorded_at

    path = _file("clip", data)
    sound = read_sound(path)
    assert sound.samples.ndim == 1
    recorded_at(path)


def _sound_seeds() -> list[bytes]:
    import io

    import numpy as np
    import soundfile

    noise = np.random.default_rng(1).integers(-3000, 3000, 4000).astype(np.int16)
    seeds = [
        min((ROOT / "demo_audio").glob("*.opus"), key=lambda path: path.stat().st_size).read_bytes()
    ]
    for form, kind in (
        ("WAV", "PCM_16"),
        ("FLAC", "PCM_16"),
        ("OGG", "VORBIS"),
        ("AIFF", "PCM_16"),
        ("WAV", "ULAW"),
    ):
        file = io.BytesIO()
        soundfile.write(file, noise, 8000, format=form, subtype=kind)
        seeds.append(file.getvalue())
    return seeds


def _roster(data: bytes) -> None:
    from dictate.exchange.roster import read_roster, roster_from

    roster_from(read_roster(_file("roster.csv", data)).lines)


def _table(data: bytes) -> None:
    import datetime as dt

    from dictate.exchange.roster import find_columns, read_rows, read_table, write_refused

    table = read_table(data)
    columns = find_columns(table)
    at = dict(columns.fields) or {0: "number"}
    read = read_rows(table, find_columns(table, at=at), today=dt.date(2026, 3, 2))
    # No row falls between: each is an animal or refused, and what is refused can be written.
    assert len(read.lines) + len(read.refused) >= len(table.rows) - columns.start
    if read.refused:
        write_refused(read.refused, read.columns)


def _roster_seeds() -> list[bytes]:
    return [
        (ROOT / "demo_audio" / "roster.csv").read_bytes(),
        b"number;eid;ear tag;name\r\n412;982000123456789;AB 12;Rosa\r\n",
        "cow\tlactation\n7\t2\n".encode("utf-16"),
        b"412\n413\n",
    ]


def _table_seeds() -> list[bytes]:
    """Lists of every kind that is read: text, printouts, web pages, workbooks old and new, packed."""
    from tests.dictate.exchange.roster.strangers import all_strangers

    return [*_roster_seeds(), *(one.data for one in all_strangers())]


@cache
def _workbooks() -> list[tuple[bytes, str]]:
    from tests.dictate.exchange.roster.strangers import all_strangers

    found = []
    for one in all_strangers():
        if one.name.endswith((".xlsx", ".ods")):
            with zipfile.ZipFile(io.BytesIO(one.data)) as packed:
                names = [name for name in packed.namelist() if name.endswith(".xml")]
            found += [(one.data, name) for name in names]
    return found


def _inside(data: bytes) -> None:
    """The first byte chooses a part of a workbook that the rest replaces: a zip's sums hide the others."""
    book, part = _workbooks()[(data or b"\0")[0] % len(_workbooks())]
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(book)) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            new.writestr(name, data[1:] if name == part else old.read(name))
    _table(out.getvalue())


def _inside_seeds() -> list[bytes]:
    seeds = []
    for at, (book, part) in enumerate(_workbooks()[:256]):
        with zipfile.ZipFile(io.BytesIO(book)) as packed:
            seeds.append(bytes([at]) + packed.read(part))
    return seeds


def _past(data: bytes) -> None:
    import datetime as dt

    from dictate.exchange.past import PAST, one_visit_a_row, read_past
    from dictate.exchange.roster import find_columns, read_table

    table = one_visit_a_row(read_table(data))
    columns = find_columns(table, kind=PAST)
    read = read_past(table, columns, today=dt.date(2026, 3, 2))
    assert len(read.lines) + len(read.refused) >= len(table.rows) - columns.start


def _past_seeds() -> list[bytes]:
    return [
        b"Date;Cow;Diagnosis;Leg;Claw;Treatment;Zone\r\n13/03/2024;412;Mortellaro (M2);LH;outer;topical;9\r\n",
        "Datum\tKuh\tBefund\tBein\n13.3.2024\t7\tSU + WL\thinten rechts au\u00dfen\n".encode(),
        b"Cow;Date;DD;SU;Block;LH;RH\n412;13/03/2024;M2 LH, RH outer;x;all;;\n413;14/03/2024;;severe;;x;DD\n",
        b"Cow,Date,Left hind,,Right hind,\n,,DD,SU,DD,SU\n412,13/03/2024,x,,1,\n",
        b"Cow;12/03/2024;14/06/2024\n412;DD LH;\n413;;ok\n",
    ]


def _settings(data: bytes) -> None:
    from dictate.settings import load_settings

    _file("settings.toml", data)
    load_settings(_scratch())


def _terms(data: bytes) -> None:
    from dictate.decoder.terms import load_terms

    _file("terms.toml", data)
    load_terms(_scratch())


def _lexicon(data: bytes) -> None:
    """The first byte chooses the file of the lexicon that the rest replaces."""
    from grammar.lexicon.load import LEXICON_FOLDER, load_lexicon

    folder = _scratch() / "lexicon"
    shutil.copytree(LEXICON_FOLDER, folder, dirs_exist_ok=True)
    names = sorted(path.name for path in LEXICON_FOLDER.glob("*.toml"))
    (folder / names[(data or b"\0")[0] % len(names)]).write_bytes(data[1:])
    load_lexicon.__wrapped__(folder)  # it keeps what it has read of a folder


def _lexicon_seeds() -> list[bytes]:
    from grammar.lexicon.load import LEXICON_FOLDER

    paths = sorted(LEXICON_FOLDER.glob("*.toml"))
    return [bytes([n]) + path.read_bytes() for n, path in enumerate(paths)]


def _heard(data: bytes) -> None:
    """Recogniser output: any words with any confidence become entries for review, never an error."""
    from dictate.notes.context import Context
    from dictate.notes.understanding import understand
    from grammar import Carry, Roster, Word

    text = data.decode("utf-8", "replace")
    words = [
        Word(text=word, start=n / 2, end=n / 2 + 0.4, confidence=(n % 11) / 10)
        for n, word in enumerate(text.split(" "))
    ]
    half = words[: len(words) // 2]
    context = Context(
        roster=Roster(numbers=("412", "402", "12", "15", "50")), on=None, aliases={}, intervals={}
    )
    understood = understand([words, half], context, carry=Carry(animal="12"))
    assert understood.entries


def _typed(data: bytes) -> None:
    from grammar import as_json, as_text, parse, split_text

    reading = parse(split_text(data.decode("utf-8", "replace")))
    as_json(reading)
    as_text(reading)


def _note_seeds() -> list[bytes]:
    from grammar import sample_note, vocabulary

    rng = random.Random(1)
    words = sorted(vocabulary())
    notes = [" ".join(sample_note(rng).words) for _ in range(60)]
    mixed = [" ".join(rng.choices(words, k=rng.randrange(1, 25))) for _ in range(60)]
    return [text.encode() for text in [*notes, *mixed, "", "[unk]", "remark [unk]"]]


def _imported(data: bytes) -> None:
    """The first byte chooses the file of an export that the rest replaces."""
    from dictate.exchange.record_files import import_record

    folder, contents = _import_folder()
    names = sorted(contents)
    name = names[(data or b"\0")[0] % len(names)]
    (folder / name).write_bytes(data[1:])
    try:
        with _empty_database().writing() as session:
            import_record(session, folder)
            session.rollback()
    finally:
        (folder / name).write_bytes(contents[name])


@cache
def _import_folder() -> tuple[Path, dict[str, bytes]]:
    folder = _scratch() / "import"
    shutil.copytree(_exported(), folder)
    return folder, {path.name: path.read_bytes() for path in folder.iterdir()}


@cache
def _empty_database() -> "Database":
    """One for all tries, each of which is rolled back."""
    from dictate.store.database import open_database

    return open_database("sqlite://")


@cache
def _exported() -> Path:
    """An export with a confirmed entry."""
    import sys

    sys.path.insert(0, str(ROOT / "tests" / "faults"))
    import day

    home = _scratch() / "day"
    home.mkdir(exist_ok=True)
    day.run_day(home)
    return home / "out"


def _import_seeds() -> list[bytes]:
    return [bytes([n]) + path.read_bytes() for n, path in enumerate(sorted(_exported().iterdir()))]


def _toml_seeds() -> list[bytes]:
    return [
        b'trimmer = "Robin"\nfarm = "Alder Farm"\npaper = "Letter"\n[prices]\nblock = "18.50"\n[intervals]\n"look again" = 14\n',
        b'[[term]]\nphrase = "strawberry foot"\nspeaker = "Robin"\nlike = "straw berry foot"\n',
        b"",
    ]


def _targets() -> Iterator[Target]:
    yield Target(name="heard words", run=_heard, seeds=_note_seeds, share=3)
    yield Target(name="typed note", run=_typed, seeds=_note_seeds, share=3)
    yield Target(name="sound file", run=_sound, seeds=_sound_seeds, allowed=(SoundError,))
    yield Target(name="roster", run=_roster, seeds=_roster_seeds, allowed=(RosterError,))
    yield Target(name="uploaded table", run=_table, seeds=_table_seeds, allowed=(RosterError,))
    yield Target(name="inside a workbook", run=_inside, seeds=_inside_seeds, allowed=(RosterError,))
    yield Target(name="past treatments", run=_past, seeds=_past_seeds, allowed=(RosterError,))
    yield Target(
        name="settings", run=_settings, seeds=_toml_seeds, allowed=(SettingsError,), share=1
    )
    yield Target(name="terms", run=_terms, seeds=_toml_seeds, allowed=(DictateError,), share=1)
    yield Target(
        name="lexicon", run=_lexicon, seeds=_lexicon_seeds, allowed=(LexiconError,), share=1
    )
    yield Target(name="import", run=_imported, seeds=_import_seeds, allowed=(StoreError,))


TARGETS = tuple(_targets())
