"""What one cell means: a number, a name, a lactation; or in plain words why it cannot be taken."""

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Sequence

from dictate.exchange.roster.cells import Cell
from dictate.exchange.roster.dates import Unfit
from dictate.exchange.roster.words import (
    headings,
    is_empty,
    is_no_animal,
    is_number_word,
    same_key,
    status_word,
)
from dictate.store.states import AnimalStatus

_FORMULA_TEXT = re.compile(r'="(.*)"', re.DOTALL)
_INVISIBLE = "Cf"
_BLANKS = " \t\r\n\u00a0\u2007\u202f\u3000"
"""Around a cell these mean nothing; other white space is a control character."""
_QUOTES = ("'", "’", "‘", "`", "´")
_SCIENTIFIC = re.compile(r"(\d)(?:[.,](\d*))?[eE]\+?(\d+)")
_L = "[A-Za-zÀ-ÖØ-öø-ÿ]"
_NUMBER = re.compile(
    rf"(?:{_L}{{1,4}}[./-]?|{_L}{{1,2}} )?\d+(?:[/-]\d+)*(?:[./-]?{_L}{{1,4}}| {_L}{{1,2}})?(?:[/-]\d+)*"
)
"""Digits, perhaps with some letters; a word after a blank is a remark and no part of a number."""
_COUNTED = re.compile(
    r"(?:([^\W\d_]+)[ .:]*)?(\d{1,4})(?:[.,]0+|\.|st|nd|rd|th|e|ste|de|er|[eèé]re|[eè]me|a|o)?(?: ([^\W\d_]+)\.?)?",
    re.ASCII | re.IGNORECASE,
)
"""A count as people write it: 3, 3.0, 3rd, 3e lactatie, lact. 3."""
_AFTER_WORD = re.compile(r"(?:#|([^\W\d_]+[.:]|(?:[^\W\d_]{2,} )?[^\W\d_]{2,}(?:[.:]| )))\s*(\d.*)")
"""`Cow 412`, `Nr. 412`, `Ko nr. 412`, `#412`: the word only says that a number follows."""
_FLOAT_END = re.compile(r"[.,]0+")
_PLAIN_TAG = re.compile(r"[A-Z]{2} ?\d{1,20}", re.ASCII)
"""How nearly all tags look; the others are looked at closely."""
_TAG = re.compile(r"[0-9A-Za-zÀ-ÖØ-öø-ÿ .,/\-*]+")
_FRACTION = re.compile(r"\d+[.,]\d+")
_GROUPED = re.compile(r"[1-9]\d{0,2}[.,]\d{3}")
_GROUP = 3
"""Digits behind a sign that parts thousands."""
_WITH_POINT = re.compile(r"\d+[.,]0")
_LACTATIONS_MAX = 30
_TICK = "X"
"""Alone it ticks a box, or strikes something out; nobody says that it is ten."""
_ROMAN = ("0", *"I II III IV V VI VII VIII IX X XI XII XIII XIV XV".split())
_PAIR = re.compile(r"(\d{2,}) ?[-–/&+] ?(\d{2,})", re.ASCII)
_SEVERAL = re.compile(r"\d ?[+&,;] ?\d", re.ASCII)
_NUMBER_MAX = 20
_DIGITS_PLAIN = 15


def bare(text: str) -> str:
    """A cell without what spreadsheets put around it; refuses what no list should hold.

    Raises:
        Unfit: a control character, or a letter that was lost before.
    """
    text = text.strip(_BLANKS)
    if text.isalnum() and text.isascii() and not text.isalpha():
        return text
    if text.isascii() and text.isprintable() and not text.startswith(("=", "'", "`", "#")):
        return "" if is_empty(text) else text
    if found := _FORMULA_TEXT.fullmatch(text):
        text = found[1]
    text = "".join(
        letter
        for letter in _without_quotes(text).strip(_BLANKS)
        if unicodedata.category(letter) != _INVISIBLE
    ).strip(_BLANKS)
    for letter in text:
        if unicodedata.category(letter) in ("Cc", "Cs", "Co", "Cn", "Zl", "Zp"):
            raise Unfit(f"holds a control character (U+{ord(letter):04X})")
        if letter == "\ufffd":
            raise Unfit("holds a letter that was lost when the file was saved")
    if text.startswith("="):
        raise Unfit("holds a formula: put its result there as text")
    if text.startswith("#") and text.endswith(("!", "?", "/A")) and text.upper() != "#N/A":
        raise Unfit(f"{text} is a spreadsheet's error")
    text = unicodedata.normalize("NFC", text)
    _refuse_spoilt(text)
    return "" if is_empty(text) else text


def _without_quotes(text: str) -> str:
    """A quote in front is how a spreadsheet writes `as text`; around the cell it is a habit."""
    if text.startswith(_QUOTES):
        text = text[1:]
        text = text[:-1] if text.endswith(_QUOTES) else text
    return text


def _refuse_spoilt(text: str) -> None:
    """UTF-8 that was once read as Windows letters: `KÃ¤the` was `Käthe`."""
    try:
        meant = text.encode("cp1252").decode("utf-8")
    except (UnicodeEncodeError, UnicodeDecodeError):
        return
    if meant != text:
        raise Unfit(f"holds letters that were spoilt when the file was saved: {text!r}, {meant!r}?")


def _plain(text: str) -> str:
    """Wide letters as plain ones, and the digits of every script as 0 to 9."""
    if text.isascii():
        return text
    text = unicodedata.normalize("NFKC", text)
    return "".join(str(unicodedata.digit(one)) if one.isdecimal() else one for one in text)


def number(text: str) -> str:
    """A management number, its zeros in front kept."""
    if text.isascii() and text.isdigit() and len(text) <= _DIGITS_PLAIN and text.strip("0"):
        return text
    text = _plain(text)
    if (found := _AFTER_WORD.fullmatch(text)) and (not found[1] or is_number_word(found[1])):
        text = found[2]
    if _SCIENTIFIC.fullmatch(text) and "+" in text:
        raise Unfit(f"{text!r} lost its digits in a spreadsheet: show the column as text")
    if text.startswith(("-", "−", "+")):
        raise Unfit(f"{text!r} has a sign in front")
    if re.fullmatch(r"\d+[.,]\d+", text):
        raise Unfit(f"{text!r} is a fraction")
    if is_no_animal(text):
        raise Unfit(f"{text!r} is no animal")
    if not any(letter.isdigit() for letter in text):
        raise Unfit(f"{text!r} holds no digit")
    if len(text) > _NUMBER_MAX:
        raise Unfit(f"is longer than {_NUMBER_MAX} letters")
    if not _NUMBER.fullmatch(text) or not text.strip("0 ./-"):
        several = _SEVERAL.search(text)
        why = "may be several animals: give each a line" if several else "is no management number"
        raise Unfit(f"{text!r} {why}")
    return text


def spellings(cells: Iterable[Cell]) -> dict[str, str]:
    """Numbers that a spreadsheet wrote otherwise to how they are meant: `412.0`, and `1,187` beside 1188.

    One alone may be a fraction, or an animal of a pen; so may all where a column has other fractions,
    or no plain number that is as long.
    """
    filled = {said for cell in cells if not is_empty(said := str(cell).strip().strip("'"))}
    broken = [said for said in filled if _FRACTION.fullmatch(said)]
    point = {said: said[:-2] for said in broken if _WITH_POINT.fullmatch(said)}
    grouped = {said: re.sub("[.,]", "", said) for said in broken if _GROUPED.fullmatch(said)}
    plain = [said for said in filled if said.isdecimal()]
    if len(point) + len(grouped) < len(broken) or len({said[-4] for said in grouped}) > 1:
        return {}
    meant = point if len(point) > 1 else {}
    if len(grouped) > 1 and any(len(said) > _GROUP for said in (*plain, *meant.values())):
        meant |= grouped
    times = Counter([*plain, *meant.values()])
    return {said: number for said, number in meant.items() if times[number] == 1}


def several_in_one(numbers: Sequence[str]) -> set[int]:
    """Places of numbers that may be several animals, `101-110` or `412/415`; none where most are so written."""
    found = {
        at
        for at, said in enumerate(numbers)
        if (pair := _PAIR.fullmatch(said)) and len(pair[1]) == len(pair[2]) and pair[1] < pair[2]
    }
    return found if 2 * len(found) <= len(numbers) else set()


def eid(text: str) -> str:
    """Fifteen digits, however they are spaced."""
    text = _plain(text)
    if found := _SCIENTIFIC.fullmatch(text.replace(" ", "")):
        fraction, power = found[2] or "", int(found[3])
        if power == 14 and len(fraction.rstrip("0")) >= 12:
            return (found[1] + fraction).ljust(15, "0")[:15]
        raise Unfit(
            f"{text!r} lost its digits in a spreadsheet: take the list out once more with this"
            " column as text"
        )
    digits = re.sub(r"[\s.,/()\-]+", "", _FLOAT_END.sub("", text) if _is_float(text) else text)
    if not (digits.isascii() and digits.isdigit()):
        raise Unfit(f"{text!r} is no electronic number: it has 15 digits and nothing else")
    if len(digits) == 14:
        raise Unfit(f"{text!r} has 14 digits: a zero in front may be lost; show the column as text")
    if len(digits) != 15:
        raise Unfit(f"{text!r} has {len(digits)} digits, an electronic number has 15")
    if digits.endswith("0" * 9):
        raise Unfit(f"{text!r} ends in zeros: its digits were lost in a spreadsheet")
    return digits


def _is_float(text: str) -> bool:
    return re.fullmatch(r"\d{14,16}[.,]0+", text) is not None


def ear_tag(text: str) -> str:
    """A national ear tag as it is printed, single spaces."""
    text = " ".join(_plain(text).split())
    if _PLAIN_TAG.fullmatch(text):
        return text
    if _SCIENTIFIC.fullmatch(text):
        raise Unfit(f"{text!r} lost its digits in a spreadsheet: show the column as text")
    if re.fullmatch(r"\d+[.,]0", text):
        text = text[:-2]
    if not any(letter.isdigit() for letter in text) or not _TAG.fullmatch(text):
        raise Unfit(f"{text!r} is no ear tag")
    if text.startswith("-"):
        raise Unfit(f"{text!r} has a sign in front")
    if len(text) > 30:
        raise Unfit("is longer than 30 letters")
    return text


def name(text: str) -> str:
    """A name."""
    if len(text) > 60:
        raise Unfit("is longer than 60 letters")
    return " ".join(text.split())


def lactation(text: str) -> int:
    """How many times she has calved."""
    plain = _plain(text)
    if plain in _ROMAN and plain != _TICK:
        return _ROMAN.index(plain)
    whole = _COUNTED.fullmatch(plain)
    if not whole or not all(
        headings().get(same_key(word)) == "lactation" for word in (whole[1], whole[3]) if word
    ):
        raise Unfit(f"{text!r} is no whole number")
    if int(whole[2]) > _LACTATIONS_MAX:
        raise Unfit(f"{text!r} is more lactations than a cow can have")
    return int(whole[2])


def status(text: str) -> AnimalStatus:
    """Present, sold, dead or off the roster, in the words of several languages.

    A date or a remark in brackets beside the word does not matter.
    """
    if "?" in text:
        raise Unfit(f"{text!r} is in doubt")
    found = status_word(text)
    if found is None:
        raise Unfit(
            f"{text!r} is not known: present, sold, dead or off the roster"
            " (leave the column out if it says something else)"
        )
    return AnimalStatus(found)
