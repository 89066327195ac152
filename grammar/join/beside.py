"""What a piece means beside its neighbours: a size and a thing, a place and a side, a stage alone."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from grammar.join.comments import has_lesion
from grammar.join.cursor import back, find_back, get, past
from grammar.join.work import Work
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    MODIFIERS,
    ActionSaid,
    Claw,
    Course,
    Denied,
    Foot,
    ForeignBody,
    HalfFoot,
    Lesion,
    MeasureSaid,
    Piece,
    Region,
    Score,
    Severity,
    Stage,
    StatusSaid,
    Tissue,
    Zone,
    is_clean,
    turned,
)
from grammar.records import How

__all__ = [
    "TURNS",
    "begins_finding",
    "join_foreign_bodies",
    "join_measures",
    "leads_to_lesion",
    "narrow_places",
    "read_regions",
    "read_scores",
    "read_states",
    "take_changes",
]

_SWOLLEN = frozenset({"swollen", "swelling"})
_SIDES = frozenset({"left", "right", "other"})
_HEALED = "healed"
_DRY = "dry cow"
_OUT_OF = "score out of"
"""The rule of a score that names no scale but its top."""
_SCALES = {"5": "1-5", "3": "0-3"}
_DETAILS = (*MODIFIERS, *CLAWS, Zone, Region)


def join_foreign_bodies(work: Work) -> None:
    """ "half inch screw", "foreign body, a screw" and "screw …, an inch long, screw out" are one each."""
    gone: set[int] = set()
    for i, piece in enumerate(work.pieces):
        if not isinstance(piece, ForeignBody):
            continue
        said = piece.value
        first, corrections = piece.first, piece.corrections
        before = i - 1
        size = get(work.pieces, before)
        if isinstance(size, MeasureSaid) and not size.what:
            said = f"{size.heard.removeprefix('a ').removeprefix('an ')} {said}"
            first, corrections = size.first, size.corrections + corrections
            gone.add(before)
            before -= 1
        if (again := _same_object(work, i, piece.value)) is not None:
            known, at = again
            work.pieces[at] = replace(
                known, object=f"{said.removesuffix(piece.value)}{known.object}"
            )
            gone.add(i)
            continue
        plain = get(work.pieces, before)
        if isinstance(plain, Lesion) and plain.value == "foreign body" and plain.object is None:
            first = plain.first
            gone.add(before)
        work.pieces[i] = turned(
            piece, Lesion, value="foreign body", first=first, heard=said, object=said,
            corrections=corrections,
        )  # fmt: skip
    work.drop(gone)


def _same_object(work: Work, at: int, thing: str) -> tuple[Lesion, int] | None:
    """Return the foreign body that is said again without a foot of its own, and its position."""
    before = find_back(work.pieces, at - 1, (Lesion,), ())
    known = work.pieces[before] if before is not None else None
    if before is None or not isinstance(known, Lesion) or known.object != thing:
        return None
    feet = sum(isinstance(one, FEET) for one in work.pieces[before:at])
    own = isinstance(get(work.pieces, past(work.pieces, at + 1, CLAWS)), FEET)
    return None if own or feet > 1 else (known, before)


def narrow_places(work: Work) -> None:
    """ "behind left", "in front, the left one" are one foot; "in front, the left hind" is the hind."""
    gone: set[int] = set()
    for at, piece in enumerate(work.pieces):
        if not isinstance(piece, Foot) or not piece.place:
            continue
        for near in (at + 1, at - 1):
            other = get(work.pieces, near)
            if near in gone or not isinstance(other, (HalfFoot, Foot, Region)):
                continue
            narrowed = _narrowed(piece, other, behind=near > at)
            if narrowed is None or _is_told_apart(work, at, near):
                continue
            work.pieces[near] = narrowed
            gone.add(at)
            break
        before = find_back(work.pieces, at - 1, (Foot,), ())
        known = work.pieces[before] if before is not None else None
        said_of = not leads_to_lesion(work.pieces, at + 1)
        if said_of and isinstance(known, Foot) and set(known.value) < set(piece.value):
            gone.add(at)  # "right hind, a little dermatitis in behind"
    work.drop(gone)


def _is_told_apart(work: Work, place: int, near: int) -> bool:
    """ "Ulcers behind, the left one is worse": both have one, and this tells them apart."""
    told = isinstance(get(work.pieces, near + 1), (Course, Severity, Tissue))
    lesion = find_back(work.pieces, place - 1, FINDINGS, FEET)
    return near > place and told and "one" in work.said_behind(near) and lesion is not None


def _narrowed(place: Foot, other: Piece, *, behind: bool) -> Piece | None:
    """Return what a place and the foot or region next to it come to; None where nothing."""
    if isinstance(other, HalfFoot) and not other.is_end:
        feet = tuple(foot for foot in place.value if foot[0] == other.value[0].upper())
        first, last = (place, other) if behind else (other, place)
        heard = f"{first.heard} {last.heard}"
        return turned(other, Foot, value=feet, first=first.first, last=last.last, heard=heard)
    if isinstance(other, Region):
        return other if behind and place.heard == "behind" else None  # "behind the toe"
    if isinstance(other, Foot) and behind and not other.place and len(other.value) == 1:
        return other
    return None


TURNS = frozenset({"also", "next", "plus", "then"})
"""Words behind which something new is told."""


def begins_finding(piece: Piece | None) -> bool:
    """Whether a piece is a lesion, found or denied; "no wrap" is none."""
    if isinstance(piece, Denied):
        return piece.value != "deed"
    return isinstance(piece, (Lesion, Stage))


def leads_to_lesion(pieces: Sequence[Piece], at: int) -> bool:
    """Whether a lesion follows at once, past its claw, zone and severity."""
    after = get(pieces, past(pieces, at, (*CLAWS, Severity, Zone, Tissue)))
    return begins_finding(after)


def join_measures(work: Work) -> None:
    """ "Toe length, right hind outer, ninety mil": the measure's name stands before the foot."""
    gone: set[int] = set()
    for i, piece in enumerate(work.pieces):
        if not isinstance(piece, MeasureSaid) or piece.what:
            continue
        name = back(work.pieces, i - 1, (*FEET, *CLAWS))
        region = get(work.pieces, name)
        if name < i - 1 and isinstance(region, Region) and region.measured:
            work.pieces[i] = replace(piece, what=region.value)
            gone.add(name)
    work.drop(gone)


def read_scores(work: Work) -> None:
    """ "She's three out of five": a score that stands at no lesion is how she walks."""
    for i, piece in enumerate(work.pieces):
        if not isinstance(piece, Severity) or piece.rule != _OUT_OF:
            continue
        score, _, most = piece.value.removeprefix("grade ").partition(" of ")
        of_lesion = isinstance(get(work.pieces, back(work.pieces, i - 1, _DETAILS)), FINDINGS)
        before_lesion = isinstance(get(work.pieces, i + 1), FINDINGS)
        if most in _SCALES and not (of_lesion or before_lesion):
            work.pieces[i] = turned(piece, Score, value=int(score), scale=_SCALES[most])


def read_regions(work: Work) -> None:
    """ "white line at the toe" without a lesion beside it is white line disease there."""
    skip = (*CLAWS, Severity, Tissue, Stage)
    for i, piece in enumerate(work.pieces):
        if not isinstance(piece, Region) or not piece.lesion_alone:
            continue
        before = next(
            (p for p in work.pieces[max(0, i - 3) : i][::-1] if not isinstance(p, skip)), None
        )
        after = next((p for p in work.pieces[i + 1 : i + 4] if not isinstance(p, skip)), None)
        if not isinstance(before, (Lesion, ActionSaid)) and not isinstance(after, Lesion):
            how = How.REPAIRED if piece.how is How.REPAIRED else How.ALIAS
            work.pieces[i] = turned(
                piece, Lesion, value=piece.lesion_alone, how=how, zone=piece.zone,
                region=piece.value,
            )  # fmt: skip


def read_states(work: Work) -> None:
    """ "Foul, swollen": a swelling of the lesion's own foot; "the ulcer is dry" is no dry cow.

    "Wrap off left rear, healed" is kept as said where no lesion is named.
    """
    _tell_healed(work)
    if not work.at(Lesion):
        feet = [work.pieces[i].heard for i in work.at(Foot)]
        for at in work.at(Course):
            piece = work.pieces[at]
            if isinstance(piece, Course) and piece.value == _HEALED:
                said = f"{feet[0]} {piece.heard}" if len(feet) == 1 else piece.heard
                work.pieces[at] = turned(piece, StatusSaid, value=said)
    for at, piece in enumerate(work.pieces):
        swollen = isinstance(piece, Lesion) and piece.heard in _SWOLLEN
        if swollen and _leads_to_its_lesion(work, at):
            work.pieces[at] = turned(piece, Tissue, value="swollen", stands_before=True)
            continue
        lesion = back(work.pieces, at - 1, (Tissue, Severity, Course, Stage, *FEET, *CLAWS))
        if not isinstance(get(work.pieces, lesion), Lesion) or not has_lesion(work, at):
            continue
        if swollen:
            work.pieces[at] = turned(piece, Tissue, value="swollen")
        elif isinstance(piece, StatusSaid) and piece.value == _DRY and piece.heard != _DRY:
            work.pieces[at] = turned(piece, Tissue, value="dry")


def _tell_healed(work: Work) -> None:
    """ "No ulcer right hind, healed over", "right one active M2, left healed": of that foot alone.

    The lesion is the other's too where both were named before; else it is kept as said.
    """
    for at in reversed(work.at(Course)):
        piece, foot = work.pieces[at], get(work.pieces, at - 1)
        if not isinstance(piece, Course) or piece.value != _HEALED or not isinstance(foot, FEET):
            continue
        head = back(work.pieces, at - 2, (*MODIFIERS, Zone, Region))
        lesion = get(work.pieces, head)
        own = get(work.pieces, back(work.pieces, head - 1, (*CLAWS, *MODIFIERS)))
        other = isinstance(lesion, Lesion) and isinstance(own, FEET) and own.heard != foot.heard
        if not other and not begins_finding(lesion if isinstance(lesion, Denied) else None):
            continue
        pair = any(len(one.value) > 1 for one in work.pieces[:at] if isinstance(one, Foot))
        if isinstance(lesion, Lesion) and pair:
            again = turned(lesion, Lesion, value=lesion.value, how=How.INFERRED, corrections=())
            work.insert(at, again)
        elif isinstance(lesion, Denied):
            said = f"{foot.heard} {piece.heard}"
            work.pieces[at] = turned(piece, StatusSaid, value=said)


def _leads_to_its_lesion(work: Work, at: int) -> bool:
    """ "The foot is hot and swollen, left hind, foul": a sign of what is named behind the only foot."""
    foot = past(work.pieces, at + 1, (Tissue, Severity))
    named = isinstance(get(work.pieces, foot), Foot)
    lesion = get(work.pieces, past(work.pieces, foot + 1, (Tissue, Severity, *CLAWS)))
    told = isinstance(lesion, Lesion) and not is_clean(lesion)
    return named and told and len(work.at(*FEET, Lesion)) == len((at, foot, lesion))


def take_changes(work: Work) -> None:
    """ "Was M2, now M4": what it was is no value of today."""
    gone = {
        at
        for at in work.at(Stage, Severity, Course, Score)
        if isinstance(after := get(work.pieces, at + 1), type(work.pieces[at]))
        and "now" in work.said_before(at + 1)
        and after is not None
    }
    than = {at for at in work.at(Claw) if at and _is_yardstick(work, at)}
    work.drop(gone | set(_compared(work)) | than)


def _is_yardstick(work: Work, claw: int) -> bool:
    """ "The outer stood higher than the inner": of the inner nothing is said."""
    apart = isinstance(work.pieces[claw - 1], (*CLAWS, *FEET, *FINDINGS, *MODIFIERS))
    return apart and "than" in work.said_before(claw)


def _compared(work: Work) -> Iterator[int]:
    """ "Left worse than right" tells feet apart, and is no course of either."""
    for at in work.at(Course):
        behind, after = work.said_behind(at), get(work.pieces, at + 1)
        if "than" not in behind:
            continue
        if not isinstance(after, (*FEET, *CLAWS)) and _SIDES.isdisjoint(behind):
            continue
        yield at
        kinds = CLAWS if isinstance(after, CLAWS) else FEET
        if kinds is FEET and find_back(work.pieces, at - 2, FEET, ()) is None:
            if isinstance(after, HalfFoot):
                yield at + 1  # "left hind worse than the right, ulcer outer"
            continue  # "right hind worse than left hind, both …": they are named here alone
        yield from (one for one in (at - 1, at + 1) if isinstance(get(work.pieces, one), kinds))
