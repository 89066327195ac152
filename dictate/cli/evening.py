"""One person's evening with the queue: what stands on the screen, and the acts it asks for."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from rich.console import RenderableType

from dictate.errors import ReviewError
from dictate.review import acts
from dictate.review.acts import REASONS, Done
from dictate.review.learning import read_again, teach
from dictate.review.offers import Offer, Offers
from dictate.review.showing import Card
from dictate.review.waiting import unmarked
from dictate.settings import Settings
from dictate.store.database import Database


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
    offers: Offers = field(init=False)

    def __post_init__(self) -> None:
        self.offers = Offers(self.settings.home)

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

    def learn(self, offer: Offer) -> None:
        self.offers.take(offer.heard, offer.term)
        with self.database.writing() as session:
            teach(session, offer.trimmer_id, offer.heard, offer.term, by=self.by)
        changed = read_again(self.database, self.settings, offer.trimmer_id, heard=offer.heard)
        self.show(f"Remembered. {changed} waiting notes read differently now.")

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
        self.offers.add(done.offers)
        return done.entry.id

    @property
    def _where(self) -> tuple[Database, Settings, int]:
        return self.database, self.settings, self.at

    def _seen(self, card: Card) -> dict[str, Any]:
        return {"by": self.by, "version": card.entry.version}
