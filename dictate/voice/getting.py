"""Getting what learning needs, once, with pip of the Python that runs: for the page and for a terminal.

What is needed is the extra `voice` of the installed program; nothing of a checkout is read. It runs as a
process of its own that lets others go first, so closing the page does not stop it, and writes
`voices/getting.log`, from which its progress and its fault are read.
"""

import importlib
import importlib.metadata
import importlib.util
import os
import platform
import re
import shlex
import shutil
import site
import subprocess
import sys
import sysconfig
from dataclasses import dataclass
from pathlib import Path

from dictate.errors import VoiceError
from dictate.settings import Settings
from dictate.texts import gettext
from dictate.voice import needs

_LOG = "getting.log"
_RAW_PROGRESS = (24, 1)
"""The pip that learnt to tell its progress in numbers."""
_MB = 1_000_000

_started: dict[Path, subprocess.Popen[bytes]] = {}
"""What this process started, by its log."""


@dataclass(frozen=True, slots=True)
class Got:
    """How far the getting is that runs."""

    name: str = ""
    """The part that comes now; empty before the first and when all are here."""
    done: int = 0
    total: int = 0
    """Megabytes of this part; 0 where this pip does not tell."""
    settling: bool = False
    """Everything is here and is put in its place."""


def needed() -> list[str]:
    """What pip is asked for: the extra `voice` of the installed program."""
    found = importlib.metadata.requires("dictate") or []
    return [one.partition(";")[0].strip() for one in found if re.search(r"extra == .voice.", one)]


def size_mb(settings: Settings) -> tuple[int, int]:
    """About how many megabytes come over the network, and how many they are on the disk."""
    usual_is_large = sys.platform == "linux" and platform.machine() == "x86_64"
    return (2700, 5400) if usual_is_large and not settings.voice_builds else (200, 800)


def line(settings: Settings) -> str:
    """The one line that does it in a terminal."""
    return shlex.join([sys.executable, "-m", "pip", "install", *_options(settings), *needed()])


def refusal(settings: Settings) -> str:
    """Why it cannot be got from here, in plain words; empty when it can."""
    own = sys.prefix != sys.base_prefix
    if importlib.util.find_spec("pip") is None:
        return gettext("This installation has no pip, which brings new parts.")
    managed = Path(sysconfig.get_path("stdlib")) / "EXTERNALLY-MANAGED"
    if not own and managed.exists():
        return gettext("The system looks after this installation and lets nothing be added to it.")
    if not os.access(sysconfig.get_path("purelib"), os.W_OK) and (own or not site.ENABLE_USER_SITE):
        return gettext("You may not write to the folder in which the program is installed.")
    _, on_disk = size_mb(settings)
    free = shutil.disk_usage(sysconfig.get_path("purelib")).free // _MB
    if free < on_disk:
        return gettext(
            "The disk has %(free)s MB free; %(size)s MB are needed.", free=free, size=on_disk
        )
    return ""


def start(settings: Settings) -> None:
    """Start getting it; asked for again while it runs, nothing more is started.

    Raises:
        VoiceError: it cannot be got from here.
    """
    if why := refusal(settings):
        raise VoiceError(why.rstrip("."), remedy=line(settings))
    if is_getting(settings):
        return
    path = _log(settings)
    path.parent.mkdir(parents=True, exist_ok=True)
    command = [sys.executable, "-m", "pip", "install", "--no-input", "--disable-pip-version-check",
               "--no-color", "--retries=2", f"--progress-bar={'raw' if _tells_progress() else 'off'}",
               *_options(settings), *needed()]  # fmt: skip
    with path.open("wb") as log:
        _started[path] = subprocess.Popen(  # noqa: S603 (our own Python)
            command, stdin=subprocess.DEVNULL, stdout=log, stderr=log,
            env=os.environ | {"PYTHONUTF8": "1", "PYTHONUNBUFFERED": "1", "COLUMNS": "400"},
            start_new_session=True,  # closing the page does not stop it
            creationflags=getattr(subprocess, "BELOW_NORMAL_PRIORITY_CLASS", 0),
        )  # fmt: skip
    if hasattr(os, "setpriority"):
        os.setpriority(os.PRIO_PROCESS, _started[path].pid, 10)


def is_getting(settings: Settings) -> bool:
    """Tell whether what was started here still runs."""
    mine = _started.get(_log(settings))
    runs = mine is not None and mine.poll() is None
    if not runs:
        importlib.invalidate_caches()  # what has come is found without a new start
    return runs


def wait(settings: Settings, seconds: float) -> bool:
    """Wait for the end of what was started here, and tell whether it has come."""
    try:
        _started[_log(settings)].wait(seconds)
    except subprocess.TimeoutExpired:
        return False
    return not is_getting(settings)


def how_far(settings: Settings) -> Got:
    """How far it is, from what pip writes."""
    got = Got()
    for told in _told(settings):
        if "Installing collected packages" in told:
            got = Got(settling=True)
        elif found := re.match(r"(?:Downloading|Processing) (\S+)", told.strip()):
            got = Got(name=re.split(r"[-=]\d", found[1].rpartition("/")[2])[0])
        elif found := re.match(r"Progress (\d+) of (\d+)", told):
            got = Got(name=got.name, done=int(found[1]) // _MB, total=int(found[2]) // _MB)
    return got


def fault(settings: Settings) -> str:
    """Why the last getting from here failed and what to do, in plain words; empty when it did not."""
    mine = _started.get(_log(settings))
    if mine is None or mine.poll() in {None, 0}:
        return "" if mine is None or mine.poll() is None or needs.can_learn() else _unusable()
    lines = _told(settings)
    told = "\n".join(lines)
    for sign, words in _FAULTS:
        if re.search(sign, told, re.IGNORECASE):
            return gettext(words)
    last = next((one for one in reversed(lines) if one.startswith("ERROR")), "")
    return gettext(
        "It did not come: %(last)s. Try it again; what has come is kept.",
        last=last.removeprefix("ERROR:").strip().rstrip(".") or "pip",
    )


_FAULTS = (
    (r"No space left|Errno 28", needs.FULL),
    ((r"name resolution|NewConnection|ConnectionError|getaddrinfo|timed out|Connection (?:broken|reset|aborted)|"
     r"Network is unreachable|ProxyError|IncompleteRead"), needs.NO_INTERNET),
    (r"Permission denied|Errno 13|WinError 5\b|Read-only file system", needs.READ_ONLY),
    (r"No matching distribution|Could not find a version", needs.NONE_FITS),
)  # fmt: skip
"""What pip writes, and what a person is told; the first that fits."""


def _unusable() -> str:
    return gettext("It came, but is not found. Close the program and start it again.")


def _options(settings: Settings) -> list[str]:
    """Where pip looks besides: the settings' folder or address with builds for the processor alone."""
    builds = settings.voice_builds
    if not builds:
        return []
    return ["--extra-index-url" if re.match(r"https?://", builds) else "--find-links", builds]


def _tells_progress() -> bool:
    version = importlib.metadata.version("pip").split(".")
    return tuple(int(part) for part in version[:2] if part.isdecimal()) >= _RAW_PROGRESS


def _log(settings: Settings) -> Path:
    return settings.home / "voices" / _LOG


def _told(settings: Settings) -> list[str]:
    try:
        return _log(settings).read_text("utf-8", errors="replace").splitlines()
    except OSError:
        return []
