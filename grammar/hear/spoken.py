"""Words as heard to words as read: hesitations stepped over, number words that were misheard.

"four um twelve" is four twelve; "cow for twelve" is four twelve where a number makes sense, and the
reading says which words it took by their sound.  The note keeps the words as heard: `restore` puts
them, and their places, back into a reading.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import lru_cache
from typing import Any

from grammar.lexicon.lexicon import Lexicon
from grammar.records import Reading, Taken

__all__ = ["Spoken", "restore", "spoken"]

_ANIMAL_CUES = frozenset({"ANIMAL", "ENDING"})
_SMALL_CUES = frozenset({"ZONE", "M", "GRADE", "LOCOMOTION", "SCORE", "OUTOF"})
_CUE_WORDS_MAX = 3
_SIDES = frozenset({"left", "right", "near", "off"})
_SEVERAL = frozenset({"feet", "legs", "claws", "toes"})
"""Behind a side a foot is one: "off four feet" counts them, "off four foot" is the off fore."""
_SITES = frozenset({"FOOT", "HALF", "CLAW", "LESION", "REGION"})
_BEFORE_TIME = frozenset({"in", "after", "about", "another", "every", "within"})
"""What stands before an interval: "in for weeks" is in four weeks, "lame for weeks" is not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoken:
    """The words of a note as they are read."""

    words: list[str]
    at: list[int]
    """Where each stands among the words as heard."""
    by_sound: dict[int, str]
    """Position in `words` of a word that was taken by its sound -> the word heard."""
    changed: bool
    """Whether they are not the words as heard."""


def spoken(words: Sequence[str], end: int, lexicon: Lexicon) -> Spoken:
    """Read the words up to `end` (where a remark begins); the rest stays as it is."""
    if _unusual(lexicon).isdisjoint(words) and not any(word.endswith("'s") for word in words):
        return Spoken(words=list(words), at=list(range(len(words))), by_sound={}, changed=False)
    pauses = lexicon.numbers.hesitations.words
    at = [i for i in range(len(words)) if i >= end or words[i] not in pauses]
    read = [
        (i, word) for i in at for word in (_parts(words[i], lexicon) if i < end else [words[i]])
    ]
    at, kept = [i for i, _ in read], [word for _, word in read]
    count = sum(i < end for i in at)
    heard = kept[:count]
    by_sound = _inside(heard, lexicon) | _feet(heard, lexicon) | _all_four(heard, lexicon)
    if not _sounds(lexicon).isdisjoint(heard):
        sure = [by_sound.get(i, word) for i, word in enumerate(heard)]
        by_sound |= _by_sound(sure, lexicon)
    plain = [by_sound.get(i, word) for i, word in enumerate(kept)]
    said = {i: kept[i] for i in by_sound}
    return Spoken(words=plain, at=at, by_sound=said, changed=plain != list(words))


def _parts(word: str, lexicon: Lexicon) -> list[str]:
    """ "Four oh seven's back right" is four oh seven; "toe's overgrown" is toe is overgrown; "tendays".

    Words that stand with their 's in the lexicon ("that's", "mortellaro's") stay whole.
    """
    joined = _joined(lexicon).get(word)
    if joined is not None:
        return list(joined)
    stem = word.removesuffix("'s").removesuffix("'ll")
    if stem in (word, "one"):
        return [word]
    if _is_number(stem, lexicon):
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
def _sounds(lexicon: Lexicon) -> frozenset[str]:
    return frozenset({**lexicon.numbers.sounds, **lexicon.numbers.little_sounds})


@lru_cache(maxsize=4)
def _unusual(lexicon: Lexicon) -> frozenset[str]:
    """Words without which a note is read as it was heard."""
    numbers = lexicon.numbers
    tables = (numbers.hesitations.words, numbers.inner_sounds, numbers.foot_sounds)
    return _sounds(lexicon).union(*tables, _joined(lexicon))


@lru_cache(maxsize=4)
def _joined(lexicon: Lexicon) -> Mapping[str, tuple[str, str]]:
    """Return the number and the unit of "tendays"."""
    units = lexicon.numbers.time_units
    return {f"{number}{unit}": (number, unit) for number in lexicon.number_words for unit in units}


@lru_cache(maxsize=4)
def _beginnings(lexicon: Lexicon) -> frozenset[str]:
    """Words with which a foot, a claw or a lesion begins."""
    return frozenset(
        phrase.split()[0]
        for phrase, term in lexicon.terms.items()
        if term.tag in _SITES and phrase.split()[0] not in lexicon.light
    ) | {"left", "right", "both", "near", "off", "all"}


def _inside(words: Sequence[str], lexicon: Lexicon) -> dict[int, str]:
    """Return position -> number word for the words that are numbers only inside a number."""
    inner = lexicon.numbers.inner_sounds
    return {
        i: inner[word]
        for i, word in enumerate(words[:-1])
        if word in inner
        and i
        and _is_number(words[i + 1], lexicon)
        and (_is_number(words[i - 1], lexicon) or _cue(words, i, lexicon) in _ANIMAL_CUES)
    }


def _feet(words: Sequence[str], lexicon: Lexicon) -> dict[int, str]:
    """ "right for, sand crack": a word behind a side, unless it leads on or a number follows."""
    table = lexicon.numbers.foot_sounds
    return {
        i: table[word]
        for i, word in enumerate(words)
        if word in table
        and i
        and words[i - 1] in _SIDES
        and (i + 1 == len(words) or _may_follow_a_foot(words[i + 1], lexicon))
    }


def _all_four(words: Sequence[str], lexicon: Lexicon) -> dict[int, str]:
    """ "All for feet", "all fore clean": as many as she has."""
    table = lexicon.numbers.all_sounds
    return {
        i: table[word]
        for i, word in enumerate(words)
        if word in table
        and i
        and words[i - 1] == "all"
        and (i + 1 == len(words) or words[i + 1] in _SEVERAL or words[i + 1] in lexicon.terms)
    }


def _may_follow_a_foot(word: str, lexicon: Lexicon) -> bool:
    return (
        not _is_number(word, lexicon)
        and word not in _SEVERAL
        and word not in lexicon.light
        and word not in lexicon.numbers.time_units
        and word in lexicon.vocabulary
    )


def _by_sound(words: Sequence[str], lexicon: Lexicon) -> dict[int, str]:
    """Return position -> number word for the words that are read as numbers by their sound."""
    found: dict[int, str] = {}
    at = 0
    while at < len(words):
        first = at
        while at < len(words) and (
            _is_number(words[at], lexicon)
            or words[at] in _sounds(lexicon)
            or _is_joined(words, at, first, lexicon)
        ):
            at += 1
        if at > first and not _sounds(lexicon).isdisjoint(words[first:at]):
            _read_stretch(words, (first, at), found, lexicon)
        at += at == first
    return found


def _is_number(word: str, lexicon: Lexicon) -> bool:
    return word in lexicon.number_words or word.isdecimal()


def _is_joined(words: Sequence[str], at: int, first: int, lexicon: Lexicon) -> bool:
    return words[at] == "and" and at > first and words[at - 1] in lexicon.numbers.scales


def _cue(words: Sequence[str], at: int, lexicon: Lexicon) -> str:
    """Return the tag of the cue that ends right before a word, past little words of no meaning."""
    for back in range(3):
        end = at - back
        for first in range(max(0, end - _CUE_WORDS_MAX), end):
            term = lexicon.terms.get(" ".join(words[first:end]))
            if term is not None and term.tag in _ANIMAL_CUES | _SMALL_CUES:
                return term.tag
        if end < 1 or words[end - 1] not in ("is", "it's", "that's", "number", "of", "was"):
            break
    return ""


def _read_stretch(
    words: Sequence[str], stretch: tuple[int, int], found: dict[int, str], lexicon: Lexicon
) -> None:
    """Decide on the words of one stretch of number words and words that sound like them."""
    first, last = stretch
    numbers = lexicon.numbers
    meant = {**numbers.sounds, **numbers.little_sounds}
    cue = _cue(words, first, lexicon)
    after = words[last] if last < len(words) else ""
    if cue in _SMALL_CUES:
        if after != "the":
            _read_small(words, stretch, found, lexicon)
        return
    if after in numbers.time_units or after in numbers.units:
        _read_measured(words, stretch, found, lexicon)
        return
    if not cue and first > 0 and words[first] not in numbers.repeats:
        if not any(_is_number(word, lexicon) for word in words[first:last]):
            return
        # In the middle of a note only what stands between numbers, and no little word.
        for at in range(first + 1, last - 1):
            if words[at] in numbers.sounds and _is_number(words[at - 1], lexicon):
                found[at] = meant[words[at]]
        return
    _read_identifier(words, stretch, found, lexicon)


def _read_small(
    words: Sequence[str], stretch: tuple[int, int], found: dict[int, str], lexicon: Lexicon
) -> None:
    """ "zone for", "m to", "m for point won": the first word, and the one behind a point."""
    first, last = stretch
    meant = {**lexicon.numbers.sounds, **lexicon.numbers.little_sounds}
    places = [first]
    if first + 2 < last and words[first + 1] in lexicon.numbers.points.words:
        places.append(first + 2)
    found.update({at: meant[words[at]] for at in places if words[at] in meant})


def _read_measured(
    words: Sequence[str], stretch: tuple[int, int], found: dict[int, str], lexicon: Lexicon
) -> None:
    """ "in for weeks", "ate days"; but "for two weeks" and "two to three weeks"."""
    first, last = stretch
    sounds, little = lexicon.numbers.sounds, lexicon.numbers.little_sounds
    if words[last - 1] in sounds:
        found[last - 1] = sounds[words[last - 1]]
    alone = last - 1 == first and first > 0 and words[first - 1] in _BEFORE_TIME
    if words[last - 1] in little and alone:
        found[last - 1] = little[words[last - 1]]


def _read_identifier(
    words: Sequence[str], stretch: tuple[int, int], found: dict[int, str], lexicon: Lexicon
) -> None:
    """A number behind its cue or at the start of a note."""
    first, last = stretch
    numbers = lexicon.numbers
    sounds, little = numbers.sounds, numbers.little_sounds
    meant = {**sounds, **little}
    after = words[last] if last < len(words) else ""
    cued = bool(_cue(words, first, lexicon)) or words[first] in numbers.repeats
    real = [_is_number(word, lexicon) for word in words[first:last]]
    if not any(real) and not (cued and (after in _beginnings(lexicon))):
        return
    if not cued and words[first] in little and sum(real) < 2 - (first == 0):
        return
    end = last
    # A little word at the end leads on ("four twelve to the left hind") unless a site follows it.
    while end > first and words[end - 1] in little and after and after not in _beginnings(lexicon):
        if end - 1 > first and words[end - 2] in numbers.identifier_digits:
            break  # "seven oh for": no number ends in oh
        end -= 1
    for at in range(first, end):
        if words[at] in meant and not _begins_phrase(words, at, lexicon):
            found[at] = meant[words[at]]


def _begins_phrase(words: Sequence[str], at: int, lexicon: Lexicon) -> bool:
    """ "cow one eight eight, too long": the word belongs to what follows."""
    phrases = (" ".join(words[at : at + count]) for count in (2, 3))
    return any(phrase in lexicon.terms for phrase in phrases)


# --- back to the words as heard ---------------------------------------------------------------


def restore(reading: Reading, read: Spoken, heard: Sequence[str]) -> Reading:
    """Return the reading with the places, and where they were quoted the words, as heard."""
    if not read.changed:
        return reading
    restored: Reading = _restore(replace(reading, words=()), read, heard)
    leftover = tuple(read.at[i] for i in reading.leftover)
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
        made["first"], made["last"] = read.at[first], read.at[last - 1] + 1
        if made.get("heard") == " ".join(read.words[first:last]):
            made["heard"] = " ".join(heard[made["first"] : made["last"]])
    return replace(value, **made)
