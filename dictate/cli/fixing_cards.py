"""Fixes of the evening in the terminal: each asks for what it needs, then changes the card's entry."""

from collections.abc import Callable
from string import ascii_lowercase

from rich.text import Text

from dictate.cli.evening import Evening
from dictate.entry.terms import FOOT_NAMES
from dictate.entry.wording import say_items
from dictate.errors import ReviewError
from dictate.review import acts
from dictate.review.card import text_to_type
from dictate.review.changes import number_settles
from dictate.review.in_place import InPlace, correcting
from dictate.review.line import Line
from dictate.review.showing import Card, further_animals
from dictate.review.written_changes import changes_from_text

_RIGHT, _LEFT, _OUT, _ROOM, _END, _LEAVE = (
    (">", "\x1b[C"),
    ("<", "\x1b[D"),
    ("-", "\x1b[3~"),
    ("_", " "),
    ("$", "\x1b[F"),
    (".", "\x1b"),
)
"""Keys while words are put right: one for any keyboard or file, and the one that the page has."""
_RUB_OUT = ("\x7f", "\x08")


def _number(evening: Evening, card: Card, after: int) -> int:
    """Letters take a number of the list; digits narrow it; Enter takes the digits as they are.

    A letter behind a digit confirms, when nothing but the animal was in doubt: the one vouches for the other.
    """
    begins = ""
    while True:
        with evening.database.reading() as session:
            found = further_animals(session, evening.at, begins=begins)
        evening.show(
            "  ".join(f"{key} {one}" for key, one in zip(ascii_lowercase, found, strict=False))
            or "None on the roster."
        )
        pressed = evening.key(f"Letter, digit or Enter [{begins}]: ").strip().lower()
        if pressed.isdecimal():
            begins += pressed
            continue
        place = ascii_lowercase.find(pressed) if pressed else -1
        number = found[place] if 0 <= place < len(found) else begins if not pressed else ""
        if number and pressed and begins and number_settles(card.values):
            evening.number(card, number, then_confirm=True)
            return after
        if number:
            evening.number(card, number)
        return evening.at


def _words(evening: Evening, card: Card, after: int) -> int:
    """Single words, each with what may have been said there; Enter confirms what they then record."""
    with evening.database.reading() as session:
        correct = correcting(session, evening.settings, evening.at)
        here = correct.look()
        while True:
            evening.show(_one_place(here))
            pressed = evening.key(
                f"Digit, letters [{here.typed}], < > $ _ - or . to leave; Enter: "
            ).lower()
            line = here.line
            if pressed in _LEAVE:
                return evening.at
            if not pressed and not here.typed:
                break
            if pressed.isdecimal() and 0 < int(pressed) <= len(here.offers):
                line = here.offers[int(pressed) - 1].put_into(line)
            elif not pressed:
                line = line.put(here.typed)
            elif here.typed or pressed.isalpha():
                typed = here.typed[:-1] if pressed in _RUB_OUT else here.typed + pressed
                here = correct.look(
                    text=line.text, at=line.at, room=line.room, find=False, typed=typed
                )
                continue
            else:
                line = _moved(line, pressed)
            here = correct.look(
                text=line.text, at=line.at, room=line.room, find=line.words != here.line.words
            )
    evening.typed(card, here.line.text, then_confirm=here.can_confirm)
    return after if here.can_confirm else evening.at


def _moved(line: Line, pressed: str) -> Line:
    if pressed in _OUT:
        return line.drop()
    if pressed in _ROOM:
        return line.make_room()
    if pressed in _END:
        return line.go(len(line.words))
    return line.go(line.at + (pressed in _RIGHT) - (pressed in _LEFT))


def _one_place(here: InPlace) -> Text:
    words = [f"[{word.text}]" if word.doubt else word.text for word in here.words]
    at = here.line.at
    if here.line.room:
        words.insert(at, ">…<")
    else:
        words[at] = f">{words[at]}<"
    offers = "  ".join(f"{key} {one.text}" for key, one in enumerate(here.offers, start=1))
    return Text(f"{' '.join(words)}\n{offers}\nreads  {here.sentence}")


def _slots(evening: Evening, card: Card, _after: int) -> int:
    text = evening.line("Slots: ", "")
    if text.strip():
        evening.amend(card, changes_from_text(card.values, _slot_texts(text)))
    return evening.at


def _move(evening: Evening, card: Card, _after: int) -> int:
    """Everything of one foot goes to another; a finding alone is moved with `f`."""
    feet = dict.fromkeys(
        [one.foot for one in card.values.findings if one.foot]
        + [one.foot for one in card.values.actions if one.foot]
    )
    if not feet:
        raise ReviewError("no foot was named", remedy="Set it with f: foot=LH")
    was: str = next(iter(feet))
    if len(feet) > 1:
        was = evening.line(f"From ({', '.join(feet)}): ", "").strip().upper()
    now = (
        evening.line(f"From {FOOT_NAMES.get(was, was)} to ({', '.join(FOOT_NAMES)}): ", "")
        .strip()
        .upper()
    )
    changes = {
        f"{name}.{at}.foot": now
        for name in ("findings", "actions")
        for at, one in enumerate(getattr(card.values, name))
        if one.foot == was
    }
    if now and changes:
        evening.amend(card, changes)
    return evening.at


def _type(evening: Evening, card: Card, _after: int) -> int:
    text = evening.line("Words: ", text_to_type(card.words)[0])
    if text.strip():
        evening.typed(card, text)
    return evening.at


def _split(evening: Evening, card: Card, _after: int) -> int:
    items = say_items(card.values)
    evening.show("\n".join(f"{at:>5}  {said}" for at, (*_, said) in enumerate(items, start=1)))
    asked = evening.line("Which go to the other animal, e.g. 1 3: ", "").replace(",", " ").split()
    chosen = {
        items[int(one) - 1][:2] for one in asked if one.isdecimal() and 0 < int(one) <= len(items)
    }
    if not asked:
        return evening.at
    animal = evening.line("Number of the other animal: ", "")
    done = acts.split(
        evening.database, evening.settings, evening.at, chosen, animal,
        by=evening.by, version=card.entry.version,
    )  # fmt: skip
    return evening.tell(done)


def _slot_texts(line: str) -> list[str]:
    """`lesion=sole ulcer zone=4` as its slots; a value goes on to the next `slot=`."""
    texts: list[str] = []
    for word in line.split():
        if "=" in word or not texts:
            texts.append(word)
        else:
            texts[-1] += f" {word}"
    return texts


FIXES: dict[str, Callable[[Evening, Card, int], int]] = {
    "n": _number,
    "w": _words,
    "f": _slots,
    "m": _move,
    "t": _type,
    "s": _split,
}
"""Keys that change the card's entry; each gives the entry to show afterwards."""
