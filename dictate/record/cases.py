"""Cases: one lesion on one claw of one animal, from the visit that found it to the one that closed it.

A later finding belongs to an open case when animal, foot and lesion agree and the claw agrees or one
of the two leaves it open. A case closes when a later note says `healed`, or says `no lesion` for that
foot (or that claw). `No lesion` said without a foot closes nothing: it does not say which feet were
lifted. Nothing here decides what a lesion is worth; these are counting rules.
"""

import tomllib
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from importlib.resources import files
from statistics import median

from dictate.entry.terms import NO_LESION
from dictate.record.rows import FindingRow

_CLOSING = frozenset({"healed", "closed"})
_NEW = frozenset({"new", "recurrence"})
SEEN_AGAIN = "seen again"


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One lesion of one animal over time."""

    animal_id: int
    animal: str
    name: str
    """The lesion, or what the lesions seen are forms of (`white line`)."""
    foot: str | None
    claw: str | None
    findings: tuple[FindingRow, ...]
    """In order of date; the first one opened the case."""
    closed_on: date | None = None
    after_closed: bool = False
    """An earlier case in the same place had been closed."""

    @property
    def first_on(self) -> date:
        return self.findings[0].on

    @property
    def last_on(self) -> date:
        """Last day the lesion was there."""
        return self.findings[-1].on

    @property
    def visits(self) -> int:
        """Visits at which the lesion was there."""
        return len({finding.visit_id for finding in self.findings})

    @property
    def course(self) -> str:
        """What the last note said of it: closed, healing, better, same, worse, or only seen again."""
        if self.closed_on:
            return "closed"
        last = self.findings[-1].course
        return last or (SEEN_AGAIN if self.visits > 1 else "new")

    def kind(self, chronic_visits: int) -> str:
        """Return chronic (there at so many visits or more), repeat (after a closed one) or new."""
        if self.visits >= chronic_visits:
            return "chronic"
        return "repeat" if self.after_closed else "new"


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseRow:
    """A case without its findings, as the store keeps it for lists."""

    animal_id: int
    animal: str
    name: str
    foot: str | None
    claw: str | None
    first_on: date
    last_on: date
    visits: int
    course: str
    closed_on: date | None
    after_closed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseCounts:
    """Cases of a period by kind."""

    new: int
    repeat: int
    chronic: int
    open: int
    """Of all these, still open."""
    chronic_visits: int
    """Visits from which a case counts as chronic here."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Closing:
    """Days from the first finding to the note that closed the case."""

    closed: int
    open: int
    """Cases not closed yet; they are in no figure here, so the true time is longer."""
    median_days: float | None
    shortest_days: int | None
    longest_days: int | None


def cases_of(findings: Iterable[FindingRow]) -> tuple[Case, ...]:
    """Build the cases of any number of animals, by first day and animal."""
    by_animal: dict[int, list[FindingRow]] = defaultdict(list)
    for finding in findings:
        by_animal[finding.animal_id].append(finding)
    cases = [case for rows in by_animal.values() for case in _cases_of_animal(rows)]
    return tuple(
        sorted(cases, key=lambda case: (case.first_on, case.animal, case.name, case.foot or ""))
    )


def match_open_case(finding: FindingRow, cases: Sequence[Case]) -> Case | None:
    """Return the one open case a new finding goes on with; None when none or more than one fits."""
    fitting = [case for case in cases if not case.closed_on and _fits(case, finding)]
    exact = [case for case in fitting if case.claw == finding.claw]
    chosen = exact or fitting
    return chosen[0] if len(chosen) == 1 else None


def count_cases(cases: Iterable[Case], *, chronic_visits: int) -> CaseCounts:
    """Count cases by kind; say `chronic_visits` wherever the result is shown."""
    kinds = [(case.kind(chronic_visits), case.closed_on is None) for case in cases]
    return CaseCounts(
        new=sum(kind == "new" for kind, _ in kinds),
        repeat=sum(kind == "repeat" for kind, _ in kinds),
        chronic=sum(kind == "chronic" for kind, _ in kinds),
        open=sum(is_open for _, is_open in kinds),
        chronic_visits=chronic_visits,
    )


def time_to_close(cases: Iterable[Case]) -> Closing:
    """Return how long the closed cases took, and how many are still open."""
    days, still_open = [], 0
    for case in cases:
        if case.closed_on:
            days.append((case.closed_on - case.first_on).days)
        else:
            still_open += 1
    return closing_of(days, still_open)


def closing_of(days: Sequence[int], still_open: int) -> Closing:
    """The same from how many days each closed case took."""
    return Closing(
        closed=len(days),
        open=still_open,
        median_days=median(days) if days else None,
        shortest_days=min(days, default=None),
        longest_days=max(days, default=None),
    )


def _cases_of_animal(rows: list[FindingRow]) -> list[Case]:
    still_open: list[Case] = []
    closed: list[Case] = []
    # `no lesion` last within a visit: it speaks of what is left after the lesions named.
    for row in sorted(rows, key=lambda r: (r.on, r.visit_id, r.lesion == NO_LESION, r.id)):
        if row.lesion == NO_LESION:
            closed += [replace(case, closed_on=row.on) for case in still_open if _clears(row, case)]
            still_open = [case for case in still_open if not _clears(row, case)]
            continue
        found = None if row.course in _NEW else match_open_case(row, still_open)
        if found is not None:
            still_open = [case for case in still_open if case is not found]
        case = _first_case(row, closed) if found is None else _going_on(found, row)
        (closed if case.closed_on else still_open).append(case)
    return closed + still_open


def _going_on(case: Case, row: FindingRow) -> Case:
    if row.course in _CLOSING:
        # The lesion is no longer there: this note closes the case and adds no sighting.
        return replace(case, closed_on=row.on)
    return replace(case, findings=(*case.findings, row), claw=case.claw or row.claw)


def _first_case(row: FindingRow, closed: Sequence[Case]) -> Case:
    return Case(
        animal_id=row.animal_id,
        animal=row.animal,
        name=case_name(row.lesion),
        foot=row.foot,
        claw=row.claw,
        findings=(row,),
        closed_on=row.on if row.course in _CLOSING else None,
        after_closed=row.course == "recurrence" or any(_fits(case, row) for case in closed),
    )


def _fits(case: Case, row: FindingRow) -> bool:
    if case.foot != row.foot or (case.claw != row.claw and None not in (case.claw, row.claw)):
        return False
    return case.name == case_name(row.lesion)


def _clears(row: FindingRow, case: Case) -> bool:
    if row.foot is None or row.foot != case.foot or row.visit_id == case.findings[-1].visit_id:
        return False
    return row.claw is None or row.claw == case.claw


def lesion_group(lesion: str) -> str:
    """Return infectious, non-infectious, claw shape or not grouped."""
    return _names("group").get(lesion, "not grouped")


def case_name(lesion: str) -> str:
    """Return the name a case goes by: its lesion, or what that lesion is a form of."""
    return _names("case").get(lesion, lesion)


@cache
def _names(table: str) -> dict[str, str]:
    data = tomllib.loads((files("dictate.record") / "lesions.toml").read_text("utf-8"))
    return {lesion: name for name, lesions in data[table].items() for lesion in lesions}
