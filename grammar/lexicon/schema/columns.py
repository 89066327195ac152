"""Columns that rows of several files have."""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

Says = dict[str, list[Annotated[str, StringConstraints(pattern=r"^[a-z'()\[\]| ]+$")]]]

Word = Annotated[str, StringConstraints(pattern=r"\S")]
"""A word that is none would stand between any two."""

Foot = Literal["LF", "RF", "LH", "RH"]

Zone = Annotated[int, Field(ge=0, le=12)]


class Row(BaseModel):
    """What every row has: where it comes from and what is said."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    source: str
    says: Says


class ValueRow(Row):
    value: str
    stands_before: bool = False
