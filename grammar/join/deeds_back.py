"""Corrections that take back what they name: "scrap the wrap", "no, I left the wrap", "no, I didn't"."""

from grammar.join.cursor import back, find_back, get, next_solid, past
from grammar.join.near import silent, untaken
from grammar.join.rewriting import Rewriter
from grammar.pieces import (
    ANIMAL_EDGES,
    CLAWS,
    DEEDS,
    FEET,
    FINDINGS,
    LINKS,
    MODIFIERS,
    ActionSaid,
    Break,
    Filler,
    Lesion,
    Material,
    No,
    Not,
    Piece,
    Undone,
    Zone,
    turned,
    value_of,
)
from grammar.records import Correction

__all__ = ["DeedsBack"]

_DENIED_BARE = ("n't", "not", "never")
"""How a denial ends that may stand without what it denies: "no, I didn't"."""


class DeedsBack(Rewriter):
    """Cues that say that a deed told before was not done after all."""

    def _scratch_named(self, at: int) -> int:
        """ "Scrap the wrap": that one is taken back; where none was said, it is not done."""
        cue = self.pieces[at]
        place = past(self.pieces, at + 1, (Filler,))
        named = get(self.pieces, place)
        target = None
        product = isinstance(named, Material)
        if isinstance(named, Material):
            named = turned(named, ActionSaid, value=named.of)  # "forget the spray"
        if isinstance(named, (*DEEDS, *FINDINGS)):
            target = self._said_before(named)
        if named is None or (target is None and not isinstance(named, DEEDS)):
            self.kept.append(untaken(cue))
            return at + 1
        if target is None:
            self.kept.append(turned(cue, Undone, value="undone"))
            if product:
                self.kept.append(named)
            return place + 1 if product else at + 1
        self._command(cue, "scratch that")
        self._silence(target, cue)
        return place + 1

    def _did_not(self, at: int) -> int | None:
        """ "Wrapped, no wait, I didn't wrap her": the first is taken back; the denial stands.

        "Blocked the inner, no, I didn't": what was said last is denied.
        """
        no = next_solid(self.pieces, at + 1)
        will = next_solid(self.pieces, no + 1)
        if isinstance(get(self.pieces, no), Undone) and isinstance(get(self.pieces, will), Not):
            no = will  # "no, I'll not bother the vet"
        denial = get(self.pieces, no)
        deed = get(self.pieces, next_solid(self.pieces, no + 1))
        if not isinstance(denial, (No, Not, Undone)):
            return None
        if isinstance(deed, DEEDS):
            target = self._said_before(deed)
            if target is None:
                return None
            self._command(self.pieces[at], "correction")
            self._silence(target, self.pieces[at])
            return at + 1
        ends = deed is None or isinstance(deed, (Break, *ANIMAL_EDGES))
        ends = ends or isinstance(get(self.pieces, no + 1), CLAWS)  # "…, that claw's thin too"
        target = find_back(self.kept, len(self.kept) - 1, (ActionSaid,))
        if not ends or not denial.heard.endswith(_DENIED_BARE) or target is None:
            return None
        self._command(self.pieces[at], "correction")
        self._silence_claws(target)
        first = back(self.kept, target - 1, (Material,)) + 1
        self.kept.insert(first, turned(denial, Not, value="not"))
        return no + 1

    def _deed_anew(self, at: int) -> int | None:
        """ "Block inner, no, hang on, ulcer's inner, block's outer": the deed said last is told anew."""
        lesion = next_solid(self.pieces, at + 1)
        deed = get(self.pieces, past(self.pieces, lesion + 1, (*LINKS, *CLAWS, *MODIFIERS, Zone)))
        last = back(self.kept, len(self.kept) - 1, (*LINKS, *FEET, *CLAWS, Material))
        old, head = get(self.kept, last), get(self.pieces, lesion)
        if not isinstance(head, Lesion) or self._target(head) is not None:
            return None
        if not isinstance(old, ActionSaid) or not isinstance(deed, ActionSaid):
            return None
        if old.value != deed.value:
            return None
        self._command(self.pieces[at], "correction")
        self._silence(last, self.pieces[at])
        return at + 1

    def _said_before(self, named: Piece) -> int | None:
        """Return where the animal's part has the same thing, said last."""
        kinds = DEEDS if isinstance(named, DEEDS) else (type(named),)
        at = find_back(self.kept, len(self.kept) - 1, kinds)
        while at is not None and _thing(self.kept[at]) != _thing(named):
            at = find_back(self.kept, at - 1, kinds)
        return at

    def _silence(self, target: int, cue: Piece) -> None:
        """Let a deed, or a lesion, say nothing any more, with what is its own."""
        old = self.kept[target]
        note = Correction(slot="scratch", was=old.heard, now="", first=cue.first, last=cue.last)
        if isinstance(old, ActionSaid):
            self._silence_claws(target)
            for place in range(back(self.kept, target - 1, (Material,)) + 1, target):
                self.kept[place] = silent(self.kept[place])
        gone = turned(old, Filler, value=old.heard, corrections=(*old.corrections, note))
        self.kept[target] = gone

    def _silence_claws(self, deed: int) -> None:
        end = past(self.kept, deed + 1, (*LINKS, *FEET, *CLAWS, Material))
        for place in range(deed + 1, end):
            if isinstance(self.kept[place], (*CLAWS, Material)):
                self.kept[place] = silent(self.kept[place])


def _thing(piece: Piece) -> str:
    """What a piece is of: "vet to see her" and "vet" are one thing."""
    due = piece.if_dated if isinstance(piece, ActionSaid) else None
    return due or str(value_of(piece))
