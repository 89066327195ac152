"""What Pydantic finds wrong with a value, said in plain words."""

from collections.abc import Iterable, Mapping
from typing import Any

_WORDS = {
    "missing": "is missing",
    "extra_forbidden": "is not known here",
    "string_too_short": "is empty",
    "string_too_long": "is too long (at most {max_length} letters)",
    "string_type": "is not text",
    "string_pattern_mismatch": "is not written as it should be",
    "int_parsing": "is not a whole number",
    "int_type": "is not a whole number",
    "int_from_float": "is not a whole number",
    "float_parsing": "is not a number",
    "decimal_parsing": "is not a number; write it as 18.50",
    "decimal_type": "is not a number; write it as 18.50",
    "finite_number": "is not a number",
    "bool_parsing": "is neither yes nor no",
    "greater_than": "must be more than {gt}",
    "greater_than_equal": "must be {ge} or more",
    "less_than": "must be less than {lt}",
    "less_than_equal": "must be {le} or less",
    "literal_error": "must be {expected}",
    "enum": "must be {expected}",
    "date_parsing": "is not a date",
    "date_type": "is not a date",
    "date_from_datetime_parsing": "is not a date",
    "datetime_parsing": "is not a time",
    "path_type": "is not a path",
    "dict_type": "is not a table of values",
    "list_type": "is not a list",
    "tuple_type": "is not a list",
}


def plain_fault(fault: Mapping[str, Any]) -> str:
    """Return e.g. `prices block: is not a number; write it as 18.50` for one of Pydantic's faults."""
    where = " ".join(str(step) for step in fault["loc"] if step not in ("body", "query", "path"))
    words = _WORDS.get(fault["type"])
    told = words.format_map(_Known(fault.get("ctx") or {})) if words else _own(fault["msg"])
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
