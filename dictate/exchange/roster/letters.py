"""The letters of a text file: bytes to text, without ever losing a letter silently.

Unicode, with or without a mark at the start, is told by charset-normalizer. Which of the old
one-byte sets a short file uses nobody can measure, so those are tried in order of how common they
are and the one that gives words wins.
"""

import codecs
import re
import unicodedata
from collections.abc import Callable

from charset_normalizer import from_bytes

from dictate.errors import RosterError

_UNICODE = ["utf_8", "utf_16", "utf_16_le", "utf_16_be", "utf_32"]
_ONE_BYTE = ("cp1252", "cp1250", "iso8859_2", "mac_roman", "cp850")
"""Windows in western and in middle Europe, ISO's for the latter, old Macintosh, DOS; the earlier wins a tie."""
_NAMES = {
    "cp1252": "Windows-1252", "cp1250": "Windows-1250", "iso8859_2": "ISO 8859-2", "cp850": "DOS 850",
}  # fmt: skip
_MARKS = (codecs.BOM_UTF8, codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
_FEWEST = 2
"""Lines in each of two sets of letters; one alone may be a spoilt letter."""
_LOOK = 200_000
"""Bytes that are looked at to choose a one-byte set."""
_PLAIN = frozenset("°§€–—’‘“”«»… \u00a0")
"""Signs that stand in lists for a reason."""
_BINARY = re.compile(rb"[\x00-\x08\x0e-\x1a\x1c-\x1f]")


def decode(
    data: bytes, *, encoding: str | None = None, known: Callable[[str], int] = lambda _: 0
) -> tuple[str, str]:
    """Return the text and the name of the set of letters it was written in.

    Args:
        data: The whole file.
        encoding: The set, when a person named it.
        known: How many headings of a text are known; breaks ties between sets.

    Raises:
        RosterError: it is no text, or not in the set that was named.
    """
    if encoding is not None:
        return _as_named(data, encoding), encoding
    if data.startswith(_MARKS) or b"\0" in data[:_LOOK]:
        found = from_bytes(data, cp_isolation=_UNICODE).best()
        if found is not None:
            return str(found).removeprefix("\ufeff"), found.encoding.replace("_", "-").upper()
    elif _is_utf8(data):
        return data.decode("utf-8"), "UTF-8"
    if len(_BINARY.findall(data[:_LOOK])) * 50 > len(data[:_LOOK]):
        raise RosterError(
            "is no list as text", remedy="Save the list as CSV or as .xlsx, and give that file"
        )
    if (text := _pasted_together(data)) is not None:
        return text, "UTF-8 and Windows-1252, line by line"
    text = _broken_utf8(data)
    if text is not None:
        return text, "UTF-8 with spoilt letters"
    best = max(_decoded(data), key=lambda pair: _sense(pair[0][:_LOOK], known))
    return best[0], _NAMES.get(best[1], best[1])


def _as_named(data: bytes, encoding: str) -> str:
    try:
        return data.decode(encoding).removeprefix("\ufeff")
    except LookupError:
        raise RosterError(
            f"there is no set of letters named {encoding!r}", remedy="For example utf-8 or cp1252"
        ) from None
    except (UnicodeDecodeError, UnicodeError) as error:
        raise RosterError(
            f"is not written in {encoding}: {error}", remedy="Leave --encoding out"
        ) from error


def _is_utf8(data: bytes) -> bool:
    """No text in a one-byte set is valid UTF-8 by chance, but for its plain letters."""
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def _pasted_together(data: bytes) -> str | None:
    """Lists in UTF-8 and in Windows' western set below each other: each line is in one of them.

    None unless some lines are surely UTF-8, and each of the others reads as words.
    """
    lines = data.split(b"\n")
    letters = [line for line in lines if not line.isascii()]
    others = [line for line in letters if not _is_utf8(line)]
    if len(others) < _FEWEST or len(letters) - len(others) < _FEWEST:
        return None
    try:
        western = [line.decode("cp1252") for line in others]
    except UnicodeDecodeError:
        return None
    if any(_sense(line, lambda _: 0)[1] for line in western):
        return None
    return "\n".join(
        line.decode("utf-8" if _is_utf8(line) else "cp1252") for line in lines
    ).removeprefix("\ufeff")


def _broken_utf8(data: bytes) -> str | None:
    """UTF-8 with a few spoilt bytes: their rows are refused later, the rest is right."""
    text = data.decode("utf-8", errors="replace")
    lost = text.count("\ufffd")
    right = sum(1 for letter in text[:_LOOK] if letter > "\x7f") - lost
    return text.removeprefix("\ufeff") if right > 2 * lost else None


def _decoded(data: bytes) -> list[tuple[str, str]]:
    pairs = []
    for name in _ONE_BYTE:
        try:
            pairs.append((data.decode(name), name))
        except UnicodeDecodeError:
            continue
    return pairs


def _sense(text: str, known: Callable[[str], int]) -> tuple[int, int]:
    """How much like words a text is: known headings first, then letters that stand where letters do."""
    odd = 0
    for at, letter in enumerate(text):
        if letter <= "\x7f" or letter in _PLAIN:
            continue
        before = text[at - 1] if at else " "
        after = text[at + 1 : at + 2]
        inside = before.islower() or (before.isalpha() and after.islower())
        if not unicodedata.category(letter).startswith("L") or (inside and letter.isupper()):
            odd += 1
    return known(text), -odd
