"""What a farmer reads of the herd picture in a minute, in words: what is up, what is down, which animals."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from dictate.entry.wording import day
from dictate.record.cases import Case, CaseRow
from dictate.record.picture import HerdPicture, TrimPicture
from dictate.record.prevalence import ANY_LESION, Prevalence
from dictate.record.trend import Change, Point
from dictate.texts import gettext, translated

_MOST = 6
"""Lesions named in one list; the annex has them all."""
_MOST_ANIMALS = 20
"""Lines of animals to look at; the annex has more."""
_PREFERRED = ("whole herd", "not stated", "chosen animals")


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """One lesion from the visit before to the last."""

    lesion: str
    before: str
    now: str
    is_clear: bool
    """The change is larger than visits differ by chance."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Headlines:
    """The first two pages."""

    trim: TrimPicture | None
    """Visits that the page speaks of: those of the whole herd when there are any."""
    summary: str
    up: tuple[Movement, ...]
    down: tuple[Movement, ...]
    same: tuple[str, ...]
    commonest: tuple[str, ...]
    """What was found at the last visit when there is none to compare with."""
    ordered: tuple[Case | CaseRow, ...]
    """Open cases, those found at the most visits first; all of them, or as many as were asked for."""
    open: int
    """How many there are."""

    @property
    def cases(self) -> tuple[Case | CaseRow, ...]:
        """Open cases to look at first."""
        return self.ordered[:_MOST_ANIMALS]

    @property
    def cases_left(self) -> int:
        """How many more are open."""
        return self.open - len(self.cases)


def headlines(picture: HerdPicture) -> Headlines:
    """Put the figures into words; which visits are spoken of is said in the summary."""
    trim = next(
        (one for name in _PREFERRED for one in picture.trims if one.trim == name and one.herd), None
    )
    changes = [] if trim is None else [c for c in trim.changes if c.lesion != ANY_LESION]
    cases = sorted(picture.open_cases, key=lambda case: (-case.visits, case.first_on, case.animal))
    return Headlines(
        trim=trim,
        summary=_summary(trim),
        up=tuple(_movement(c) for c in _largest(c for c in changes if _step(c) > 0)),
        down=tuple(_movement(c) for c in _largest(c for c in changes if _step(c) < 0)),
        same=tuple(f"{translated(c.lesion)} {_share(c.now)}" for c in changes if _step(c) == 0),
        commonest=() if trim is None or changes else _commonest(trim),
        ordered=tuple(cases),
        open=picture.cases.open,
    )


def _summary(trim: TrimPicture | None) -> str:
    if trim is None:
        return gettext("Nothing is confirmed for these visits.")
    whole = {
        "whole herd": gettext("with the whole herd trimmed"),
        "chosen animals": gettext("to chosen animals"),
        "not stated": gettext("(nobody stated whether the whole herd was trimmed)"),
    }[trim.trim]
    change = next((change for change in trim.changes if change.lesion == ANY_LESION), None)
    if change is None:
        last = max(trim.visits, key=lambda visit: (visit.on, visit.id))
        row = next(row for row in trim.herd if row.lesion == ANY_LESION)
        if len(trim.visits) == 1:
            return gettext(
                "At the visit of %(day)s %(whole)s, %(share)s animals had a lesion.",
                day=day(last.on),
                whole=whole,
                share=_share(row),
            )
        return gettext(
            "At the %(count)s visits %(whole)s, %(share)s animals had a lesion.",
            count=len(trim.visits),
            whole=whole,
            share=_share(row),
        )
    said = gettext(
        "At the last visit %(whole)s, on %(day)s, %(share)s had a lesion; at the one before, on %(before)s, it was %(was)s.",
        whole=whole,
        day=day(change.now.on),
        share=_share(change.now),
        before=day(change.before.on),
        was=_share(change.before),
    )
    return said if change.is_clear else said + " " + gettext("That difference may be chance.")


def _step(change: Change) -> float:
    """How far the share moved; 0 when it is less than one animal's worth."""
    before, now = change.before, change.now
    step = now.count / now.out_of - before.count / before.out_of
    return 0 if abs(step) < 1 / max(now.out_of, before.out_of) else step


def _largest(changes: Iterable[Change]) -> Sequence[Change]:
    return sorted(changes, key=lambda change: -abs(_step(change)))[:_MOST]


def _movement(change: Change) -> Movement:
    return Movement(
        lesion=change.lesion,
        before=_share(change.before),
        now=_share(change.now),
        is_clear=change.is_clear,
    )


def _share(row: Point | Prevalence) -> str:
    """E.g. `9 of 60 (15 %)`, never broken over a line."""
    percent = round(100 * row.count / row.out_of)
    said = gettext(
        "%(count)s of %(total)s (%(percent)s %%)",
        count=row.count,
        total=row.out_of,
        percent=percent,
    )
    return said.replace(" ", "\u00a0")


def _commonest(trim: TrimPicture) -> tuple[str, ...]:
    rows = [row for row in trim.herd if row.lesion != ANY_LESION and row.count]
    return tuple(f"{translated(row.lesion)}: {_share(row)}" for row in rows[:_MOST])
