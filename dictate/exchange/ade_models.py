"""The part of ICAR Animal Data Exchange (ADE-1) that we write, as our own models.

Names and requirements follow the public schemas (github.com/adewg/ICAR, ADE-1, Apache-2.0):
`icarAnimalCoreResource`, `icarDiagnosisEventResource`, `icarTreatmentEventResource` and the types
they use.
"""

import datetime as dt
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, PlainSerializer

UtcText = Annotated[
    dt.datetime,
    PlainSerializer(
        lambda at: at.astimezone(dt.UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
    ),
]
"""RFC 3339 in UTC with a Z."""


class _Ade(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Identifier(_Ade):
    id: str = Field(min_length=1)
    scheme: str = Field(min_length=1)


class Meta(_Ade):
    source: str
    sourceId: str  # noqa: N815 - names are the standard's
    modified: UtcText
    creator: str | None = None


class Position(_Ade):
    position: str


class Diagnosis(_Ade):
    id: str
    name: str
    description: str | None = None
    site: str | None = None
    severity: Literal["Light", "Moderate", "Severe"] | None = None
    positions: tuple[Position, ...] | None = None


class Medicine(_Ade):
    name: str
    """In the speaker's own words."""


class _Event(_Ade):
    meta: Meta
    id: str
    eventDateTime: UtcText  # noqa: N815
    responsible: str | None = None
    remark: str | None = None
    animal: Identifier


class DiagnosisEvent(_Event):
    resourceType: Literal["DiagnosisEvent"] = "DiagnosisEvent"  # noqa: N815
    diagnoses: tuple[Diagnosis, ...]


class TreatmentEvent(_Event):
    resourceType: Literal["TreatmentEvent"] = "TreatmentEvent"  # noqa: N815
    procedure: str
    medicine: Medicine | None = None
    site: str | None = None
    positions: tuple[Position, ...] | None = None
    comment: str | None = None


class Animal(_Ade):
    resourceType: Literal["Animal"] = "Animal"  # noqa: N815
    meta: Meta
    identifier: Identifier
    alternativeIdentifiers: tuple[Identifier, ...] | None = None  # noqa: N815
    specie: Literal["Cattle"] = "Cattle"
    gender: Literal["Unknown"] = "Unknown"
    managementTag: str  # noqa: N815
    name: str | None = None
    status: Literal["Alive", "OffFarm", "Dead", "Unknown"]


class View(_Ade):
    totalItems: int  # noqa: N815


class Collection(_Ade):
    view: View
    member: tuple[Animal | DiagnosisEvent | TreatmentEvent, ...]
