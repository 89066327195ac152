"""Corrections that say what is wrong too: "not the left hind, the right", "no ulcer, just bruising"."""

from grammar.hear.identifiers import spoken_digits
from grammar.join.cursor import back, find_back, get, next_solid
from grammar.join.deeds_back import DeedsBack
from grammar.join.near import is_word
from grammar.join.replacing import (
    half_foot,
    half_of,
    same_kinds,
)
from grammar.join.rewriting import NAMED_SITES
from grammar.pieces import (
    CLAWS,
    FEET,
    LINKS,
    ActionSaid,
    AnimalSaid,
    Denied,
    Filler,
    HalfFoot,
    Kinds,
    Lesion,
    Material,
    No,
    Not,
    Number,
    Piece,
    is_clean,
    is_side,
    turned,
    value_of,
)

__all__ = ["Contrasts"]

_SITES = (*FEET, *CLAWS)


class Contrasts(DeedsBack):
    """Cues that name the wrong value before the right one."""

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
        if isinstance(wrong, (*FEET, AnimalSaid)) and not self.leads.issuperset(between):
            return None  # "didn't touch that, fronts are fine"; "never lifted, four twelve"
        if isinstance(wrong, Lesion) and isinstance(cue, Not) and isinstance(right, Lesion):
            return self._other_lesion(wrong, right, second, cue)
        if isinstance(wrong, ActionSaid):
            self._deed_itself(wrong, cue)
            return None
        if self._names_wrong(wrong, cue):
            return first + 1
        if isinstance(wrong, Number) and self._target(wrong) is not None:
            self.numbers_taken.add(wrong.first)  # "zone five, not four"
        elif not isinstance(wrong, NAMED_SITES):
            return None
        if right is None or not isinstance(right, self._kinds(wrong)):
            return first + 1
        if self._target(right) is not None:
            self._command(self.pieces[at], "correction")
            self._replace(right, self.pieces[at])
        else:
            self.kept += [*self.pieces[first + 1 : second], half_of(right, wrong)]
        return second + 1

    def _kinds(self, wrong: Piece) -> Kinds:
        """Return what may stand for it: "m three, did I say three, it's m two"."""
        target = self._target(wrong) if isinstance(wrong, Number) else None
        if isinstance(wrong, Number):
            return (Number,) if target is None else (Number, type(self.kept[target]))
        return same_kinds(wrong)

    def _deed_itself(self, wrong: ActionSaid, cue: Piece) -> None:
        """ "Drained, not drained, just pared": what was said right before is taken back; the denial stands."""
        last = back(self.kept, len(self.kept) - 1, (*LINKS, *CLAWS))
        deed = get(self.kept, last)
        if isinstance(deed, ActionSaid) and deed.value == wrong.value:
            self._command(cue, "correction")
            self._silence(last, cue)

    def _names_wrong(self, wrong: Piece | None, cue: Piece) -> bool:
        """Whether what is right has been said already, or is taken from the words themselves."""
        if isinstance(wrong, AnimalSaid) or self._said_instead(wrong, cue) or self._is_other(wrong):
            return True
        return isinstance(wrong, Number) and self._not_it_but(wrong, cue)

    def _said_instead(self, wrong: Piece | None, cue: Piece) -> bool:
        """ "Left hind dermatitis, it's the right, not the left": what stands before takes its place."""
        last = back(self.kept, len(self.kept) - 1, (Filler,))
        right = get(self.kept, last)
        if wrong is None or right is None or not (isinstance(wrong, _SITES) or is_side(wrong)):
            return False
        links = self.kept[back(self.kept, last - 1, LINKS) + 1 : last]
        told = any(not self.words.it_is.isdisjoint(link.heard.split()) for link in links)
        told = told or isinstance(right, HalfFoot)  # "left hind ulcer, the right, not the left"
        if not told or not isinstance(right, same_kinds(wrong)):
            return False  # "outer ulcer, block inner, not outer"
        target = find_back(self.kept, last - 1, same_kinds(wrong))
        old = self.kept[target] if target is not None else None
        wanted = half_foot(wrong) if is_side(wrong) else wrong
        if target is None or old is None:
            return False
        new = half_of(right, old)
        if isinstance(right, HalfFoot) and value_of(new) == value_of(old):
            del self.kept[last:]  # said once more
            return True
        if value_of(half_of(wanted, old)) != value_of(old):
            return False
        if value_of(new) == value_of(old) or isinstance(new, HalfFoot):
            return False
        self._command(cue, "correction")
        del self.kept[last:]
        self._put(target, new, cue)
        return True

    def _other_lesion(self, wrong: Lesion, right: Lesion, end: int, cue: Piece) -> int | None:
        """ "Sole ulcer, not an ulcer, a bruise"; return where the note goes on."""
        target = find_back(self.kept, len(self.kept) - 1, (Lesion,))
        old = self.kept[target] if target is not None else None
        if target is None or old is None or is_clean(right):
            return None
        named = set(wrong.heard.split()) <= set(
            old.heard.split()
        )  # "white line fissure, not fissure"
        if value_of(old) != wrong.value and not named:
            return None
        self._command(cue, "correction")
        self._put(target, right, cue)
        return end + 1

    def _lesion_anew(self, at: int) -> int | None:
        """ "A bruise, no, an ulcer": a denial takes no article; return where the note goes on."""
        last, end = back(self.kept, len(self.kept) - 1, (Filler,)), next_solid(self.pieces, at + 1)
        old, right = get(self.kept, last), get(self.pieces, end)
        article = is_word(get(self.pieces, end - 1), self.words.articles)
        if (
            not article
            or not isinstance(old, Lesion)
            or is_clean(old)
            or not isinstance(right, Lesion)
        ):
            return None
        self._command(self.pieces[at], "correction")
        self._put(last, right, self.pieces[at])
        return end + 1

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

    def _not_that_but(self, at: int) -> int | None:
        """ "Ulcer …, actually no ulcer, just bruising": the second is there in place of the first."""
        no = next_solid(self.pieces, at + 1)
        wrong = next_solid(self.pieces, no + 1)
        right = next_solid(self.pieces, wrong + 1)
        lesion, other = get(self.pieces, wrong), get(self.pieces, right)
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
