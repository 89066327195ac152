"""The evening in the terminal: one card at a time, decided with the keys that the page has."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import partial
from string import ascii_lowercase

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text
from sqlmodel import Session

from dictate.errors import DictateError, ReviewError
from dictate.notes.sentences import (
    FEET,
    say_action,
    say_entry,
    say_finding,
    say_follow_up,
    say_measure,
)
from dictate.notes.values import EntryValues
from dictate.review.card import TEXT, text_to_type
from dictate.review.carrying import hand_on, told
from dictate.review.changes import changes_from_text
from dictate.review.deciding import REASONS, amend, confirm, confirm_unmarked, reject, unmarked
from dictate.review.fixes import join, split
from dictate.review.learning import Offer, offers_after, read_again, read_typed, teach
from dictate.review.measure import pace_of
from dictate.review.order import groups
from dictate.review.showing import Card, card_of, further_animals
from dictate.review.undoing import last_act, undo_act
from dictate.review.waiting import waiting
from dictate.settings import Settings
from dictate.store.database import Database
from dictate.store.tables import Visit

__all__ = ["KEYS", "Evening"]

_SAY = {
    "findings": say_finding,
    "actions": say_action,
    "follow_ups": say_follow_up,
    "measures": say_measure,
}
KEYS = {
    "Enter": "confirm and go on",
    "1–9": "take that choice",
    "n": "another number: a letter takes one, digits narrow them down",
    "f": "fix slots: foot=LH zone=4 action.1.claw=inner …",
    "m": "move to another foot",
    "t": "type what was said",
    "b": "same cow as before",
    "s": "split: some of it belongs to another animal",
    "x": "discard, with a reason",
    "u": "undo; again for the step before",
    "a": "confirm all without marks together",
    "l": "remember the mis-hearing, when that is offered",
    "j, k": "skip, back",
    "o": "why this order",
    "?": "this list",
    "q": "stop; nothing is lost",
}


@dataclass
class Evening:
    """One person going through the queue of one visit, or of all."""

    database: Database
    settings: Settings
    by: str
    visit_id: int | None
    key: Callable[[str], str]
    """Asks for one key; Enter is the empty text."""
    line: Callable[[str, str], str]
    """Asks for a line, with what stands there already."""
    show: Callable[[RenderableType], None]
    at: int = 0
    """Entry to show; the first of the queue when it is not there."""
    offers: list[Offer] = field(default_factory=list)

    def run(self) -> None:
        """Show cards and do what the keys say until nothing waits or the person stops."""
        while True:
            with self.database.reading() as session:
                order = [one.id for one in waiting(session, self.visit_id)]
                place = order.index(self.at) if self.at in order else 0
                card = card_of(session, order[place]) if order else None
                self.show(self._shown(session, card, place, order) if card else "Nothing waits.")
            if card is None:
                if (
                    self.key("u undoes your last step, anything else stops: ").strip().lower()
                    != "u"
                ):
                    return
                self._try(self.undo)
                continue
            pressed = self.key("Key (? lists them): ").strip().lower()
            if pressed == "q":
                return
            self.at = order[place]
            after = order[place + 1] if place + 1 < len(order) else order[place - 1]
            if pressed in ("j", "k"):
                self.at = after if pressed == "j" else order[max(0, place - 1)]
                continue
            self._try(partial(self._do, pressed, card, after))

    def _try(self, step: Callable[[], object]) -> None:
        try:
            step()
        except DictateError as error:
            self.show(f"{error.what}. {error.remedy}".strip())

    def _shown(
        self, session: Session, card: Card, place: int, order: Sequence[int]
    ) -> RenderableType:
        values = card.values
        pace = pace_of(session, self.by)
        marked = sum(bool(one.values.marks) for one in waiting(session, self.visit_id))
        minutes = max(1, round(pace.seconds(marked=marked, plain=len(order) - marked) / 60))
        parts = [
            Text(f"\n{place + 1} of {len(order)} · about {minutes} min · {card.clip.file_name}"),
            Text(card.sentence, style="bold"),
            Text("heard  ") + _heard(card),
        ]
        parts += [
            Text(f"look   {mark.what}: {mark.why}; {mark.clear}") for mark in values.mark_details
        ]
        parts += [Text(f"{choice.key:>5}  {choice.label}") for choice in card.choices]
        if card.before and card.before != values.animal:
            parts.append(Text(f"    b  same cow as before ({card.before})"))
        if self.offers:
            parts.append(
                Text(f"    l  remember: “{self.offers[0].heard}” means {self.offers[0].term}")
            )
        return Group(*parts)

    def _do(self, pressed: str, card: Card, after: int) -> None:
        choice = next((one for one in card.choices if one.key == pressed), None)
        if choice is not None and choice.path == TEXT:
            self._typed(card, choice.value)
        elif choice is not None:
            self._amend(card, dict.fromkeys(choice.path.split(","), choice.value))
        elif pressed in _DO:
            self.at = _DO[pressed](self, card, after)
        else:
            self.show("No such key. ? lists them.")

    def confirm(self, card: Card, after: int) -> int:
        with self.database.writing() as session:
            confirm(session, self.at, by=self.by, version=card.entry.version)
        return after

    def number(self, card: Card, _after: int) -> int:
        """Letters take a number of the list; digits narrow it; Enter takes the digits as they are."""
        begins = ""
        while True:
            with self.database.reading() as session:
                found = further_animals(session, self.at, begins=begins)
            self.show(
                "  ".join(f"{key} {one}" for key, one in zip(ascii_lowercase, found, strict=False))
                or "None on the roster."
            )
            pressed = self.key(f"Letter, digit or Enter [{begins}]: ").strip().lower()
            if pressed.isdecimal():
                begins += pressed
                continue
            place = ascii_lowercase.find(pressed) if pressed else -1
            number = found[place] if 0 <= place < len(found) else begins if not pressed else ""
            if number:
                self._amend(card, {"animal": number})
            return self.at

    def slots(self, card: Card, _after: int) -> int:
        text = self.line("Slots: ", "")
        if text.strip():
            self._amend(card, changes_from_text(card.values, _slot_texts(text)))
        return self.at

    def move(self, card: Card, _after: int) -> int:
        """Everything of one foot goes to another; a finding alone is moved with `f`."""
        feet = dict.fromkeys(
            one.foot for one in (*card.values.findings, *card.values.actions) if one.foot
        )
        if not feet:
            raise ReviewError("no foot was named", remedy="Set it with f: foot=LH")
        was = next(iter(feet))
        if len(feet) > 1:
            was = self.line(f"From ({', '.join(feet)}): ", "").strip().upper()
        now = self.line(f"From {FEET.get(was, was)} to ({', '.join(FEET)}): ", "").strip().upper()
        changes = {
            f"{name}.{at}.foot": now
            for name in ("findings", "actions")
            for at, one in enumerate(getattr(card.values, name))
            if one.foot == was
        }
        if now and changes:
            self._amend(card, changes)
        return self.at

    def type(self, card: Card, _after: int) -> int:
        text = self.line("Words: ", text_to_type(card.words)[0])
        if text.strip():
            self._typed(card, text)
        return self.at

    def join(self, card: Card, _after: int) -> int:
        with self.database.writing() as session:
            done = join(session, self.at, by=self.by, version=card.entry.version)
            at = done.id or 0
        self._hand_on(card.entry.visit_id)
        return at

    def split(self, card: Card, _after: int) -> int:
        items = [
            (name, at, say(one))
            for name, say in _SAY.items()
            for at, one in enumerate(getattr(card.values, name))
        ]
        self.show("\n".join(f"{at:>5}  {said}" for at, (*_, said) in enumerate(items, start=1)))
        asked = self.line("Which go to the other animal, e.g. 1 3: ", "").replace(",", " ").split()
        chosen = {
            items[int(one) - 1][:2]
            for one in asked
            if one.isdecimal() and 0 < int(one) <= len(items)
        }
        if not asked:
            return self.at
        animal = self.line("Number of the other animal: ", "")
        with self.database.writing() as session:
            made = split(session, self.at, chosen, animal, by=self.by, version=card.entry.version)
            at = made.id or 0
        self._hand_on(card.entry.visit_id)
        return at

    def discard(self, card: Card, after: int) -> int:
        self.show("\n".join(f"{at:>5}  {one}" for at, one in enumerate(REASONS, start=1)))
        asked = self.line("Reason, its number or in words: ", "").strip()
        if not asked:
            return self.at
        known = asked.isdecimal() and 0 < int(asked) <= len(REASONS)
        reason = REASONS[int(asked) - 1] if known else asked
        with self.database.writing() as session:
            reject(session, self.at, reason, by=self.by, version=card.entry.version)
        self._hand_on(card.entry.visit_id)
        return after

    def undo(self, _card: Card | None = None, _after: int = 0) -> int:
        with self.database.writing() as session:
            act = last_act(session, by=self.by)
            if act is None:
                raise ReviewError("there is nothing of yours to undo")
            back = undo_act(session, act, by=self.by)[-1]
            at, visit_id = back.id or 0, back.visit_id
        self._hand_on(visit_id)
        return at

    def together(self, card: Card, _after: int) -> int:
        with self.database.reading() as session:
            listed = {
                one.id or 0: (one.version, say_entry(EntryValues.model_validate(one.content)))
                for one in unmarked(session, card.entry.visit_id)
            }
        if not listed:
            raise ReviewError("no entry of this visit is without marks")
        self.show("\n".join(said for _, said in listed.values()))
        if self.key(f"Enter confirms these {len(listed)}, anything else none: ").strip():
            return self.at
        expected = {at: version for at, (version, _) in listed.items()}
        with self.database.writing() as session:
            confirm_unmarked(session, card.entry.visit_id, by=self.by, expected=expected)
        self.show(f"{len(listed)} confirmed together.")
        return self.at

    def learn(self, card: Card, _after: int) -> int:
        if not self.offers:
            raise ReviewError("nothing is offered to be remembered")
        offer = self.offers.pop(0)
        with self.database.writing() as session:
            trimmer = session.get_one(Visit, card.entry.visit_id).trimmer_id
            teach(session, trimmer, offer.heard, offer.term, by=self.by)
        changed = read_again(self.database, self.settings, trimmer, heard=offer.heard)
        self.show(f"Remembered. {changed} waiting notes read differently now.")
        return self.at

    def why_order(self, _card: Card, _after: int) -> int:
        self.show("\n".join(f"{group.name}: {group.why}" for group in groups()))
        return self.at

    def keys(self, _card: Card, _after: int) -> int:
        table = Table.grid(padding=(0, 2))
        for key, what in KEYS.items():
            table.add_row(Text(key), Text(what))
        self.show(table)
        return self.at

    def _amend(self, card: Card, changes: dict[str, object]) -> None:
        with self.database.writing() as session:
            amend(session, self.at, changes, by=self.by, version=card.entry.version)
        self.offers = offers_after(card.values, changes)
        self._hand_on(card.entry.visit_id)

    def _typed(self, card: Card, text: str) -> None:
        with self.database.writing() as session:
            _, self.offers = read_typed(
                session, self.settings, self.at, text, by=self.by, version=card.entry.version
            )
        self._hand_on(card.entry.visit_id)

    def _hand_on(self, visit_id: int) -> None:
        if said := told(hand_on(self.database, self.settings, visit_id)):
            self.show(said.strip())


_DO: dict[str, Callable[[Evening, Card, int], int]] = {
    "": Evening.confirm,
    "n": Evening.number,
    "f": Evening.slots,
    "m": Evening.move,
    "t": Evening.type,
    "b": Evening.join,
    "s": Evening.split,
    "x": Evening.discard,
    "u": Evening.undo,
    "a": Evening.together,
    "l": Evening.learn,
    "o": Evening.why_order,
    "?": Evening.keys,
}


def _heard(card: Card) -> Text:
    """The heard words, with uncertain ones in brackets so that no colour is needed."""
    return Text(
        " ".join(f"[{word.text}]" if word.doubt else word.text for word in card.words)
        or "(nothing)"
    )


def _slot_texts(line: str) -> list[str]:
    """`lesion=sole ulcer zone=4` as its slots; a value goes on to the next `slot=`."""
    texts: list[str] = []
    for word in line.split():
        if "=" in word or not texts:
            texts.append(word)
        else:
            texts[-1] += f" {word}"
    return texts
