"""The evening in the terminal: one card at a time, decided with the keys that the page has."""

from collections.abc import Callable, Sequence
from functools import partial

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text
from sqlmodel import Session

from dictate.cli.evening import Evening
from dictate.cli.fixing_cards import FIXES
from dictate.errors import DictateError
from dictate.review.card import TEXT
from dictate.review.measure import pace_of
from dictate.review.showing import Card, card_of
from dictate.review.waiting import groups, waiting

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


def go_through(evening: Evening) -> None:
    """Show cards and do what the keys say until nothing waits or the person stops."""
    while True:
        with evening.database.reading() as session:
            order = [one.id for one in waiting(session, evening.visit_id)]
            place = order.index(evening.at) if evening.at in order else 0
            card = card_of(session, order[place], settings=evening.settings) if order else None
            evening.show(_shown(evening, session, card, place, order) if card else "Nothing waits.")
        if card is None:
            if not _at_the_end(evening):
                return
            continue
        pressed = evening.key("Key (? lists them): ").strip().lower()
        if pressed == "q":
            return
        evening.at = order[place]
        after = order[place + 1] if place + 1 < len(order) else order[place - 1]
        if pressed in ("j", "k"):
            evening.at = after if pressed == "j" else order[max(0, place - 1)]
            continue
        _try(evening, partial(_do, evening, pressed, card, after))


def _at_the_end(evening: Evening) -> bool:
    """Nothing waits: what may be remembered is offered now; whether to go on."""
    asked = "u undoes your last step, anything else stops: "
    offer = next(iter(evening.offers.waiting), None)
    if offer:
        asked = f"l remembers: “{offer.heard}” means {offer.term}; n does not; {asked}"
    pressed = evening.key(asked).strip().lower()
    if pressed == "u":
        _try(evening, evening.undo)
    elif pressed == "l" and offer:
        _try(evening, partial(evening.learn, offer))
    elif pressed == "n" and offer:
        evening.offers.take(offer.heard, offer.term)
    else:
        return False
    return True


def _try(evening: Evening, step: Callable[[], object]) -> None:
    try:
        step()
    except DictateError as error:
        evening.show(f"{error.what}. {error.remedy}".strip())


def _shown(
    evening: Evening, session: Session, card: Card, place: int, order: Sequence[int]
) -> RenderableType:
    values = card.values
    pace = pace_of(session, evening.by)
    marked = sum(bool(one.values.marks) for one in waiting(session, evening.visit_id))
    minutes = max(1, round(pace.seconds(marked=marked, plain=len(order) - marked) / 60))
    parts = [
        Text(f"\n{place + 1} of {len(order)} · about {minutes} min · {card.clip.file_name}"),
        Text(card.sentence, style="bold"),
        Text("heard  ") + _heard(card),
    ]
    parts += [Text(f"look   {mark.what}: {mark.why}; {mark.clear}") for mark in values.mark_details]
    parts += [Text(f"{choice.key:>5}  {choice.label}") for choice in card.choices]
    if card.not_on_roster:
        parts.append(Text(f"    y  {values.animal} is new: confirm it all the same"))
    if card.before and card.before != values.animal:
        parts.append(Text(f"    b  same cow as before ({card.before})"))
    return Group(*parts)


def _do(evening: Evening, pressed: str, card: Card, after: int) -> None:
    choice = next((one for one in card.choices if one.key == pressed), None)
    if choice is not None and choice.path == TEXT:
        evening.typed(card, choice.value)
    elif choice is not None:
        evening.take(card, choice.path, choice.value)
    elif pressed in _DO:
        evening.at = _DO[pressed](evening, card, after)
    else:
        evening.show("No such key. ? lists them.")


def _why_order(evening: Evening, _card: Card, _after: int) -> int:
    evening.show("\n".join(f"{group.name}: {group.why}" for group in groups()))
    return evening.at


def _keys(evening: Evening, _card: Card, _after: int) -> int:
    table = Table.grid(padding=(0, 2))
    for key, what in KEYS.items():
        table.add_row(Text(key), Text(what))
    evening.show(table)
    return evening.at


_DO: dict[str, Callable[[Evening, Card, int], int]] = {
    "": Evening.confirm,
    "y": Evening.confirm_new,
    "b": Evening.join,
    "x": Evening.discard,
    "u": Evening.undo,
    "a": Evening.together,
    "o": _why_order,
    "?": _keys,
    **FIXES,
}


def _heard(card: Card) -> Text:
    """The heard words, with uncertain ones in brackets so that no colour is needed."""
    return Text(
        " ".join(f"[{word.text}]" if word.doubt else word.text for word in card.words)
        or "(nothing)"
    )
