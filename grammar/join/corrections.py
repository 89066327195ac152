"""Spoken corrections rewrite the pieces before anything is attached.

"left hind … no, right hind" replaces the last foot piece where it stood, so everything that was
said for the left hind now stands at the right hind.  Both readings are kept.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from grammar.hear.identifiers import spoken_digits
from grammar.join.cursor import back, find_back, get, next_solid, past, seek, walk_back
from grammar.join.denials import LEADS
from grammar.join.moving import finding_start, move, named_lesion
from grammar.join.near import silent
from grammar.join.replacing import (
    BARE_ANIMAL_DIGITS,
    as_animal,
    half_foot,
    half_of,
    number_for,
    same_kinds,
)
from grammar.join.take_back import HEADS, SITES, take_back
from grammar.pieces import (
    CLAWS,
    COPULAS,
    FEET,
    FINDINGS,
    LINKS,
    UNTAKEN,
    ActionSaid,
    AnimalSaid,
    CorrectionCue,
    Course,
    Denied,
    EndOfNote,
    Filler,
    FollowUpSaid,
    Foot,
    ForeignBody,
    HalfFoot,
    Kinds,
    Lesion,
    Material,
    MeasureSaid,
    NextCow,
    No,
    Not,
    Number,
    OtherClaw,
    OtherFeet,
    Piece,
    SameCow,
    Score,
    Scratch,
    Severity,
    Stage,
    StatusSaid,
    TimeSaid,
    Tissue,
    Undone,
    WrongCow,
    Zone,
    is_clean,
    is_side,
    turned,
    value_of,
)
from grammar.records import Command, Correction

__all__ = ["Corrected", "apply_corrections"]

_OF_LESION = (Stage, Severity, Zone, Course)
_LESION_FIRST: Kinds = (*FINDINGS, Severity, Stage, Zone)
_CORRECTABLE = (*SITES, *HEADS, *_OF_LESION, TimeSaid, AnimalSaid, Material, Number, Tissue)
_NAMED_SITES = (*FEET, *CLAWS, Zone)
_BY_NO: Kinds = (*_NAMED_SITES, AnimalSaid, Number, Stage, Severity, TimeSaid, Score)
"""What a bare "no" corrects; before anything else it denies."""
_SHOULD_BE: Kinds = (*_BY_NO, *FINDINGS)
_GO_TOGETHER: tuple[tuple[Kinds, Kinds], ...] = (
    ((*FEET, *CLAWS), (*FEET, *CLAWS)),
    (_LESION_FIRST, _OF_LESION),
    ((ActionSaid, Material), (ActionSaid, Material, *CLAWS, Foot)),
    ((FollowUpSaid, TimeSaid), (FollowUpSaid, TimeSaid)),
)
"""What a correction names first -> what else it may name."""


_BEHIND = frozenset({"i meant", "i mean", "i should say"})
_AT_THE_END = frozenset({"sorry", "rather", "actually", "that should be"})
"""Cues that may stand behind what is right, where nothing that they could put right follows."""
_SLOT_NAMES: dict[type[Piece], str] = {
    HalfFoot: "half", OtherFeet: "footword", OtherClaw: "clawword", AnimalSaid: "animal",
    Score: "locomotion", MeasureSaid: "measure", StatusSaid: "status", ActionSaid: "action",
    FollowUpSaid: "followup", TimeSaid: "when", ForeignBody: "object", Number: "num",
}  # fmt: skip
"""What a correction calls a slot, where that is not the name of the kind."""
_COMMANDS: dict[type[Piece], str] = {
    SameCow: "same cow", NextCow: "next cow", EndOfNote: "end of note",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Corrected:
    """The pieces as they stand after every correction."""

    pieces: list[Piece]
    commands: list[Command]
    numbers_taken: set[int]
    """First words of bare numbers that a correction has read."""


def apply_corrections(pieces: Sequence[Piece]) -> Corrected:
    """Apply the corrections and the take-backs in the order said."""
    editor = _Editor(pieces)
    editor.run()
    return Corrected(
        pieces=editor.kept, commands=editor.commands, numbers_taken=editor.numbers_taken
    )


class _Editor:
    """Walks the pieces once, rewriting those that a later correction names."""

    def __init__(self, pieces: Sequence[Piece]) -> None:
        self.pieces = pieces
        self.kept: list[Piece] = []
        """The pieces so far, as the corrections have left them."""
        self.commands: list[Command] = []
        self.numbers_taken: set[int] = set()

    def run(self) -> None:
        """Each cue says where to go on, or None where it corrects nothing."""
        cues: dict[type[Piece], Callable[[int], int | None]] = {
            CorrectionCue: self._correct,
            No: self._by_no,
            Not: self._contrast,
            Undone: self._should_be,
            WrongCow: self._wrong_cow,
            Scratch: self._scratch,
        }
        at = 0
        while at < len(self.pieces):
            piece = self.pieces[at]
            act = cues.get(type(piece))
            then = act(at) if act is not None else None
            if then is not None:
                at = then
                continue
            if isinstance(piece, (SameCow, NextCow, EndOfNote)):
                self._command(piece, _COMMANDS[type(piece)])
            self.kept.append(piece)
            at += 1

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

    # --- the cues ---------------------------------------------------------------------------

    def _scratch(self, at: int) -> int:
        cue = self.pieces[at]
        if isinstance(cue, Scratch):
            self._command(cue, "scratch all" if cue.whole else "scratch that")
            ahead = next_solid(self.pieces, at + 1)
            take_back(self.kept, cue, get(self.pieces, ahead), sited=self._has_foot(ahead))
        return at + 1

    def _has_foot(self, lesion: int) -> bool:
        """Whether a foot of its own is said behind a lesion."""
        foot = seek(self.pieces, lesion + 1, FEET)
        return foot is not None and seek(self.pieces, lesion + 1, HEADS, foot) is None

    def _by_no(self, at: int) -> int | None:
        """ "no" before a site or a number corrects; before a lesion or an action it denies."""
        position = next_solid(self.pieces, at + 1)
        after = get(self.pieces, position)
        if isinstance(after, CorrectionCue):
            return at + 1  # "no, I tell a lie, it's the right hind"
        if isinstance(after, WrongCow):
            return at + 1  # "no, not her, cow thirteen"
        if isinstance(after, Not) and (told := self._not_that_but(at)) is not None:
            return told
        if isinstance(after, TimeSaid) and self._takes_number():
            return at + 1  # "in three, no, four days"
        if isinstance(after, Material):
            return self._correct(at) if self._other_material(position) else None
        if after is None or not (isinstance(after, _BY_NO) or is_side(after)):
            return None
        return self._correct(at) if self._target(after) is not None else None

    def _takes_number(self) -> bool:
        """Whether the last thing said was a bare number, which a time now puts right."""
        last = back(self.kept, len(self.kept) - 1, LINKS)
        number = get(self.kept, last)
        if not isinstance(number, Number) or number.quantity is None:
            return False
        self.numbers_taken.add(number.first)
        return True

    def _other_material(self, at: int) -> bool:
        """ "wooden, no, plastic block"; but "wooden block, no plastic block" denies one."""
        target = self._target(self.pieces[at])
        if target is None:
            return False
        deed = get(self.pieces, next_solid(self.pieces, at + 1))
        before = get(self.kept, target + 1)
        if isinstance(deed, ActionSaid) and isinstance(before, ActionSaid):
            return deed.value == before.value and self.pieces[at].heard != self.kept[target].heard
        return (
            not isinstance(deed, ActionSaid) or back(self.kept, len(self.kept) - 1, LINKS) == target
        )

    def _contrast(self, at: int) -> int | None:
        """Skip to the second of "not the left hind, the right hind", which replaces the first.

        "Not cow four, cow five" skips the first.
        """
        first = next_solid(self.pieces, at + 1)
        second = next_solid(self.pieces, first + 1)
        wrong, right = get(self.pieces, first), get(self.pieces, second)
        cue = self.pieces[at]
        if isinstance(cue, Not) and not cue.contrasts:
            return None
        between = " ".join(one.heard for one in self.pieces[at + 1 : first]).split()
        if isinstance(wrong, FEET) and not LEADS.issuperset(between):
            return None  # "didn't touch that, fronts are fine"
        if isinstance(wrong, AnimalSaid) or self._is_other(wrong):
            return first + 1
        if isinstance(wrong, Number) and self._not_it_but(wrong, cue):
            return first + 1
        if isinstance(wrong, Number) and self._target(wrong) is not None:
            self.numbers_taken.add(wrong.first)  # "zone five, not four"
        elif not isinstance(wrong, _NAMED_SITES):
            return None
        same = type(wrong) if isinstance(wrong, Number) else same_kinds(wrong)
        if right is None or not isinstance(right, same):
            return first + 1
        if self._target(right) is not None:
            self._command(self.pieces[at], "correction")
            self._replace(right, self.pieces[at])
        else:
            self.kept += [*self.pieces[first + 1 : second], half_of(right, wrong)]
        return second + 1

    def _is_other(self, wrong: Piece | None) -> bool:
        """ "Right hind, not left"; "rubber, not wood": what it is has just been said."""
        last = get(self.kept, back(self.kept, len(self.kept) - 1, LINKS))
        if wrong is not None and is_side(wrong):
            return isinstance(last, FEET)
        both = isinstance(wrong, Material) and isinstance(last, Material)
        return both and getattr(wrong, "of", "") == getattr(last, "of", None)

    def _not_it_but(self, number: Number, cue: Piece) -> bool:
        """ "Cow three two two, that's not three two two, three two three": the wrong one, the right."""
        at = find_back(self.kept, len(self.kept) - 1, (AnimalSaid,))
        animal = self.kept[at] if at is not None else None
        if at is None or not isinstance(animal, AnimalSaid):
            return False
        wrong = animal.value[0]
        rest = tuple(
            said[len(wrong) :]
            for said in number.identifier
            if said.startswith(wrong) and len(said) > len(wrong)
        )
        if not rest:
            return False
        self._command(cue, "correction")
        self.numbers_taken.add(number.first)
        words = tuple(spoken_digits(rest[0]))
        self._put(at, turned(number, AnimalSaid, value=rest, words=words, bare=True), cue)
        return True

    def _should_be(self, at: int) -> int | None:
        """ "should be the right hind" corrects; "should be wrapped" says that it is not done."""
        after = get(self.pieces, next_solid(self.pieces, at + 1))
        if not self.pieces[at].heard.endswith("should be") or not isinstance(after, _SHOULD_BE):
            return None
        if is_clean(after):
            return None  # "should be fine"
        return self._correct(at) if self._target(after) is not None else None

    def _wrong_cow(self, at: int) -> int:
        """ "wrong cow, it's four thirteen" corrects the animal; alone it takes the animal back.

        Where none was said, the number is the animal: what carries over would be the wrong one.
        """
        cue, after = self.pieces[at], next_solid(self.pieces, at + 1)
        self._command(cue, "correction")
        while isinstance(get(self.pieces, after), CorrectionCue):
            after = next_solid(self.pieces, after + 1)  # "wrong cow, sorry, four thirteen"
        animal = as_animal(get(self.pieces, after))
        if animal is not None:
            self.numbers_taken.add(animal.first)
            self._replace(animal, cue)
            return after + 1
        target = find_back(self.kept, len(self.kept) - 1, (AnimalSaid,))
        if target is not None:
            note = Correction(
                slot="animal", was=self.kept[target].heard, now="", first=cue.first, last=cue.last
            )
            gone = turned(cue, Filler, value=cue.heard, corrections=(note,))
            self.kept[target] = gone
        return at + 1

    def _correct(self, at: int) -> int:
        cue = self.pieces[at]
        named = named_lesion(self.pieces, at + 1, self.kept)
        if named is not None:
            self._command(cue, "correction")
            for site in named.sites:
                move(self.kept, site, named.lesion, cue, self._put)
            return named.end
        told = self._told_of_foot(at)
        if told is None:
            told = self._not_that_but(at)
        if told is None:
            told = self._meant_before(at)
        if told is not None:
            return told
        group = self._group(at)
        if not group:
            self.kept.append(silent(cue))
            return at + 1
        self._command(cue, "correction")
        first = self._target(self.pieces[group[0]])
        since = len(self.kept) if first is None else finding_start(self.kept, first)
        for position in group:
            self._replace(self.pieces[position], cue, since)
        return group[-1] + 1

    def _not_that_but(self, at: int) -> int | None:
        """ "Ulcer …, actually no ulcer, just bruising": the second is there in place of the first."""
        no = next_solid(self.pieces, at + 1)
        wrong = next_solid(self.pieces, no + 1)
        right = next_solid(self.pieces, wrong + 1)
        lesion, other = get(self.pieces, wrong), get(self.pieces, right)
        if isinstance(get(self.pieces, no), Not) and isinstance(lesion, ActionSaid):
            return self._did_not(at, lesion)
        if not isinstance(get(self.pieces, no), (No, Not)) or not isinstance(lesion, Lesion):
            return None
        target = find_back(self.kept, len(self.kept) - 1, (Lesion,))
        if target is None or value_of(self.kept[target]) != lesion.value:
            return None
        self._command(self.pieces[at], "correction")
        if isinstance(other, Lesion):
            self._put(target, other, self.pieces[at])
            return right + 1
        self.kept[target] = turned(self.kept[target], Denied, value="")
        return at + 1

    def _did_not(self, at: int, deed: ActionSaid) -> int | None:
        """ "Wrapped, no wait, I didn't wrap her": the first is taken back; the denial stands."""
        target = find_back(self.kept, len(self.kept) - 1, (ActionSaid,))
        if target is None or value_of(self.kept[target]) != deed.value:
            return None
        self._command(self.pieces[at], "correction")
        first = back(self.kept, target - 1, (Material,)) + 1
        last = past(self.kept, target + 1, (*LINKS, *CLAWS, Material))
        self.kept[first:last] = [silent(piece) for piece in self.kept[first:last]]
        return at + 1

    def _meant_before(self, at: int) -> int | None:
        """ "Right hind …, left I meant": the cue stands behind what is right."""
        cue = self.pieces[at]
        ends = past(self.pieces, at + 1, LINKS) == len(self.pieces) and cue.heard in _AT_THE_END
        if not (ends or cue.heard in _BEHIND) or self._group(at):
            return None
        last = back(self.kept, len(self.kept) - 1, ())
        said = get(self.kept, last)
        if said is None or not (isinstance(said, _NAMED_SITES) or is_side(said)):
            return None
        del self.kept[last:]
        piece = half_foot(said) if is_side(said) else said
        if self._target(piece) is None:
            self.kept.append(said)
            return None
        self._command(cue, "correction")
        self._replace(piece, cue)
        return at + 1

    def _told_of_foot(self, at: int) -> int | None:
        """ "Actually left is an m three": a value of a foot named before; return where it ends."""
        foot = next_solid(self.pieces, at + 1)
        value = past(self.pieces, foot + 1, (Filler,))
        side, said = get(self.pieces, foot), get(self.pieces, value)
        copula = any(one.heard in COPULAS for one in self.pieces[foot + 1 : value])
        if side is None or not copula or not isinstance(said, _OF_LESION):
            return None
        if not isinstance(side, (Foot, HalfFoot)) and not is_side(side):
            return None
        wanted = half_foot(side) if is_side(side) else side
        for site in walk_back(self.kept, len(self.kept) - 1):
            known = self.kept[site]
            if isinstance(known, AnimalSaid):
                return None
            if not isinstance(known, Foot):
                continue
            named = half_of(wanted, known)
            if not isinstance(named, Foot):
                continue
            if set(named.value) < set(known.value):
                return at + 1  # "M2 both hinds, no, the left is an M4" picks one out
            if named.value != known.value:
                continue
            end = seek(self.kept, site + 1, FEET)
            target = find_back(
                self.kept, (len(self.kept) if end is None else end) - 1, (type(said),), (Foot,)
            )
            if target is None:
                return None
            self._command(self.pieces[at], "correction")
            self._put(target, said, self.pieces[at])
            return value + 1
        return None

    # --- what a correction names ------------------------------------------------------------

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
        if restates and isinstance(first, _LESION_FIRST) and isinstance(piece, Lesion):
            return True
        if not any(isinstance(first, a) and isinstance(piece, b) for a, b in _GO_TOGETHER):
            return False
        return restates or not isinstance(piece, _OF_LESION) or not self._begins_lesion(at)

    def _begins_lesion(self, at: int) -> bool:
        """Whether a modifier already belongs to the next lesion: "make that zone two, mild …"."""
        return isinstance(get(self.pieces, next_solid(self.pieces, at + 1)), FINDINGS)

    # --- replacing --------------------------------------------------------------------------

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
