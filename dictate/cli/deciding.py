"""The evening in the terminal: one card at a time, decided with the keys that the page has."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Any

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text
from sqlmodel import Session

from dictate.cli.fixing_cards import FIXES
from dictate.errors import DictateError, ReviewError
from dictate.review import acts
from dictate.review.acts import REASONS, Done
from dictate.review.card import TEXT
from dictate.review.learning import Offer, read_again, teach
from dictate.review.measure import pace_of
from dictate.review.showing import Card, card_of
from dictate.review.waiting import groups, unmarked, waiting
from dictate.settings import Settings
from dictate.store.database import Database

KEYS = {
    "Enter": "confirm and go on",
    "y": "confirm an animal that is not on the roster",
    "1–9": "take that choice",
    "n": "another number: a letter takes one; behind a digit it also confirms",
    "w": "put single words right, with what may have been said there",
    "f": "fix slots: foot=LH zone=4 action.1.claw=inner …",
    "m": "move to another foot",
    "t": "type what was said",
    "b": "same cow as before",
    "s": "split: some of it belongs to another animal",
    "x": "discard, with a reason",
    "u": "undo; again for the step before",
    "a": "confirm all without marks together",
    "l": "at the end: remember a mis-hearing",
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
                card = card_of(session, order[place], settings=self.settings) if order else None
                self.show(self._shown(session, card, place, order) if card else "Nothing waits.")
            if card is None:
                if not self._at_the_end():
                    return
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

    def _at_the_end(self) -> bool:
        """Nothing waits: what may be remembered is offered now; whether to go on."""
        asked = "u undoes your last step, anything else stops: "
        if self.offers:
            offer = self.offers[0]
            asked = f"l remembers: “{offer.heard}” means {offer.term}; n does not; {asked}"
        pressed = self.key(asked).strip().lower()
        if pressed == "u":
            self._try(self.undo)
        elif pressed == "l" and self.offers:
            self._try(self.learn)
        elif pressed == "n" and self.offers:
            self.offers.pop(0)
        else:
            return False
        return True

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
        if card.not_on_roster:
            parts.append(Text(f"    y  {values.animal} is new: confirm it all the same"))
        if card.before and card.before != values.animal:
            parts.append(Text(f"    b  same cow as before ({card.before})"))
        return Group(*parts)

    def _do(self, pressed: str, card: Card, after: int) -> None:
        choice = next((one for one in card.choices if one.key == pressed), None)
        if choice is not None and choice.path == TEXT:
            self.typed(card, choice.value)
        elif choice is not None:
            self.take(card, choice.path, choice.value)
        elif pressed in _DO:
            self.at = _DO[pressed](self, card, after)
        else:
            self.show("No such key. ? lists them.")

    def confirm(self, card: Card, after: int) -> int:
        self.tell(acts.confirm(*self._where, **self._seen(card)))
        return after

    def confirm_new(self, card: Card, after: int) -> int:
        self.tell(acts.confirm(*self._where, **self._seen(card), sure=True))
        return after

    def join(self, card: Card, _after: int) -> int:
        return self.tell(acts.join(*self._where, **self._seen(card)))

    def discard(self, card: Card, after: int) -> int:
        self.show("\n".join(f"{at:>5}  {one}" for at, one in enumerate(REASONS, start=1)))
        asked = self.line("Reason, its number or in words: ", "").strip()
        if not asked:
            return self.at
        known = asked.isdecimal() and 0 < int(asked) <= len(REASONS)
        reason = REASONS[int(asked) - 1] if known else asked
        self.tell(acts.discard(*self._where, reason, **self._seen(card)))
        return after

    def undo(self, _card: Card | None = None, _after: int = 0) -> int:
        done = acts.undo_last(self.database, self.settings, by=self.by)
        return self.tell(done) if done else self.at

    def together(self, card: Card, _after: int) -> int:
        with self.database.reading() as session:
            listed = unmarked(session, card.entry.visit_id)
        if not listed:
            raise ReviewError("no entry of this visit is without marks")
        self.show("\n".join(one.sentence for one in listed))
        if self.key(f"Enter confirms these {len(listed)}, anything else none: ").strip():
            return self.at
        acts.confirm_together(
            self.database, self.settings, card.entry.visit_id,
            by=self.by, expected={one.id: one.version for one in listed},
        )  # fmt: skip
        self.show(f"{len(listed)} confirmed together.")
        return self.at

    def learn(self) -> None:
        offer = self.offers.pop(0)
        with self.database.writing() as session:
            teach(session, offer.trimmer_id, offer.heard, offer.term, by=self.by)
        changed = read_again(self.database, self.settings, offer.trimmer_id, heard=offer.heard)
        self.show(f"Remembered. {changed} waiting notes read differently now.")

    def why_order(self, _card: Card, _after: int) -> int:
        self.show("\n".join(f"{group.name}: {group.why}" for group in groups()))
        return self.at

    def keys(self, _card: Card, _after: int) -> int:
        table = Table.grid(padding=(0, 2))
        for key, what in KEYS.items():
            table.add_row(Text(key), Text(what))
        self.show(table)
        return self.at

    def take(self, card: Card, path: str, value: str) -> None:
        if path == "animal":
            self.number(card, value)
        else:
            self.amend(card, dict.fromkeys(path.split(","), value))

    def number(self, card: Card, number: str, *, then_confirm: bool = False) -> None:
        self.tell(
            acts.choose_number(*self._where, number, **self._seen(card), then_confirm=then_confirm)
        )

    def amend(self, card: Card, changes: Mapping[str, object]) -> None:
        self.tell(acts.amend(*self._where, changes, **self._seen(card)))

    def typed(self, card: Card, text: str, *, then_confirm: bool = False) -> None:
        self.tell(
            acts.put_words_right(*self._where, text, **self._seen(card), then_confirm=then_confirm)
        )

    def tell(self, done: Done) -> int:
        """Say what else an act changed, and keep what it offers; the entry to go on with."""
        if done.told:
            self.show(done.told)
        self.offers = list(dict.fromkeys((*self.offers, *done.offers)))
        return done.entry.id

    @property
    def _where(self) -> tuple[Database, Settings, int]:
        return self.database, self.settings, self.at

    def _seen(self, card: Card) -> dict[str, Any]:
        return {"by": self.by, "version": card.entry.version}


_DO: dict[str, Callable[[Evening, Card, int], int]] = {
    "": Evening.confirm,
    "y": Evening.confirm_new,
    "b": Evening.join,
    "x": Evening.discard,
    "u": Evening.undo,
    "a": Evening.together,
    "o": Evening.why_order,
    "?": Evening.keys,
    **FIXES,
}


def _heard(card: Card) -> Text:
    """The heard words, with uncertain ones in brackets so that no colour is needed."""
    return Text(
        " ".join(f"[{word.text}]" if word.doubt else word.text for word in card.words)
        or "(nothing)"
    )
