"""The one list inside a packed file (.gz, .zip)."""

import io
import zipfile
import zlib
from pathlib import PurePosixPath

from dictate.errors import RosterError

_UNPACKED_MAX = 100_000_000


def unpacked(data: bytes) -> bytes:
    """What was packed with gzip.

    Raises:
        RosterError: it is damaged or unpacks to too much.
    """
    reader = zlib.decompressobj(wbits=31)
    try:
        plain = reader.decompress(data, _UNPACKED_MAX)
    except zlib.error as error:
        raise _damaged() from error
    if not reader.eof:
        if reader.unconsumed_tail:
            raise RosterError("is too large for a list of animals")
        raise _damaged()
    return plain


def list_in(data: bytes) -> bytes:
    """The only file of a zip, but for what computers put beside it; a workbook as it is.

    Raises:
        RosterError: there are several or none, or it cannot be unpacked.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            whole = {"xl/workbook.xml", "xl/workbook.bin", "content.xml", "word/document.xml"}
            return data if whole & set(packed.namelist()) else _only_file_in(packed)
    except (zipfile.BadZipFile, EOFError, OSError, NotImplementedError, ValueError) as error:
        raise _damaged() from error


def _only_file_in(packed: zipfile.ZipFile) -> bytes:
    names = [
        item
        for item in packed.infolist()
        if item.filename
        and not item.is_dir()
        and not any(
            part.startswith((".", "__MACOSX")) for part in PurePosixPath(item.filename).parts
        )
    ]
    if len(names) != 1:
        raise RosterError(
            f"is a zip with {len(names)} files", remedy="Unpack it and give the list itself"
        )
    if names[0].file_size > _UNPACKED_MAX:
        raise RosterError("is too large for a list of animals")
    try:
        with packed.open(names[0]) as file:
            plain = file.read(_UNPACKED_MAX + 1)
    except RuntimeError as error:
        raise RosterError("is a zip with a password", remedy="Unpack it first") from error
    except zlib.error as error:
        raise _damaged() from error
    if len(plain) > _UNPACKED_MAX:
        raise RosterError("is too large for a list of animals")
    return plain


def _damaged() -> RosterError:
    return RosterError(
        "is a compressed file or a workbook, and damaged", remedy="Send the list once more"
    )
