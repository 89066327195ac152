"""Words as heard to words as read: hesitations stepped over, number words that were misheard.

"four um twelve" is four twelve; "cow for twelve" is four twelve where a number makes sense, and the
reading says which words it took by their sound.  The note keeps the words as heard: `restore` puts
them, and their places, back into a reading.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import lru_cache
from typing import Any, NamedTuple

from grammar.hear.number_sounds import find_sounds, is_number, sounds, whole_day, whole_number
from grammar.lexicon.lexicon import Lexicon
from grammar.records import Reading, Taken

__all__ = ["Spoken", "restore", "spoken"]

_ENDINGS = ("'s", "'ll")
_HAS_ENDING = re.compile(r"[a-z]*[aeiouy][a-z]*ing")
"""A word whose last letter is dropped by many: "walkin"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoken:
    """The words of a note as they are read."""

    words: list[str]
    at: list[int]
    """Where each stands among the words as heard."""
    ends: list[int]
    """One past the last word heard for it."""
    by_sound: dict[int, str]
    """Position in `words` of a word that was taken by its sound -> the words heard."""
    maybe: dict[int, str]
    """Position of a word that may be a number's last digit -> the digit."""
    changed: bool
    """Whether they are not the words as heard."""


def spoken(words: Sequence[str], end: int, lexicon: Lexicon) -> Spoken:
    """Read the words up to `end` (where a remark begins); the rest stays as it is."""
    if _unusual(lexicon).isdisjoint(words) and not any(word.endswith("'s") for word in words):
        return Spoken(
            words=list(words),
            at=list(range(len(words))),
            ends=list(range(1, len(words) + 1)),
            by_sound={},
            maybe={},
            changed=False,
        )
    pauses = lexicon.numbers.hesitations.words
    at = [i for i in range(len(words)) if i >= end or words[i] not in pauses]
    read = [
        (i, word) for i in at for word in (_parts(words, i, lexicon) if i < end else [words[i]])
    ]
    count = sum(i < end for i, _ in read)
    joined = _joined_numbers([word for _, word in read[:count]], lexicon)
    heard, said = [one.heard for one in joined], [one.said for one in joined]
    found = find_sounds(said, lexicon)
    places = [
        *((read[one.first][0], read[one.last - 1][0] + 1) for one in joined),
        *((i, i + 1) for i, _ in read[count:]),
    ]
    tail = [word for _, word in read[count:]]
    plain = [*(found.read.get(i, word) for i, word in enumerate(said)), *tail]
    taken = {i: heard[i] for i, word in enumerate(said) if i in found.read or heard[i] != word}
    taken |= _run_together(words, [read[one.first] for one in joined], lexicon)
    return Spoken(
        words=plain, at=[a for a, _ in places], ends=[b for _, b in places],
        by_sound=taken, maybe=found.maybe, changed=plain != list(words),
    )  # fmt: skip


def _run_together(
    words: Sequence[str], read: Sequence[tuple[int, str]], lexicon: Lexicon
) -> dict[int, str]:
    """Return the numbers read out of a word that begins with another: the two of "into weeks"."""
    table = lexicon.numbers.run_together
    return {
        at: words[i]
        for at, (i, word) in enumerate(read)
        if words[i] in table and word != words[i] and is_number(word, lexicon)
    }


class _Joined(NamedTuple):
    first: int
    last: int
    """One past the last word."""
    heard: str
    said: str


def _joined_numbers(words: Sequence[str], lexicon: Lexicon) -> list[_Joined]:
    """Return the words as heard and as said, where two words are one number: "nine tea"."""
    joined: list[_Joined] = []
    at = 0
    while at < len(words):
        whole = whole_number(words, at, lexicon) or whole_day(words, at, lexicon)
        end = at + (2 if whole else 1)
        joined.append(_Joined(at, end, " ".join(words[at:end]), whole or words[at]))
        at = end
    return joined


def _parts(words: Sequence[str], at: int, lexicon: Lexicon) -> list[str]:
    """ "Four oh seven's back right" is four oh seven; "toe's overgrown" is toe is overgrown; "tendays".

    Words that stand with their 's in the lexicon ("that's", "mortellaro's") stay whole.
    """
    word, after = words[at], words[at + 1] if at + 1 < len(words) else ""
    numbers = lexicon.numbers
    if word in numbers.run_together and after in numbers.time_units:
        return numbers.run_together[word].split()
    if word in numbers.before_numbers and is_number(after, lexicon):
        return numbers.before_numbers[word].split()
    joined = _joined(lexicon).get(word)
    if joined is None and not word.endswith(_ENDINGS):
        return [word]
    counted = word in lexicon.terms and (is_number(after, lexicon) or after in sounds(lexicon))
    if joined is not None and not counted:
        return list(joined)  # "wrapped em", but "em two" is M2
    stem = word.removesuffix("'s").removesuffix("'ll")
    ended = at > 0 and words[at - 1] in {*numbers.tens, *numbers.identifier_digits}
    if stem == word or (stem == "one" and not ended):  # but "twenty one's block"
        return [word]
    if is_number(stem, lexicon):
        return [stem]
    known = _single_words(lexicon)
    if stem not in known or word in known:
        return [word]
    return [stem, "is" if word.endswith("'s") else "will"]


@lru_cache(maxsize=4)
def _single_words(lexicon: Lexicon) -> frozenset[str]:
    """Return every word that some phrase of the lexicon is made of, and the fillers."""
    return lexicon.fillers | {word for phrase in lexicon.terms for word in phrase.split()}


@lru_cache(maxsize=4)
def _unusual(lexicon: Lexicon) -> frozenset[str]:
    """Words without which a note is read as it was heard."""
    numbers = lexicon.numbers
    tables = (
        numbers.hesitations.words, numbers.inner_sounds, numbers.foot_sounds, numbers.scales,
        numbers.endings, numbers.stage_sounds.words, numbers.run_together, numbers.before_numbers, numbers.day_sounds,
        numbers.no_sounds,
    )  # fmt: skip
    return frozenset(sounds(lexicon)).union(*tables, _joined(lexicon))


@lru_cache(maxsize=4)
def _joined(lexicon: Lexicon) -> Mapping[str, tuple[str, ...]]:
    """Return the number and the unit of "tendays", the words of "t'other", and "walking" of "walkin"."""
    units = lexicon.numbers.time_units
    counted = {
        f"{number}{unit}": (number, unit) for number in lexicon.number_words for unit in units
    }
    known = lexicon.everyday
    endings = [word for word in known if _HAS_ENDING.fullmatch(word)]
    clipped = {word[:-1]: (word,) for word in endings if word[:-1] not in known}
    clipped |= {f"{word[:-1]}'": (word,) for word in endings}
    short = {heard: tuple(read.split()) for heard, read in lexicon.short_forms.items()}
    return counted | clipped | short


# --- back to the words as heard ---------------------------------------------------------------


def restore(reading: Reading, read: Spoken, heard: Sequence[str]) -> Reading:
    """Return the reading with the places, and where they were quoted the words, as heard."""
    if not read.changed:
        return reading
    restored: Reading = _restore(replace(reading, words=()), read, heard)
    leftover = tuple(at for i in reading.leftover for at in range(read.at[i], read.ends[i]))
    return replace(
        restored, words=reading.words, leftover=leftover, taken=_apart(restored.taken, leftover)
    )


def _apart(taken: Sequence[Taken], leftover: Sequence[int]) -> tuple[Taken, ...]:
    """Of "toe's", read as two words, only the first says what took it, or that nothing did."""
    found: list[Taken] = []
    for one in taken:
        first = max(one.first, found[-1].last if found else 0)
        if first < one.last and first not in leftover:
            found.append(replace(one, first=first))
    return tuple(found)


def _restore(value: Any, read: Spoken, heard: Sequence[str]) -> Any:
    if isinstance(value, tuple):
        return tuple(_restore(one, read, heard) for one in value)
    if not is_dataclass(value) or isinstance(value, type):
        return value
    made = {
        field.name: _restore(getattr(value, field.name), read, heard) for field in fields(value)
    }
    first, last = made.get("first", -1), made.get("last", -1)
    if 0 <= first < last <= len(read.at):
        made["first"], made["last"] = read.at[first], read.ends[last - 1]
        if made.get("heard") == " ".join(read.words[first:last]):
            made["heard"] = " ".join(heard[made["first"] : made["last"]])
    return replace(value, **made)
