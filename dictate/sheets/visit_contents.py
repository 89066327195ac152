"""What stands on the sheet of a visit, in the order it stands there."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from markupsafe import Markup

from dictate.entry.terms import NO_LESION
from dictate.entry.wording import (
    Style,
    day,
    say_actions,
    say_due,
    say_due_place,
    say_feet,
    say_finding,
    say_locomotion,
    say_measure,
)
from dictate.record.rows import (
    ActionRow,
    FindingRow,
    FollowUpRow,
    LocomotionRow,
    MeasureRow,
    RemarkRow,
    VisitRow,
    natural,
)
from dictate.settings import named
from dictate.sheets.line_map import line_map
from dictate.sheets.words import CAUTION
from dictate.texts import gettext, noted, translated

_TRIM_WORDS = {
    True: noted("Whole herd trimmed"),
    False: noted("Chosen animals trimmed, not the whole herd"),
    None: noted("Not stated whether the whole herd was trimmed"),
}
_TOP_SCORES = {"1-5": 5, "0-3": 3}
_PRODUCT_KINDS = frozenset({"topical", "wrap"})
_ROWS = ("findings", "actions", "follow_ups", "locomotion", "measures", "status", "remarks")
_MANY, _FEW = 6, 6
"""What at least so many animals share, and at most so few do not, is said once above them all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitRows:
    """The confirmed rows of one visit."""

    names: Mapping[int, str] = field(default_factory=dict)
    """Of animals that have one, by their id."""
    findings: Sequence[FindingRow] = ()
    actions: Sequence[ActionRow] = ()
    follow_ups: Sequence[FollowUpRow] = ()
    locomotion: Sequence[LocomotionRow] = ()
    measures: Sequence[MeasureRow] = ()
    status: Sequence[RemarkRow] = ()
    """Said of the whole animal: very lame, cull …"""
    remarks: Sequence[RemarkRow] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class AnimalLine:
    """One animal's line."""

    animal: str
    name: str
    why: str
    """What of it must not be overlooked, because the trimmer said so; empty for nothing."""
    claw_map: Markup | None
    """None when nothing was found at a foot."""
    found: tuple[str, ...]
    """Findings, scores, measures, and remarks in quotes."""
    done: tuple[str, ...]
    next: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Alike:
    """Animals of which the same few words say everything."""

    words: str
    animals: tuple[str, ...]
    """Numbers, with names where there are some."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DueLine:
    """What is due on one day."""

    on: date | None
    words: str
    what: tuple[tuple[str, tuple[str, ...]], ...]
    """Kind, and the animals it is due for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitSheet:
    """Everything on the sheet, in its order; every animal stands once in refer, severe, lines or alike."""

    farm: str
    on: date
    trimmer: str
    contact: str
    """How the trimmer is reached, in the trimmer's own words."""
    trim: str
    seen: int
    with_lesion: int
    all_done: str
    """What was done to every animal but the few that it names; no line repeats it."""
    refer: tuple[AnimalLine, ...]
    """Refer to vet, whatever else was said of them."""
    severe: tuple[AnimalLine, ...]
    """Said to be severe, or given the worst score of a lameness scale."""
    lines: tuple[AnimalLine, ...]
    alike: tuple[Alike, ...]
    due: tuple[DueLine, ...]
    products: tuple[str, ...]
    """Animals on which a product was used, with what was said of it."""
    waiting: int = 0
    """Entries of the visit that nobody has confirmed or rejected yet; they are not on the sheet."""
    cautions: tuple[str, ...] = field(default=(CAUTION,))

    @property
    def own(self) -> tuple[AnimalLine, ...]:
        """The animals with a line of their own."""
        return *self.refer, *self.severe, *self.lines

    @property
    def has_names(self) -> bool:
        """Any of them has a name: the column is wider then."""
        return any(line.name for line in self.own)

    @property
    def has_done(self) -> bool:
        """Something was done to one of them that no sentence above them all says."""
        return any(line.done for line in self.own)

    @property
    def has_next(self) -> bool:
        """Something is due for one of them."""
        return any(line.next for line in self.own)


def make_visit_sheet(
    *, farm: str, visit: VisitRow, rows: VisitRows, waiting: int = 0, contact: str = ""
) -> VisitSheet:
    """Put the rows of one visit in the order of the sheet."""
    parts = sorted(_per_animal(rows), key=lambda part: natural(part.number))
    common, all_done = _done_to_all(parts)
    plain = [part for part in parts if part.is_plain]
    own = [(part, _line(part, common)) for part in parts if not part.is_plain]
    return VisitSheet(
        farm=farm,
        on=visit.on,
        trimmer=named(visit.trimmer),
        contact=contact,
        trim=gettext(_TRIM_WORDS[visit.whole_herd]),
        seen=len(parts),
        with_lesion=sum(part.has_lesion for part in parts),
        all_done=all_done,
        refer=tuple(line for part, line in own if part.is_referred),
        severe=tuple(line for part, line in own if line.why and not part.is_referred),
        lines=tuple(line for part, line in own if not (line.why or part.is_referred)),
        alike=_alike(plain, common),
        due=_due(rows.follow_ups),
        products=tuple(_products(parts)),
        waiting=waiting,
    )


@dataclass(slots=True)
class _Part:
    """The rows of one animal."""

    number: str
    name: str
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

    @property
    def is_plain(self) -> bool:
        """No lesion, nothing due and nothing of its own was said: a few words tell all."""
        more = (self.follow_ups, self.locomotion, self.measures, self.status, self.remarks)
        return not (self.lesions or any(more) or self.is_referred)

    @property
    def titled(self) -> str:
        return f"{self.number} {self.name}".strip()


def _per_animal(rows: VisitRows) -> Iterable[_Part]:
    parts: dict[int, _Part] = {}
    for name in _ROWS:
        for row in getattr(rows, name):
            part = parts.setdefault(
                row.animal_id, _Part(row.animal, rows.names.get(row.animal_id, ""))
            )
            getattr(part, name).append(row)
    return parts.values()


def _done_to_all(parts: Sequence[_Part]) -> tuple[str, str]:
    """What was done to all but a few animals, and the sentence that says so; both empty for nothing."""
    done = Counter(words for part in parts for words in say_actions(part.actions))
    common, times = max(done.items(), key=lambda item: item[1], default=("", 0))
    if times < _MANY or len(parts) - times > _FEW:
        return "", ""
    others = [part.number for part in parts if common not in say_actions(part.actions)]
    if not others:
        return common, gettext("%(words)s: every animal", words=common)
    numbers = ", ".join(others)
    return common, gettext("%(words)s: every animal but %(numbers)s", words=common, numbers=numbers)


def _line(part: _Part, common: str) -> AnimalLine:
    clean = [finding for finding in part.findings if finding.lesion == NO_LESION]
    found = [say_finding(finding, Style.SHEET) for finding in part.lesions]
    found += _clean_words(clean)
    found += [say_locomotion(row) for row in part.locomotion]
    found += [say_measure(row) for row in part.measures]
    found += [translated(row.text) for row in part.status]
    told = {common, translated("referred")} if part.is_referred else {common}
    drawing = None
    if any(finding.foot for finding in part.lesions):
        drawn = line_map(part.findings, part.actions, title=part.number)
        drawing = Markup(drawn)  # noqa: S704 - line_map escapes it
    return AnimalLine(
        animal=part.number,
        name=part.name,
        why=_why(part),
        claw_map=drawing,
        found=tuple(dict.fromkeys(found)) + tuple(f"“{row.text}”" for row in part.remarks),
        done=tuple(words for words in say_actions(part.actions) if words not in told),
        next=tuple(dict.fromkeys(_next_words(row) for row in part.follow_ups)),
    )


def _why(part: _Part) -> str:
    why = list(_standing_out(part))
    said = gettext("%(one)s and %(other)s", one=why[0], other=why[1]) if why[1:] else "".join(why)
    return said.capitalize()


def _standing_out(part: _Part) -> Iterable[str]:
    if any(row.severity == "severe" for row in part.lesions):
        yield gettext("said to be severe")
    if any(row.scale and row.score == _TOP_SCORES[row.scale] for row in part.locomotion):
        yield gettext("worst lameness score")


def _alike(plain: Sequence[_Part], common: str) -> tuple[Alike, ...]:
    """Group the animals without a lesion by what was said of them, the largest group first."""
    groups: dict[str, list[str]] = {}
    for part in plain:
        done = [words for words in say_actions(part.actions) if words != common]
        words = "; ".join([*_clean_words(part.findings), *done]) or common
        groups.setdefault(words, []).append(part.titled)
    return tuple(
        Alike(words=words[:1].upper() + words[1:], animals=tuple(animals))
        for words, animals in sorted(groups.items(), key=lambda item: -len(item[1]))
    )


def _clean_words(findings: Sequence[FindingRow]) -> Iterable[str]:
    """Say what was found without a lesion as one would: `all four feet clean`."""
    if not findings:
        return
    if any(finding.foot is None for finding in findings):
        yield translated(NO_LESION)
        return
    yield gettext("%(feet)s clean", feet=say_feet(finding.foot for finding in findings))


def _due(follow_ups: Sequence[FollowUpRow]) -> tuple[DueLine, ...]:
    days: dict[date | None, dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
    for row in sorted(follow_ups, key=lambda row: natural(row.animal)):
        if row.done_on is None:
            due = row.snoozed_to or row.due_on
            kind = translated(row.kind)
            kind = kind if due or not row.when else f"{kind}, {row.when}"
            place = say_due_place(row.feet, row.claw)
            days[due][kind].append(f"{row.animal} ({place})" if place else row.animal)
    return tuple(
        DueLine(
            on=on,
            words=day(on) if on else gettext("No date said"),
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
            products = ", ".join(dict.fromkeys(said)) or gettext("product not said")
            yield f"{part.number} ({products})"


def _next_words(row: FollowUpRow) -> str:
    """What is due and when, or the words said when they gave no date."""
    what = " ".join(filter(None, (translated(row.kind), say_due_place(row.feet, row.claw))))
    return say_due(what, row.snoozed_to or row.due_on, when=row.when)
