"""What stands on the sheet of a visit, in the order it stands there."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
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
from dictate.record.follow_ups import feet_about
from dictate.record.rows import FindingRow, FollowUpRow, LocomotionRow, VisitRow, natural
from dictate.settings import named
from dictate.sheets.line_map import line_map
from dictate.sheets.visit_rows import AnimalRows, VisitRows, done_to_all, per_animal
from dictate.texts import gettext, noted, translated

CAUTION = noted(
    "This sheet records what was said at the chute. It is no veterinary advice. Treatment, medicines "
    "and withdrawal times: the herd's vet, the product label and local law decide."
)
"""Stands wherever treatment or what is due is shown."""

_TRIM_WORDS = {
    True: noted("Whole herd trimmed"),
    False: noted("Chosen animals trimmed, not the whole herd"),
    None: noted("Not stated whether the whole herd was trimmed"),
}
_TOP_SCORES = {"1-5": 5, "0-3": 3}
_PRODUCT_KINDS = frozenset({"topical", "wrap"})


@dataclass(frozen=True, slots=True, kw_only=True)
class AnimalLine:
    """One animal's line."""

    animal: str
    name: str
    claw_map: Markup | None
    """None when nothing was found at a foot."""
    found: tuple[str, ...]
    """Findings, scores, measures, and remarks in quotes."""
    stands_out: frozenset[str]
    """Those of them that must not be overlooked, because the trimmer said so."""
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
    animals = per_animal(rows)
    common, all_done = done_to_all(animals)
    plain = [animal for animal in animals if animal.is_plain]
    own = [(animal, _line(animal, common)) for animal in animals if not animal.is_plain]
    return VisitSheet(
        farm=farm,
        on=visit.on,
        trimmer=named(visit.trimmer),
        contact=contact,
        trim=gettext(_TRIM_WORDS[visit.whole_herd]),
        seen=len(animals),
        with_lesion=sum(animal.has_lesion for animal in animals),
        all_done=all_done,
        refer=tuple(line for animal, line in own if animal.is_referred),
        severe=tuple(line for animal, line in own if line.stands_out and not animal.is_referred),
        lines=tuple(line for animal, line in own if not (line.stands_out or animal.is_referred)),
        alike=_alike(plain, common),
        due=_due(animals),
        products=tuple(_products(animals)),
        waiting=waiting,
    )


def _line(animal: AnimalRows, common: str) -> AnimalLine:
    clean = [finding for finding in animal.findings if finding.lesion == NO_LESION]
    lesions = [(say_finding(one, Style.SHEET), one.severity == "severe") for one in animal.lesions]
    scores = [_score_words(row) for row in animal.locomotion]
    found = [words for words, _ in lesions]
    found += _clean_words(clean)
    found += [words for words, _ in scores]
    found += [say_measure(row) for row in animal.measures]
    found += [translated(row.text) for row in animal.status]
    told = {common, translated("referred")} if animal.is_referred else {common}
    drawing = None
    if any(finding.foot for finding in animal.lesions):
        drawn = line_map(animal.findings, animal.actions, title=animal.number)
        drawing = Markup(drawn)  # noqa: S704 - line_map escapes it
    return AnimalLine(
        animal=animal.number,
        name=animal.name,
        claw_map=drawing,
        found=tuple(dict.fromkeys(found)) + tuple(f"“{row.text}”" for row in animal.remarks),
        stands_out=frozenset(words for words, bad in (*lesions, *scores) if bad),
        done=tuple(words for words in say_actions(animal.actions) if words not in told),
        next=tuple(dict.fromkeys(_next_words(row) for row in animal.follow_ups)),
    )


def _score_words(row: LocomotionRow) -> tuple[str, bool]:
    """A score in words, and whether it is the worst of its scale."""
    if row.scale and row.score == _TOP_SCORES[row.scale]:
        return gettext("%(locomotion)s, the worst score", locomotion=say_locomotion(row)), True
    return say_locomotion(row), False


def _alike(plain: Sequence[AnimalRows], common: str) -> tuple[Alike, ...]:
    """Group the animals without a lesion by what was said of them, the largest group first."""
    groups: dict[str, list[str]] = {}
    for animal in plain:
        done = [words for words in say_actions(animal.actions) if words != common]
        words = "; ".join([*_clean_words(animal.findings), *done]) or common
        groups.setdefault(words, []).append(animal.titled)
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


def _due(animals: Iterable[AnimalRows]) -> tuple[DueLine, ...]:
    days: dict[date | None, dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
    for animal in sorted(animals, key=lambda animal: natural(animal.number)):
        for row in animal.follow_ups:
            if row.done_on is None:
                due = row.snoozed_to or row.due_on
                kind = translated(row.kind)
                kind = kind if due or not row.when else f"{kind}, {row.when}"
                # Who goes to the animal reads this list alone: the feet of its own note stand here too.
                feet = feet_about(row, animal.lesions, animal.actions)
                place = say_due_place(feet, row.claw)
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


def _products(animals: Sequence[AnimalRows]) -> Iterable[str]:
    for animal in animals:
        said = [
            row.material for row in animal.actions if row.kind in _PRODUCT_KINDS and row.material
        ]
        topical = any(row.kind == "topical" for row in animal.actions)
        if said or topical:
            products = ", ".join(dict.fromkeys(said)) or gettext("product not said")
            yield f"{animal.number} ({products})"


def _next_words(row: FollowUpRow) -> str:
    """What is due and when, never broken within a date, or the words said when they gave none."""
    what = " ".join(filter(None, (translated(row.kind), say_due_place(row.feet, row.claw))))
    due = row.snoozed_to or row.due_on
    words = say_due(what, due, when=row.when)
    return words.replace(day(due), day(due).replace(" ", "\u00a0")) if due else words
