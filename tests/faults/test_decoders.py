"""Sound files made to harm: they may neither lead elsewhere nor take memory or time without end."""

import tracemalloc
import zipfile
from pathlib import Path

import numpy as np
import pytest
import soundfile

from dictate.errors import SoundError
from dictate.sound import read_sound

RATE = 8000


@pytest.fixture
def other(tmp_path: Path) -> Path:
    """A sound file that a harmful one points to."""
    path = tmp_path / "other.wav"
    soundfile.write(
        path, np.random.default_rng(1).integers(-3000, 3000, RATE).astype(np.int16), RATE
    )
    assert read_sound(path).seconds == 1
    return path


@pytest.mark.parametrize(
    "text",
    [
        "#EXTM3U\n#EXT-X-TARGETDURATION:1\n#EXTINF:1,\n{file}\n#EXT-X-ENDLIST\n",
        "ffconcat version 1.0\nfile {name}\n",
        "v=0\no=- 0 0 IN IP4 127.0.0.1\ns=x\nc=IN IP4 127.0.0.1\nt=0 0\nm=audio 9 RTP/AVP 0\n",
    ],
    ids=[
        "HTTP Live Streaming (RFC 8216)",
        "FFmpeg concat script",
        "session description (RFC 8866)",
    ],
)
def test_lists_of_other_files_are_no_sound(tmp_path: Path, other: Path, text: str) -> None:
    """A list under a sound file's name opens nothing that it names, here or in the network."""
    path = tmp_path / "note.wav"
    path.write_text(text.format(file=other, name=other.name), encoding="utf-8")

    with pytest.raises(SoundError, match=r"no sound file|not a sound|cannot be read"):
        read_sound(path)


def test_many_channels_are_refused(tmp_path: Path) -> None:
    """A file whose channels alone would fill the memory is refused before they are decoded."""
    path = tmp_path / "note.wav"
    soundfile.write(path, np.zeros((10, 17), np.int16), RATE)

    with pytest.raises(SoundError, match="17 channels"):
        read_sound(path)


def test_small_file_of_endless_sound_is_refused_in_small_memory(tmp_path: Path) -> None:
    """An hour of silence in a small file that hides its length: given up at the limit, in memory for a clip."""
    path = tmp_path / "note.flac"
    with soundfile.SoundFile(path, "w", RATE, 1, format="FLAC") as file:
        for _ in range(60):
            file.write(np.zeros(RATE * 60, np.int16))
    header = bytearray(path.read_bytes())
    assert len(header) < 1_000_000
    header[21:26] = bytes(
        [header[21] & 0xF0, 0, 0, 0, 0]
    )  # RFC 9639: 0 samples, the length is not known
    path.write_bytes(header)

    tracemalloc.start()
    try:
        with pytest.raises(SoundError, match="longer than 15 minutes"):
            read_sound(path)
        _, most = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()

    assert most < 100_000_000


def test_archives_are_never_unpacked(tmp_path: Path) -> None:
    """A zip bomb under a sound file's name is no sound; nothing is unpacked."""
    path = tmp_path / "note.m4a"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as file:
        file.writestr("note.wav", bytes(50_000_000))
    assert path.stat().st_size < 100_000

    with pytest.raises(SoundError):
        read_sound(path)


def test_no_code_of_ours_unpacks_or_evaluates() -> None:
    """Nothing that a stranger sends can reach a reader that runs code or unpacks archives.

    Two places know zip: the page packs downloads, and the readers of lists, since a workbook is one.
    They read in memory, after the size of the parts was looked at (bombs are refused:
    `test_workbook.py`, `strangers.py`), and never write what was inside to a file.
    """
    lists = ("workbook", "workbook_asides", "workbook_closely", "open_document", "packed")
    zips = {"dictate/web/pages/bill.py", *(f"dictate/exchange/roster/{one}.py" for one in lists)}
    root = Path(__file__).parents[2]
    forbidden = ("import pickle", "import shelve", "import marshal", "import zipfile", "import tarfile", "eval(", "exec(", "yaml.load", "allow_pickle=True", "unpack_archive")  # fmt: skip
    found = [
        (str(path.relative_to(root)), word)
        for folder in ("dictate", "grammar")
        for path in (root / folder).rglob("*.py")
        for word in forbidden
        if not (word == "import zipfile" and path.relative_to(root).as_posix() in zips)
        if any(
            word in line and f".{word}" not in line and f"_{word}" not in line
            for line in path.read_text(encoding="utf-8").splitlines()
        )
    ]

    assert [] == found
