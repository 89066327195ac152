"""Spoken corrections rewrite the pieces before anything is attached.

"left hind … no, right hind" replaces the last foot piece where it stood, so everything that was
said for the left hind now stands at the right hind.  Both readings are kept.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from grammar.join.pieces import CLAW_KINDS, FOOT_KINDS, LINKS, Piece, half_foot
from grammar.join.replacing import as_animal, half_of, is_side, number_for, same_kinds
from grammar.join.take_back import HEADS, SITES, take_back
from grammar.records import Command, Correction

__all__ = ["Corrected", "apply_corrections"]

_LESION_GROUP = frozenset({"stage", "severity", "zone", "course"})
_FINDING = _LESION_GROUP | {"lesion", "object", "tissue"}
_ACTION_GROUP = frozenset({"action", "material", "claw", "clawword", "foot"})
_WHEN_GROUP = frozenset({"followup", "when"})
_CORRECTABLE = (
    SITES | HEADS | _LESION_GROUP | _WHEN_GROUP | frozenset({"animal", "material", "num", "tissue"})
)
_MOVABLE = FOOT_KINDS | CLAW_KINDS | {"zone"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Corrected:
    """The pieces as they stand after every correction."""

    pieces: list[Piece]
    commands: list[Command]
    numbers_taken: set[int]
    """First words of bare numbers that a correction has read."""


def apply_corrections(pieces: Sequence[Piece]) -> Corrected:
    """Apply the corrections and the take-backs in the order said."""
    editor = _Editor(list(pieces))
    editor.run()
    return Corrected(
        pieces=editor.kept, commands=editor.commands, numbers_taken=editor.numbers_taken
    )


class _Editor:
    """Walks the pieces once, rewriting those that a later correction names."""

    def __init__(self, pieces: list[Piece]) -> None:
        self.pieces = pieces
        self.kept: list[Piece] = []
        self.commands: list[Command] = []
        self.numbers_taken: set[int] = set()
        """First words of bare numbers that a correction has read."""

    def run(self) -> None:
        at = 0
        while at < len(self.pieces):
            piece = self.pieces[at]
            if piece.kind == "correction" or (piece.kind == "no" and self._corrects(at)):
                at = self._correct(at)
            elif piece.kind == "not" and self._contrast(at):
                at = self._contrast(at)
            elif piece.kind == "wrongcow":
                at = self._wrong_cow(at)
            elif piece.kind in ("scratch that", "scratch all"):
                self.commands.append(_command(piece, piece.kind))
                after = self._next(at + 1)
                ahead = self.pieces[after] if after < len(self.pieces) else None
                take_back(self.kept, piece, ahead)
                at += 1
            else:
                if piece.kind in ("same cow", "next cow", "end of note"):
                    self.commands.append(_command(piece, piece.kind))
                self.kept.append(piece)
                at += 1

    def _next(self, at: int) -> int:
        """Return the position of the next piece that is not a filler."""
        while (
            at < len(self.pieces) and self.pieces[at].kind in LINKS and not is_side(self.pieces[at])
        ):
            at += 1
        return at

    def _corrects(self, at: int) -> bool:
        """ "no" before a site or a number corrects; before a lesion or an action it denies."""
        after = self._next(at + 1)
        if after >= len(self.pieces):
            return False
        piece = self.pieces[after]
        kind = "half" if is_side(piece) else piece.kind
        if kind in ("zone", "animal", "num", "stage", "severity", "when", "locomotion"):
            return self._target(kind) is not None
        return kind in SITES - {"region"} and self._target(kind) is not None

    def _since(self, target: int | None) -> int | None:
        """Return where the finding around a corrected piece starts: its zone, lesion or stage."""
        if target is None or self.kept[target].kind not in _FINDING:
            return target
        while target > 0 and self.kept[target - 1].kind in _FINDING | LINKS:
            target -= 1
        return target

    def _contrast(self, at: int) -> int:
        """Skip to the second of "not the left hind, the right hind", which replaces the first.

        "Not cow four, cow five" skips the first.  Returns where to go on, or 0 where neither a
        site nor an animal is contrasted.
        """
        first = self._next(at + 1)
        second = self._next(first + 1)
        if first >= len(self.pieces):
            return 0
        if self.pieces[first].kind == "animal":
            return first + 1
        if self.pieces[first].kind not in SITES - {"region"}:
            return 0
        kinds = same_kinds(self.pieces[first].kind)
        if second < len(self.pieces) and self.pieces[second].kind in kinds:
            if self._target(self.pieces[second].kind) is not None:
                self.commands.append(_command(self.pieces[at], "correction"))
                self._replace(self.pieces[second], self.pieces[at])
            else:
                self.kept += self.pieces[first + 1 : second + 1]
            return second + 1
        return first + 1

    def _target(self, kind: str) -> int | None:
        """Return where the last piece of this kind stands in the current animal's part."""
        kinds = same_kinds(kind)
        for position in range(len(self.kept) - 1, -1, -1):
            piece = self.kept[position]
            if piece.kind in kinds:
                return position
            if piece.kind in ("animal", "next cow") and kind != "num":
                return None
        return None

    def _correct(self, at: int) -> int:
        cue = self.pieces[at]
        if named := self._named(at):
            self.commands.append(_command(cue, "correction"))
            self._move(*named, cue)
            return max(*named[1], named[0]) + 1
        after = self._next(at + 1)
        group: list[int] = []
        restates = cue.kind == "correction" and cue.more.restates
        while after < len(self.pieces) and self._belongs(group, after, restates=restates):
            group.append(after)
            after = self._next(after + 1)
        if not group:
            self.kept.append(replace(cue, kind="fill"))
            return at + 1
        self.commands.append(_command(cue, "correction"))
        first = self._since(self._target(self.pieces[group[0]].kind))
        for position in group:
            self._replace(self.pieces[position], cue, first)
        return group[-1] + 1

    def _named(self, at: int) -> tuple[int, list[int]] | None:
        """ "sorry, the ulcer is on the inside", "inner claw for the ulcer": a lesion said before.

        Returns where the correction says the lesion and its sites; None where it says neither so.
        """
        lesion: int | None = None
        sites: list[int] = []
        joined = False
        i = at + 1
        while i < len(self.pieces):
            piece = self.pieces[i]
            if piece.kind == "lesion" and lesion is None and (not sites or joined):
                lesion = i
            elif piece.kind in _MOVABLE or is_side(piece):
                sites.append(i)
            elif piece.kind not in LINKS:
                break
            joined = piece.kind in LINKS and piece.heard.split()[0] in ("for", "on", "with")
            i += 1
            if lesion is not None and sites and lesion > sites[0]:
                break
        if lesion is None or not sites or self._said_before(self.pieces[lesion]) is None:
            return None
        return lesion, sites

    def _said_before(self, lesion: Piece) -> int | None:
        """Return where the current animal's part has this lesion, said last."""
        for position in range(len(self.kept) - 1, -1, -1):
            piece = self.kept[position]
            if piece.kind == "lesion" and piece.value == lesion.value:
                return position
            if piece.kind in ("animal", "next cow"):
                return None
        return None

    def _move(self, lesion: int, sites: Sequence[int], cue: Piece) -> None:
        """Put the sites where the lesion has its own; where others share it, before the lesion.

        A site that later lesions share stays, and the words are left over for a person to see.
        """
        for position in sites:
            site = self.pieces[position]
            site = half_foot(site) if is_side(site) else site
            target = self._said_before(self.pieces[lesion])
            if target is None:
                continue
            old, shared = self._site_of(target, same_kinds(site.kind))
            later = any(
                p.kind == "lesion" for p in self.kept[target + 1 : self._site_end(target, site)]
            )
            if later:
                self.kept.append(replace(site, kind="other"))
            elif old is None or shared:
                new = site if old is None else half_of(site, self.kept[old])
                at = self._since(target)
                self.kept.insert(target if at is None or shared else at, new)
            else:
                before = self.kept[old]
                self._put(old, before, half_of(site, before), cue)

    def _site_of(self, lesion: int, kinds: frozenset[str]) -> tuple[int | None, bool]:
        """Return where a lesion's site stands, and whether an earlier lesion has it too."""
        shared = False
        for position in range(lesion - 1, -1, -1):
            piece = self.kept[position]
            if piece.kind in kinds:
                return position, shared
            if piece.kind in ("animal", "next cow"):
                break
            if piece.kind in FOOT_KINDS and kinds == CLAW_KINDS:
                break
            shared = shared or piece.kind == "lesion"
        end = self._site_end(lesion, self.kept[lesion])
        after = (i for i in range(lesion + 1, end) if self.kept[i].kind in kinds)
        return next(after, None), False

    def _site_end(self, lesion: int, site: Piece) -> int:
        """Return where what was said for a lesion's site ends."""
        kinds = same_kinds(site.kind) | FOOT_KINDS | {"animal", "next cow"}
        if site.kind == "lesion":
            kinds = frozenset({"lesion", "animal", "next cow"})
        ends = (i for i in range(lesion + 1, len(self.kept)) if self.kept[i].kind in kinds)
        return next(ends, len(self.kept))

    def _wrong_cow(self, at: int) -> int:
        """ "wrong cow, it's four thirteen" corrects the animal; alone it takes the animal back.

        Where none was said, the number is the animal: what carries over would be the wrong one.
        """
        cue, after = self.pieces[at], self._next(at + 1)
        self.commands.append(_command(cue, "correction"))
        while after < len(self.pieces) and self.pieces[after].kind == "correction":
            after = self._next(after + 1)  # "wrong cow, sorry, four thirteen"
        if after < len(self.pieces) and (animal := as_animal(self.pieces[after])):
            self.numbers_taken.add(animal.first)
            self._replace(animal, cue)
            return after + 1
        target = self._target("animal")
        if target is not None:
            note = Correction(
                slot="animal", was=self.kept[target].heard, now="", first=cue.first, last=cue.last
            )
            self.kept[target] = replace(cue, kind="fill", corrections=(note,))
        return at + 1

    def _belongs(self, group: Sequence[int], at: int, *, restates: bool) -> bool:
        """Whether a piece is still part of what the correction names."""
        piece = self.pieces[at]
        if not group:
            return piece.kind in _CORRECTABLE or is_side(piece)
        kinds = [self.pieces[position].kind for position in group]
        if piece.kind in kinds:
            return False
        first = kinds[0]
        if first in FOOT_KINDS | CLAW_KINDS or first == "fill":
            return piece.kind in FOOT_KINDS | CLAW_KINDS
        if first in ("lesion", "object", "severity", "stage", "zone"):
            if restates:
                return piece.kind in _LESION_GROUP | {"lesion"}
            return piece.kind in _LESION_GROUP and not self._begins_lesion(at)
        if first in ("action", "material"):
            return piece.kind in _ACTION_GROUP
        return first in _WHEN_GROUP and piece.kind in _WHEN_GROUP

    def _begins_lesion(self, at: int) -> bool:
        """Whether a modifier already belongs to the next lesion: "make that zone two, mild …"."""
        after = self._next(at + 1)
        return after < len(self.pieces) and self.pieces[after].kind in ("lesion", "object")

    def _replace(self, piece: Piece, cue: Piece, since: int | None = None) -> None:
        """Replace the last piece of this kind, but none said before `since`.

        "… inner … left front, no, right hind outer" corrects the foot; the outer is new.
        """
        if is_side(piece):
            piece = half_foot(piece)
        target = self._target(piece.kind)
        if target is not None and since is not None and target < since:
            target = None
        if piece.kind == "num":
            self._replace_number(piece, cue, target)
            return
        if target is None:
            self.kept.append(piece)
            return
        old = self.kept[target]
        self._put(target, old, half_of(piece, old), cue)

    def _put(self, target: int, old: Piece, new: Piece, cue: Piece) -> None:
        note = Correction(
            slot=new.kind, was=old.heard, now=new.heard, first=cue.first, last=new.last
        )
        rejected = (old.value, *(value for value in old.rejected if value != new.value))
        self.kept[target] = replace(
            new, rejected=(*new.rejected, *rejected), corrections=(*old.corrections, note)
        )

    def _replace_number(self, piece: Piece, cue: Piece, target: int | None) -> None:
        """ "make that three" replaces the last number said, in the slot it was said for."""
        if target is None:
            self.kept.append(piece)
            return
        old = self.kept[target]
        value = number_for(old.kind, piece)
        if not value and value != 0:  # no such number is said there
            self.kept.append(piece)
            return
        self.numbers_taken.add(piece.first)
        more = old.more
        if old.kind == "animal":
            more = {"ending": False, "words": piece.heard.split()}
        self._put(target, old, replace(piece, kind=old.kind, value=value, more=more), cue)


def _command(piece: Piece, kind: str) -> Command:
    return Command(kind=kind, first=piece.first, last=piece.last)
