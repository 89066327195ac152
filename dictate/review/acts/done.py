"""What an act did: the entries it was about, what else changed, and what it offers."""

from dataclasses import dataclass

from dictate.entry.values import EntryValues, MarkValues
from dictate.entry.wording import say_entry
from dictate.errors import ReviewError
from dictate.review.offers import Offer
from dictate.texts import gettext, ngettext
from dictate.texts.below import told


class NeedsSureError(ReviewError):
    """The act is unusual and wants a second, explicit step: do it again with `sure`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Now:
    """An entry as an act left it."""

    id: int
    version: int
    """To be named with the next act on it."""
    note_id: int
    visit_id: int
    trimmer_id: int
    """Who spoke it."""
    state: str
    opened: bool = False
    """It was confirmed before the act, and waits now."""
    values: EntryValues

    @property
    def sentence(self) -> str:
        return say_entry(self.values)


@dataclass(frozen=True, slots=True, kw_only=True)
class Also:
    """Another entry that changed because of an act."""

    now: Now
    before: EntryValues
    opened: bool
    """It was confirmed, and waits again."""

    @property
    def sentence(self) -> str:
        """What became of it, e.g. `entry 7 goes with it: 412 -> 777`."""
        nobody = gettext("no animal")
        said = {
            "entry": self.now.id,
            "was": self.before.animal or nobody,
            "animal": self.now.values.animal or nobody,
        }
        if self.opened:
            return gettext(
                "entry %(entry)s was confirmed for %(was)s and waits again, as %(animal)s", **said
            )
        if said["was"] != said["animal"]:
            return gettext(
                "entry %(entry)s, which named no animal, goes with it: %(was)s → %(animal)s", **said
            )
        return gettext("entry %(entry)s was checked again", entry=self.now.id)


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """What an act did."""

    act: str
    """Its name, to undo it."""
    entry: Now
    """The entry to go on with."""
    entries: tuple[Now, ...]
    """All entries that the act was about."""
    back_at: str = ""
    """Farm and day to which notes went back, where a move of them was undone."""
    also: tuple[Also, ...] = ()
    """Other entries that changed because of it."""
    raised: tuple[MarkValues, ...] = ()
    """Marks of the entry that were not there before."""
    offers: tuple[Offer, ...] = ()
    """Mis-hearings that may be remembered for who spoke."""

    @property
    def told(self) -> str:
        """What else changed, in words for a person; empty when nothing did."""
        anew = [gettext("look: %(mark)s", mark=told(mark.what)) for mark in self.raised]
        moved = [one for one in self.also if one.before.animal != one.now.values.animal]
        plain = [one for one in moved if not one.opened]
        gone = ngettext(
            "%(num)s note after it, which named no animal, goes with it",
            "%(num)s notes after it, which named no animal, go with it",
            len(plain),
        )
        opened = [one.sentence for one in moved if one.opened]
        back = gettext("the notes are back at %(place)s", place=self.back_at)
        parts = [*([back] if self.back_at else []), *anew, *([gone] if plain else []), *opened]
        return " ".join(f"{part[0].upper()}{part[1:].rstrip('.')}{'' if part[-1] in '?!' else '.'}" for part in parts)  # fmt: skip
