"""One animal's pieces to its findings, actions, follow-ups, score and measures."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from grammar.join.action_plans import plan_actions
from grammar.join.actions import make_actions
from grammar.join.each_site import find_each_site
from grammar.join.feet import resolve_feet
from grammar.join.findings import find_findings
from grammar.join.follow_ups import find_follow_ups
from grammar.join.moods import take_moods
from grammar.join.prepare import prepare
from grammar.join.same_again import Copied, copy_again
from grammar.join.shared_lists import spread_lists
from grammar.join.work import Work
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import CLAWS, FEET, MeasureSaid, Piece, Score, StatusSaid, slot_of
from grammar.records import Correction, Entry, How, Locomotion, Measure, Question

__all__ = ["Attached", "attach"]


_NEXT = 2
"""Words between a denial and the site it is of: "no ulcer on the inner"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Attached:
    """An entry without its animal, and what the checks want to know besides."""

    entry: Entry
    loose: tuple[Piece, ...]
    """Pieces that fitted nowhere: an interval without a follow-up, a zone without a lesion …"""
    copied: Copied | None
    """Where "same again" was said."""
    questions: tuple[Question, ...] = ()
    """What is marked because of how it was said."""


def attach(pieces: Sequence[Piece], lexicon: Lexicon) -> Attached:
    """Attach one animal's pieces; never raises."""
    moods = take_moods(pieces, lexicon)
    repeated, copied = copy_again(spread_lists(moods.pieces))
    work = prepare(repeated, lexicon)
    follow_ups, dated = find_follow_ups(work)
    feet = resolve_feet(work)
    each = find_each_site(work, feet)
    plans = plan_actions(work)
    found = find_findings(work, feet, each)
    plans = [plan for plan in plans if work.pieces[plan.head].first not in dated]
    actions = make_actions(work, plans, feet, found)
    entry = Entry(
        findings=found.findings,
        actions=tuple(actions),
        follow_ups=follow_ups,
        locomotion=_locomotion(work),
        measures=tuple(_measure(one) for one in work.pieces if isinstance(one, MeasureSaid)),
        status=tuple(slot_of(p, p.value) for p in work.pieces if isinstance(p, StatusSaid)),
        denied=(*moods.denied, *work.denied),
        corrections=_corrections(pieces),
    )
    loose = tuple(work.pieces[i] for i in sorted(work.loose))
    questions = (*moods.questions, *work.questions, *_taken_back(entry, work, pieces))
    return Attached(entry=entry, loose=loose, copied=copied, questions=questions)


def _taken_back(entry: Entry, work: Work, pieces: Sequence[Piece]) -> Iterator[Question]:
    """ "blocked the inner, actually didn't block it": said, and then denied of the same foot."""
    done = [(one.kind, one.foot) for one in entry.actions]
    done += [(one.kind, None) for one in entry.follow_ups]
    done += list({one.lesion: (one.lesion, one.foot) for one in entry.findings}.values())
    feet = [piece.first for piece in work.pieces if isinstance(piece, FEET)]
    sites = [piece.first for piece in pieces if isinstance(piece, (*FEET, *CLAWS))]
    for no in entry.denied:
        if no.how is How.INFERRED:
            continue  # "wrapped, none on the right hind" says of which foot
        for said, own in done:
            at = own.first if own else -1  # "wrapped right hind, didn't wrap it actually"
            other_foot = any(said.first < first < no.first and first != at for first in feet)
            other_foot = other_foot or any(0 <= first - no.last <= _NEXT for first in sites)
            if said.value == no.value and 0 <= said.first < no.first and not other_foot:
                yield Question(
                    check="said-and-denied",
                    what=f"{said.heard!r} was said, and {no.heard!r} denied",
                    first=said.first, last=no.last,
                )  # fmt: skip


def _corrections(pieces: Sequence[Piece]) -> tuple[Correction, ...]:
    return tuple(correction for piece in pieces for correction in piece.corrections)


def _locomotion(work: Work) -> Locomotion | None:
    """The last score said holds; another one stays with it, for the check on two values."""
    scores = [piece for piece in work.pieces if isinstance(piece, Score)]
    if not scores:
        return None
    last = scores[-1]
    others = tuple(piece.value for piece in scores[:-1] if piece.value != last.value)
    kept = replace(last, rejected=(*last.rejected, *others))
    return Locomotion(score=slot_of(kept, last.value), scale=last.scale)


def _measure(piece: MeasureSaid) -> Measure:
    number, unit = piece.value
    return Measure(what=piece.what, number=_decimal(number), unit=unit)


def _decimal(number: Fraction) -> Decimal:
    """Exact where the fraction ends; thirds to four places."""
    exact = Decimal(number.numerator) / Decimal(number.denominator)
    return exact if Fraction(exact) == number else round(exact, 4)
