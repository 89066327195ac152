"""What one line of a roster says, and what taking a list in did."""

import datetime as dt
import re
from typing import Annotated

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from dictate.store.states import AnimalStatus

_Blank = BeforeValidator(
    lambda value: None if isinstance(value, str) and not value.strip() else value
)


class RosterLine(BaseModel):
    """One animal of a roster file."""

    model_config = ConfigDict(extra="forbid", frozen=True, str_strip_whitespace=True)

    number: str = Field(min_length=1, max_length=20)
    eid: Annotated[str | None, _Blank] = Field(default=None, pattern=r"^[0-9]{15}$")
    ear_tag: Annotated[str | None, _Blank] = Field(default=None, max_length=30)
    name: Annotated[str | None, _Blank] = Field(default=None, max_length=60)
    lactation: Annotated[int | None, _Blank] = Field(default=None, ge=0, le=30)
    calved_on: Annotated[dt.date | None, _Blank] = None
    dried_off_on: Annotated[dt.date | None, _Blank] = None
    status: Annotated[AnimalStatus | None, _Blank] = None


def is_there(line: RosterLine) -> bool:
    return line.status in (None, AnimalStatus.PRESENT)


class RosterChange(BaseModel):
    """What taking a roster in did, in animals."""

    added: int = 0
    changed: int = 0
    renumbered: int = 0
    """Known by their electronic number or ear tag, and now bearing another number."""
    left: int = 0
    """No longer on the roster."""
    returned: int = 0
    """Had left and are back, with their history."""
    undecided: dict[str, str] = Field(default_factory=dict, exclude=True)
    """Number to why its line was not taken in: a person has to say which animal it is."""
    came_back: tuple[str, ...] = Field(default=(), exclude=True)
    """Those of `undecided` that only wait for `returned` to be said."""
    but_for_zeros: tuple[str, ...] = Field(default=(), exclude=True)
    """Those of `undecided` that only wait for `zeros` to be said: 0412, where 412 is there."""


def tag_key(tag: str) -> str:
    """Equal for one ear tag however it is spaced and written."""
    plain = tag.replace(" ", "")
    return plain.upper() if plain.isalnum() else re.sub(r"[\W_]+", "", tag).upper()
