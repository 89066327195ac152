"""Rewriting the pieces that a correction names: which one it is, what else it names, what stands there then."""

from collections.abc import Sequence
from dataclasses import replace

from grammar.join.cursor import find_back, get, next_solid, past, walk_back
from grammar.join.replacing import (
    BARE_ANIMAL_DIGITS,
    half_foot,
    half_of,
    number_for,
    same_kinds,
)
from grammar.join.take_back import HEADS, SITES
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    LINKS,
    UNTAKEN,
    ActionSaid,
    AnimalSaid,
    CorrectionCue,
    Course,
    FollowUpSaid,
    Foot,
    ForeignBody,
    HalfFoot,
    Kinds,
    Lesion,
    Material,
    MeasureSaid,
    Number,
    OtherClaw,
    OtherFeet,
    Piece,
    Score,
    Severity,
    Stage,
    StatusSaid,
    TimeSaid,
    Tissue,
    Zone,
    is_side,
    value_of,
)
from grammar.records import Command, Correction

__all__ = ["LESION_FIRST", "NAMED_SITES", "OF_LESION", "Rewriter"]

OF_LESION = (Stage, Severity, Zone, Course)
LESION_FIRST: Kinds = (*FINDINGS, Severity, Stage, Zone)
NAMED_SITES = (*FEET, *CLAWS, Zone)
_CORRECTABLE = (*SITES, *HEADS, *OF_LESION, TimeSaid, AnimalSaid, Material, Number, Tissue)
_GO_TOGETHER: tuple[tuple[Kinds, Kinds], ...] = (
    ((*FEET, *CLAWS), (*FEET, *CLAWS)),
    (LESION_FIRST, OF_LESION),
    ((ActionSaid, Material), (ActionSaid, Material, *CLAWS, Foot)),
    ((FollowUpSaid, TimeSaid), (FollowUpSaid, TimeSaid)),
)
"""What a correction names first -> what else it may name."""
_SLOT_NAMES: dict[type[Piece], str] = {
    HalfFoot: "half", OtherFeet: "footword", OtherClaw: "clawword", AnimalSaid: "animal",
    Score: "locomotion", MeasureSaid: "measure", StatusSaid: "status", ActionSaid: "action",
    FollowUpSaid: "followup", TimeSaid: "when", ForeignBody: "object", Number: "num",
}  # fmt: skip
"""What a correction calls a slot, where that is not the name of the kind."""


class Rewriter:
    """The pieces of a note so far, as its corrections have left them."""

    def __init__(self, pieces: Sequence[Piece], lexicon: Lexicon) -> None:
        self.pieces = pieces
        self.words = lexicon.corrections
        self.leads = lexicon.denials.leads
        self.kept: list[Piece] = []
        """The pieces so far, as the corrections have left them."""
        self.commands: list[Command] = []
        self.numbers_taken: set[int] = set()

    def _command(self, piece: Piece, kind: str) -> None:
        self.commands.append(Command(kind=kind, first=piece.first, last=piece.last))

    def _target(self, piece: Piece) -> int | None:
        """Return where the last piece that this one may replace stands in the animal's part."""
        last = len(self.kept) - 1
        if isinstance(piece, Number):
            return self._numbered(piece)
        if isinstance(piece, Material):
            at = find_back(self.kept, last, (Material,))
            other = self.kept[at] if at is not None else None
            return at if isinstance(other, Material) and other.of == piece.of else None
        return find_back(self.kept, last, same_kinds(piece))

    def _numbered(self, number: Number) -> int | None:
        """Return the last piece whose own number this one can be.

        An animal's only where nothing was said since, or where it is as long as an animal's.
        """
        for at in walk_back(self.kept, len(self.kept) - 1):
            piece = self.kept[at]
            if isinstance(piece, AnimalSaid):
                fits = number_for(piece, number) is not None
                return at if fits and (self._at_its_place(at) or _is_long(number)) else None
            if isinstance(piece, same_kinds(number)) and number_for(piece, number) is not None:
                return at
        return None

    def _at_its_place(self, at: int) -> bool:
        """Whether nothing but fillers has been said since the animal."""
        return past(self.kept, at + 1, (*LINKS, *UNTAKEN)) == len(self.kept)

    def _group(self, at: int) -> list[int]:
        """Return the positions of what the correction at `at` names."""
        cue = self.pieces[at]
        restates = isinstance(cue, CorrectionCue) and cue.restates
        group: list[int] = []
        after = next_solid(self.pieces, at + 1)
        while after < len(self.pieces) and self._belongs(group, after, restates=restates):
            group.append(after)
            after = next_solid(self.pieces, after + 1)
        return group

    def _belongs(self, group: Sequence[int], at: int, *, restates: bool) -> bool:
        """Whether a piece is still part of what the correction names."""
        piece = self.pieces[at]
        if not group:
            return isinstance(piece, _CORRECTABLE) or is_side(piece)
        if any(type(piece) is type(self.pieces[position]) for position in group):
            return False
        first = self.pieces[group[0]]
        if is_side(first):
            return isinstance(piece, FEET + CLAWS)
        if restates and isinstance(first, LESION_FIRST) and isinstance(piece, Lesion):
            return True
        if isinstance(first, ActionSaid) and first.if_dated and isinstance(piece, TimeSaid):
            return True  # "wrap off friday, sorry, wrap off saturday"
        if not any(isinstance(first, a) and isinstance(piece, b) for a, b in _GO_TOGETHER):
            return False
        return restates or not isinstance(piece, OF_LESION) or not self._begins_lesion(at)

    def _begins_lesion(self, at: int) -> bool:
        """Whether a modifier already belongs to the next lesion: "make that zone two, mild …"."""
        return isinstance(get(self.pieces, next_solid(self.pieces, at + 1)), FINDINGS)

    def _replace(self, piece: Piece, cue: Piece, since: int | None = None) -> None:
        """Replace the last piece of this kind, but none said before `since`.

        "… inner … left front, no, right hind outer" corrects the foot; the outer is new.
        """
        if is_side(piece):
            piece = half_foot(piece)
        target = self._target(piece)
        if target is None or (since is not None and target < since):
            self.kept.append(piece)
            return
        old = self.kept[target]
        new: Piece | None = half_of(piece, old)
        if isinstance(piece, Number):
            new = number_for(old, piece)  # "make that three", in the slot it was said for
            if isinstance(new, AnimalSaid) and not self._at_its_place(target):
                new = replace(new, bare=True)
            if new is not None:
                self.numbers_taken.add(piece.first)
        if new is None:  # no such number is said there
            self.kept.append(piece)
            return
        self._put(target, new, cue)

    def _put(self, target: int, new: Piece, cue: Piece) -> None:
        """Put the new piece in the place of the old one, which stays with it as rejected."""
        old = self.kept[target]
        note = Correction(
            slot=_slot_name(new), was=old.heard, now=new.heard, first=cue.first, last=new.last
        )
        rejected = (value_of(old), *(value for value in old.rejected if value != value_of(new)))
        self.kept[target] = replace(
            new, rejected=(*new.rejected, *rejected), corrections=(*old.corrections, note)
        )


def _is_long(number: Number) -> bool:
    return bool(number.identifier) and len(number.identifier[0]) >= BARE_ANIMAL_DIGITS


def _slot_name(piece: Piece) -> str:
    return _SLOT_NAMES.get(type(piece), type(piece).__name__.lower())
