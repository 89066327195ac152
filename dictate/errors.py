"""Every error the program raises on purpose, and Pydantic's faults in plain words.

DictateError
├── SettingsError      a settings file that cannot be used
├── SoundError         a sound file that cannot be read as speech
├── ModelError         a recogniser model that is missing, altered or unsuitable
├── StoreError         a database that cannot be opened, written or migrated
├── NotFoundError      a note, entry, animal or visit that is not there
├── ConflictError      somebody else changed the same thing first
├── ReviewError        a decision in the queue that cannot be carried out
├── RosterError        a roster file that cannot be taken in
└── VoiceError         a voice that cannot be learnt or used

Speech that cannot be understood is never an error: it is a note for review.
"""

from collections.abc import Iterable, Mapping
from typing import Any

from dictate.texts import noted, translated


class DictateError(Exception):
    """What went wrong, where, and what to do about it."""

    exit_code = 1

    def __init__(self, what: str, *, where: str = "", remedy: str = "") -> None:
        self.what = what
        self.where = where
        self.remedy = remedy
        super().__init__(self.line)

    @property
    def line(self) -> str:
        """One line for a person: `where: what. remedy.`"""
        start = f"{self.where}: {self.what}" if self.where else self.what
        return f"{start}. {self.remedy}" if self.remedy else start


class SettingsError(DictateError):
    exit_code = 2


class SoundError(DictateError):
    exit_code = 3


class ModelError(DictateError):
    exit_code = 4


class StoreError(DictateError):
    exit_code = 5


class NotFoundError(DictateError):
    exit_code = 6


class ConflictError(DictateError):
    exit_code = 7


class RosterError(DictateError):
    exit_code = 8


class ReviewError(DictateError):
    exit_code = 9


class VoiceError(DictateError):
    exit_code = 10


_WORDS = {
    "missing": noted("is missing"),
    "extra_forbidden": noted("is not known here"),
    "string_too_short": noted("is empty"),
    "string_too_long": noted("is too long (at most %(max_length)s letters)"),
    "string_type": noted("is not text"),
    "string_pattern_mismatch": noted("is not written as it should be"),
    "int_parsing": noted("is not a whole number"),
    "int_type": noted("is not a whole number"),
    "int_from_float": noted("is not a whole number"),
    "float_parsing": noted("is not a number"),
    "decimal_parsing": noted("is not a number; write it as 18.50"),
    "decimal_type": noted("is not a number; write it as 18.50"),
    "finite_number": noted("is not a number"),
    "bool_parsing": noted("is neither yes nor no"),
    "greater_than": noted("must be more than %(gt)s"),
    "greater_than_equal": noted("must be %(ge)s or more"),
    "less_than": noted("must be less than %(lt)s"),
    "less_than_equal": noted("must be %(le)s or less"),
    "literal_error": noted("must be %(expected)s"),
    "enum": noted("must be %(expected)s"),
    "date_parsing": noted("is not a date"),
    "date_type": noted("is not a date"),
    "date_from_datetime_parsing": noted("is not a date"),
    "datetime_parsing": noted("is not a time"),
    "path_type": noted("is not a path"),
    "dict_type": noted("is not a table of values"),
    "list_type": noted("is not a list"),
    "tuple_type": noted("is not a list"),
}


def plain_fault(fault: Mapping[str, Any]) -> str:
    """Return e.g. `prices block: is not a number; write it as 18.50` for one of Pydantic's faults."""
    where = " ".join(str(step) for step in fault["loc"] if step not in ("body", "query", "path"))
    words = _WORDS.get(fault["type"])
    told = translated(words) % _Known(fault.get("ctx") or {}) if words else _own(fault["msg"])
    return f"{where}: {told}" if where else told


def plain_faults(faults: Iterable[Mapping[str, Any]]) -> str:
    """All faults as one line."""
    return "; ".join(plain_fault(fault) for fault in faults)


class _Known(dict[str, Any]):
    def __missing__(self, key: str) -> str:
        return "…"


def _own(message: str) -> str:
    """A message of our own validators, without Pydantic's beginning."""
    return message.removeprefix("Value error, ")
