"""What stands on the sheet of a visit, in the order it stands there."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date

from markupsafe import Markup

from dictate.record.rows import (
    NO_LESION,
    ActionRow,
    AnimalRow,
    FindingRow,
    FollowUpRow,
    LocomotionRow,
    MeasureRow,
    RemarkRow,
    VisitRow,
)
from dictate.sheets.claw_map import claw_map
from dictate.sheets.words import (
    CAUTION,
    action_words,
    day,
    finding_words,
    follow_up_words,
    locomotion_words,
    measure_words,
)

__all__ = [
    "AnimalLine",
    "Attention",
    "DueLine",
    "VisitRows",
    "VisitSheet",
    "make_visit_sheet",
]

_TRIM_WORDS = {
    True: "Whole herd trimmed",
    False: "Chosen animals trimmed, not the whole herd",
    None: "Not stated whether the whole herd was trimmed",
}
_TOP_SCORES = {"1-5": 5, "0-3": 3}
_PRODUCT_KINDS = frozenset({"topical", "wrap"})


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitRows:
    """The confirmed rows of one visit."""

    animals: Sequence[AnimalRow] = ()
    findings: Sequence[FindingRow] = ()
    actions: Sequence[ActionRow] = ()
    follow_ups: Sequence[FollowUpRow] = ()
    locomotion: Sequence[LocomotionRow] = ()
    measures: Sequence[MeasureRow] = ()
    status: Sequence[RemarkRow] = ()
    """Said of the whole animal: very lame, cull …"""
    remarks: Sequence[RemarkRow] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Attention:
    """Something that must not be overlooked, because the trimmer said so."""

    animal: str
    head: str
    """Refer to vet, or what was said that stands out."""
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AnimalLine:
    """One animal's line."""

    animal: str
    name: str
    claw_map: Markup | None
    """None when nothing was found at a foot."""
    found: tuple[str, ...]
    """Findings, scores, measures, and remarks in quotes."""
    done: tuple[str, ...]
    next: tuple[str, ...]
    is_referred: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DueLine:
    """What is due on one day."""

    on: date | None
    words: str
    what: tuple[tuple[str, tuple[str, ...]], ...]
    """Kind, and the animals it is due for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitSheet:
    """Everything on the sheet, in its order."""

    farm: str
    on: date
    trimmer: str
    trim: str
    seen: int
    with_lesion: int
    refer: tuple[Attention, ...]
    stands_out: tuple[Attention, ...]
    lines: tuple[AnimalLine, ...]
    due: tuple[DueLine, ...]
    products: tuple[str, ...]
    """Animals on which a product was used, with what was said of it."""
    waiting: int = 0
    """Entries of the visit that nobody has confirmed or rejected yet; they are not on the sheet."""
    cautions: tuple[str, ...] = field(default=(CAUTION,))


def make_visit_sheet(
    *, farm: str, visit: VisitRow, rows: VisitRows, waiting: int = 0
) -> VisitSheet:
    """Put the rows of one visit in the order of the sheet."""
    names = {animal.id: animal for animal in rows.animals}
    per_animal = _per_animal(rows)
    ordered = sorted(per_animal.items(), key=lambda item: _natural(item[1].number))
    parts = [part for _, part in ordered]
    lines = tuple(
        _line(part, names[animal_id].name if animal_id in names else None)
        for animal_id, part in ordered
    )
    return VisitSheet(
        farm=farm,
        on=visit.on,
        trimmer=visit.trimmer,
        trim=_TRIM_WORDS[visit.whole_herd],
        seen=len(parts),
        with_lesion=sum(part.has_lesion for part in parts),
        refer=tuple(_referral(part) for part in parts if part.is_referred),
        stands_out=tuple(said for part in parts for said in _standing_out(part)),
        lines=lines,
        due=_due(rows.follow_ups),
        products=tuple(_products(parts)),
        waiting=waiting,
    )


@dataclass(slots=True)
class _Part:
    """The rows of one animal."""

    number: str
    findings: list[FindingRow] = field(default_factory=list)
    actions: list[ActionRow] = field(default_factory=list)
    follow_ups: list[FollowUpRow] = field(default_factory=list)
    locomotion: list[LocomotionRow] = field(default_factory=list)
    measures: list[MeasureRow] = field(default_factory=list)
    status: list[RemarkRow] = field(default_factory=list)
    remarks: list[RemarkRow] = field(default_factory=list)

    @property
    def lesions(self) -> list[FindingRow]:
        return [finding for finding in self.findings if finding.lesion != NO_LESION]

    @property
    def has_lesion(self) -> bool:
        return any(finding.is_lesion for finding in self.findings)

    @property
    def is_referred(self) -> bool:
        said = {action.kind for action in self.actions} | {
            follow_up.kind for follow_up in self.follow_ups
        }
        return bool(said & {"referred", "vet"})


def _per_animal(rows: VisitRows) -> dict[int, _Part]:
    parts: dict[int, _Part] = {}
    for name in (
        "findings",
        "actions",
        "follow_ups",
        "locomotion",
        "measures",
        "status",
        "remarks",
    ):
        for row in getattr(rows, name):
            part = parts.setdefault(row.animal_id, _Part(row.animal))
            getattr(part, name).append(row)
    return parts


def _line(part: _Part, name: str | None) -> AnimalLine:
    found = [finding_words(finding) for finding in part.findings]
    found += [locomotion_words(row) for row in part.locomotion] + [
        measure_words(row) for row in part.measures
    ]
    found += [row.text for row in part.status]
    mapped = [finding for finding in part.lesions if finding.foot]
    drawing = None
    if mapped:
        key = f"animal-{part.findings[0].animal_id}"
        drawn = claw_map(part.findings, part.actions, title=part.number, key=key, small=True)
        drawing = Markup(drawn)  # noqa: S704 - claw_map escapes every text
    return AnimalLine(
        animal=part.number,
        name=name or "",
        claw_map=drawing,
        found=tuple(dict.fromkeys(found)) + tuple(f"“{row.text}”" for row in part.remarks),
        done=action_words(part.actions),
        next=tuple(dict.fromkeys(follow_up_words(row) for row in part.follow_ups)),
        is_referred=part.is_referred,
    )


def _referral(part: _Part) -> Attention:
    words = [finding_words(finding) for finding in part.lesions]
    words += [
        follow_up_words(row)
        for row in part.follow_ups
        if row.kind == "vet" and (row.due_on or row.when)
    ]
    words += [f"“{row.text}”" for row in part.remarks]
    return Attention(animal=part.number, head="Refer to vet", words=tuple(words))


def _standing_out(part: _Part) -> Iterable[Attention]:
    severe = tuple(finding_words(row) for row in part.lesions if row.severity == "severe")
    if severe:
        yield Attention(animal=part.number, head="Said to be severe", words=severe)
    for row in part.locomotion:
        if row.scale and row.score == _TOP_SCORES[row.scale]:
            yield Attention(
                animal=part.number, head="Worst lameness score", words=(locomotion_words(row),)
            )


def _due(follow_ups: Sequence[FollowUpRow]) -> tuple[DueLine, ...]:
    days: dict[date | None, dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
    for row in sorted(follow_ups, key=lambda row: _natural(row.animal)):
        if row.done_on is None:
            due = row.snoozed_to or row.due_on
            kind = row.kind if due or not row.when else f"{row.kind}, {row.when}"
            days[due][kind].append(row.animal)
    return tuple(
        DueLine(
            on=on,
            words=day(on) if on else "No date said",
            what=tuple(
                (kind, tuple(dict.fromkeys(animals))) for kind, animals in sorted(kinds.items())
            ),
        )
        for on, kinds in sorted(
            days.items(), key=lambda item: (item[0] is None, item[0] or date.min)
        )
    )


def _products(parts: Sequence[_Part]) -> Iterable[str]:
    for part in parts:
        said = [row.material for row in part.actions if row.kind in _PRODUCT_KINDS and row.material]
        topical = any(row.kind == "topical" for row in part.actions)
        if said or topical:
            yield f"{part.number} ({', '.join(dict.fromkeys(said)) or 'product not said'})"


def _natural(number: str) -> tuple[int, str]:
    """Sort 9 before 10, and what is no number last."""
    return (int(number), "") if number.isdecimal() else (10**15, number)
