"""Corrections that name their thing, or stand behind what is right: "oh, the ulcer was on the inner", "left i meant"."""

from grammar.join.contrasts import Contrasts
from grammar.join.cursor import back, find_back, get, next_solid, past, seek, walk_back
from grammar.join.moving import move, named_again
from grammar.join.near import is_word
from grammar.join.replacing import half_foot, half_of
from grammar.join.rewriting import NAMED_SITES, OF_LESION
from grammar.pieces import (
    COPULAS,
    FEET,
    FINDINGS,
    LINKS,
    MODIFIERS,
    AnimalSaid,
    CorrectionCue,
    Filler,
    Foot,
    HalfFoot,
    Kinds,
    Severity,
    Stage,
    TimeSaid,
    is_clean,
    is_side,
)

__all__ = ["ToldAnew"]

_MEANT: Kinds = (*NAMED_SITES, Stage, Severity, TimeSaid)
"""What may stand before such a cue."""


class ToldAnew(Contrasts):
    """Cues by which a value of something said before is told anew."""

    def _exclaimed(self, at: int) -> int | None:
        """ "Oh, the abscess was on the outer": puts right where that stood before."""
        if self.pieces[at].heard not in self.words.exclaims:
            return None
        self._not_clean_after_all(at)
        return self._moved(at, told=True)

    def _not_clean_after_all(self, at: int) -> None:
        """ "You're fine, oh hang on, there's a wart": not clean, where of no foot that was said."""
        last = back(self.kept, len(self.kept) - 1, LINKS)
        lesion = past(self.pieces, at + 1, (*LINKS, *MODIFIERS))
        there = any(is_word(one, self.words.there_is) for one in self.pieces[at + 1 : lesion])
        found = get(self.pieces, lesion)
        if not there or not isinstance(found, FINDINGS) or is_clean(found):
            return
        if is_clean(get(self.kept, last)) and find_back(self.kept, last, FEET) is None:
            self._silence(last, self.pieces[at])

    def _moved(self, at: int, *, told: bool = False) -> int | None:
        """ "Sorry, the ulcer is on the left and the wart on the right"; return where it ends."""
        cue, end = self.pieces[at], None
        while (named := named_again(self.pieces, end or at + 1, self.kept, told=told)) is not None:
            if end is None:
                self._command(cue, "correction")
            for site in named.sites:
                move(self.kept, site, named.thing, cue, self._put)
            end, told = named.end, True
        return end

    def _graded(self, at: int) -> int | None:
        """ "Heel erosion right hind, call it a one, wart …": a grade of the lesion that had none."""
        place, last = next_solid(self.pieces, at + 1), len(self.kept) - 1
        grade, head = get(self.pieces, place), find_back(self.kept, last, (*FINDINGS, Severity))
        lesion = self.kept[head] if head is not None else None
        if head is None or not isinstance(grade, Severity) or not isinstance(lesion, FINDINGS):
            return None
        if isinstance(get(self.kept, head - 1), Severity):
            return None  # "mild ulcer, call it severe"
        self.kept.insert(head + 1, grade)
        return place + 1

    def _meant_before(self, at: int) -> int | None:
        """ "Right hind …, left I meant": the cue stands behind what is right."""
        cue = self.pieces[at]
        after = get(self.pieces, past(self.pieces, at + 1, LINKS))
        named_last = isinstance(after, AnimalSaid) and self._target(after) is None
        ends = (after is None or named_last) and cue.heard in self.words.at_the_end
        if not (ends or cue.heard in self.words.behind) or (self._group(at) and not named_last):
            return None
        last = len(self.kept) - 1
        said = get(self.kept, last)
        meant = (*_MEANT, AnimalSaid) if self._is_told(last) else _MEANT
        if said is None or not (isinstance(said, meant) or is_side(said)):
            return None
        del self.kept[last:]
        piece = half_foot(said) if is_side(said) else said
        if self._target(piece) is None:
            self.kept.append(said)
            return None
        self._command(cue, "correction")
        self._replace(piece, cue)
        return at + 1

    def _is_told(self, at: int) -> bool:
        """ "That's cow two sixty two, I mean"."""
        cue = get(self.kept, at - 1)
        return isinstance(cue, CorrectionCue) or is_word(cue, self.words.it_is)

    def _told_of_foot(self, at: int) -> int | None:
        """ "Actually left is an m three": a value of a foot named before; return where it ends."""
        foot = next_solid(self.pieces, at + 1)
        value = past(self.pieces, foot + 1, (Filler,))
        side, said = get(self.pieces, foot), get(self.pieces, value)
        copula = any(one.heard in COPULAS for one in self.pieces[foot + 1 : value])
        if side is None or not copula or not isinstance(said, OF_LESION):
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
