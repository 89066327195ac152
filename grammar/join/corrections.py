"""Spoken corrections rewrite the pieces before anything is attached.

"left hind … no, right hind" replaces the last foot piece where it stood, so everything that was
said for the left hind now stands at the right hind.  Both readings are kept.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from grammar.join.cursor import back, find_back, get, next_solid, seek
from grammar.join.moving import finding_start
from grammar.join.near import silent, untaken
from grammar.join.replacing import (
    as_animal,
    same_kinds,
)
from grammar.join.rewriting import NAMED_SITES
from grammar.join.take_back import HEADS, take_back
from grammar.join.told_anew import ToldAnew
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    FEET,
    FINDINGS,
    LINKS,
    ActionSaid,
    AnimalSaid,
    CorrectionCue,
    EndOfNote,
    Filler,
    Kinds,
    Lesion,
    Material,
    MeasureSaid,
    NextCow,
    No,
    Not,
    Number,
    Piece,
    SameCow,
    Score,
    Scratch,
    Severity,
    Stage,
    TimeSaid,
    Undone,
    With,
    WrongCow,
    Zone,
    is_clean,
    is_side,
    turned,
    value_of,
)
from grammar.records import Command, Correction

__all__ = ["Corrected", "apply_corrections"]

_VALUES: Kinds = (Number, Stage, Severity, TimeSaid, Score, MeasureSaid, Zone)
_BY_NO: Kinds = (*NAMED_SITES, AnimalSaid, *_VALUES)
"""What a bare "no" corrects; before anything else it denies."""
_SHOULD_BE: Kinds = (*_BY_NO, *FINDINGS)
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


def apply_corrections(pieces: Sequence[Piece], lexicon: Lexicon) -> Corrected:
    """Apply the corrections and the take-backs in the order said."""
    editor = _Editor(pieces, lexicon)
    editor.run()
    return Corrected(
        pieces=editor.kept, commands=editor.commands, numbers_taken=editor.numbers_taken
    )


class _Editor(ToldAnew):
    """Walks the pieces once, rewriting those that a later correction names."""

    def run(self) -> None:
        """Each cue says where to go on, or None where it corrects nothing."""
        cues: dict[type[Piece], Callable[[int], int | None]] = {
            CorrectionCue: self._correct,
            No: self._by_no,
            Not: self._contrast,
            Undone: self._should_be,
            WrongCow: self._wrong_cow,
            Scratch: self._scratch,
            Filler: self._exclaimed,
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

    def _scratch(self, at: int) -> int:
        cue = self.pieces[at]
        if isinstance(cue, Scratch) and cue.named:
            return self._scratch_named(at)
        if isinstance(cue, Scratch) and not cue.whole and self._is_value_anew(at):
            return self._correct(at)
        if isinstance(cue, Scratch):
            self._command(cue, "scratch all" if cue.whole else "scratch that")
            ahead = next_solid(self.pieces, at + 1)
            take_back(self.kept, cue, get(self.pieces, ahead), sited=self._has_foot(ahead))
        return at + 1

    def _is_value_anew(self, at: int) -> bool:
        """ "Lameness two, scratch that, three": only the value is taken back, and told anew."""
        new, last = get(self.pieces, next_solid(self.pieces, at + 1)), len(self.kept) - 1
        old = self._target(new) if isinstance(new, _VALUES) else None
        return old is not None and old == back(self.kept, last, LINKS)

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
        acts = (self._not_that_but, self._did_not, self._lesion_anew)
        if (told := _first_that_reads(acts, at)) is not None:
            return told
        if isinstance(after, TimeSaid) and self._takes_number():
            return at + 1  # "in three, no, four days"
        if isinstance(after, Material):
            return self._correct(at) if self._other_material(position) else None
        if isinstance(after, (Lesion, ActionSaid)):
            moved = self._moved(at, told=True)  # "no, the ulcer was on the inside"
            if moved is None and isinstance(after, ActionSaid):
                self._deed_itself(after, self.pieces[at])  # "sprayed and wrapped, no wrap, sorry"
            return moved
        had = get(self.pieces, at - 1)
        if isinstance(after, TimeSaid) and had is not None and had.heard in self.words.had:
            return None  # "next visit, i'd no pliers with me today"
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

    def _is_its_own_deed(self, at: int) -> bool:
        """ "Through the footbath, no spray": a product that ends the note was not used."""
        target, last = self._target(self.pieces[at]), at + 1 == len(self.pieces)
        used = get(self.kept, target - 1) if target is not None else None
        return last and not isinstance(used, (ActionSaid, With))

    def _other_material(self, at: int) -> bool:
        """ "wooden, no, plastic block"; but "wooden block, no plastic block" denies one."""
        target, said = self._target(self.pieces[at]), self.pieces[at]
        of_skin = isinstance(said, Material) and said.of == "topical"
        if target is None or (of_skin and self._is_its_own_deed(at)):
            return False
        deed = get(self.pieces, next_solid(self.pieces, at + 1))
        before = get(self.kept, target + 1)
        if isinstance(deed, ActionSaid) and isinstance(before, ActionSaid):
            return deed.value == before.value and self.pieces[at].heard != self.kept[target].heard
        return (
            not isinstance(deed, ActionSaid) or back(self.kept, len(self.kept) - 1, LINKS) == target
        )

    def _should_be(self, at: int) -> int | None:
        """ "should be the right hind" corrects; "should be wrapped" says that it is not done."""
        after = get(self.pieces, next_solid(self.pieces, at + 1))
        if not self.pieces[at].heard.endswith("should be") or not isinstance(after, _SHOULD_BE):
            return None
        if is_clean(after):
            return None  # "should be fine"
        self._drop_named(after)
        return self._correct(at) if self._target(after) is not None else None

    def _drop_named(self, right: Piece) -> None:
        """ "That outer should be inner": what is wrong was named once more."""
        last = back(self.kept, len(self.kept) - 1, LINKS)
        wrong = get(self.kept, last)
        earlier = find_back(self.kept, last - 1, same_kinds(right))
        if wrong is None or earlier is None or not isinstance(wrong, same_kinds(right)):
            return
        if value_of(wrong) == value_of(self.kept[earlier]):
            del self.kept[last:]

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
        if cue.heard in self.words.names_wrong and (then := self._contrast(at)) is not None:
            return then
        if (end := self._moved(at)) is not None:
            return end
        acts = (
            self._told_of_foot,
            self._not_that_but,
            self._did_not,
            self._meant_before,
            self._graded,
            self._deed_anew,
        )
        if (told := _first_that_reads(acts, at)) is not None:
            return told
        group = self._group(at)
        if not group:
            lost = cue.heard in self.words.orders
            self.kept.append(untaken(cue) if lost else silent(cue))
            return at + 1
        self._command(cue, "correction")
        first = self._target(self.pieces[group[0]])
        since = len(self.kept) if first is None else finding_start(self.kept, first)
        for position in group:
            self._replace(self.pieces[position], cue, since)
        return group[-1] + 1


def _first_that_reads(acts: Sequence[Callable[[int], int | None]], at: int) -> int | None:
    """Return where the first of these that knows the words at a cue goes on."""
    return next((told for act in acts if (told := act(at)) is not None), None)
