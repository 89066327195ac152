"""Words that sound like numbers: where "for" is four, "ate" eight and "nine tea" ninety.

Each is read as a number only where one makes sense, and the reading says which words it took so.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from grammar.lexicon.lexicon import Lexicon

__all__ = ["Sounds", "find_sounds", "is_number", "sounds", "whole_day", "whole_number"]

_ANIMAL_CUES = frozenset({"ANIMAL", "ENDING"})
_SMALL_CUES = frozenset({"ZONE", "M", "GRADE", "LOCOMOTION", "SCORE", "OUTOF"})
_CUE_WORDS_MAX = 3
_SIDES = frozenset({"left", "right", "near", "off"})
_SEVERAL = frozenset({"feet", "legs", "claws", "toes"})
"""Behind a side a foot is one: "off four feet" counts them, "off four foot" is the off fore."""
_SITES = frozenset({"FOOT", "HALF", "CLAW", "LESION", "REGION"})
_DENIED = frozenset({"LESION", "ACTION", "TISSUE", "OBJECT"})
_STAGE_MAX = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Sounds:
    """What words sound like, by their places."""

    read: dict[int, str]
    """Words taken for another by their sound -> the word."""
    maybe: dict[int, str]
    """Words left as they are that may be a number's last digit -> the digit: "three eighty for a trim"."""


def find_sounds(words: Sequence[str], lexicon: Lexicon) -> Sounds:
    """Find the words that are read by their sound."""
    read = _inside(words, lexicon) | _feet(words, lexicon) | _all_four(words, lexicon)
    read |= _joins(words, lexicon) | _stages(words, lexicon) | _denials(words, lexicon)
    maybe: dict[int, str] = {}
    if any(word in sounds(lexicon) for word in words):
        sure = [read.get(i, word) for i, word in enumerate(words)]
        read |= _by_sound(sure, maybe, lexicon)
    return Sounds(read=read, maybe=maybe)


def whole_number(words: Sequence[str], at: int, lexicon: Lexicon) -> str | None:
    """Return the number of two words that are one: "nine tea" is ninety, "six teen" sixteen.

    "For tea" is one only behind a cue or another number, "for teen" before a unit of time too.
    """
    numbers = lexicon.numbers
    if at + 1 == len(words) or words[at + 1] not in numbers.endings:
        return None
    stem = numbers.inner_sounds.get(words[at]) or sounds(lexicon).get(words[at])
    if stem and words[at] not in numbers.sounds:
        before = words[at - 1] if at else ""
        measured = at + 2 < len(words) and words[at + 2] in numbers.time_units
        cued = _cue(words, at, lexicon) in _ANIMAL_CUES
        if not (measured or cued or is_number(before, lexicon)):
            return None
    return numbers.stems.get(f"{stem or words[at]} {numbers.endings[words[at + 1]]}")


def whole_day(words: Sequence[str], at: int, lexicon: Lexicon) -> str | None:
    """Return the weekday of two words that are one: "fry day" is friday."""
    behind = words[at + 1] if at + 1 < len(words) else ""
    return lexicon.numbers.day_sounds.get(words[at]) if behind == "day" else None


@lru_cache(maxsize=4)
def sounds(lexicon: Lexicon) -> Mapping[str, str]:
    """Return the words that sound like numbers, wherever numbers are, and the number words they are."""
    return {**lexicon.numbers.sounds, **lexicon.numbers.little_sounds}


@lru_cache(maxsize=4)
def _beginnings(lexicon: Lexicon) -> frozenset[str]:
    """Words with which a foot, a claw or a lesion begins."""
    return frozenset(
        phrase.split()[0]
        for phrase, term in lexicon.terms.items()
        if term.tag in _SITES and phrase.split()[0] not in lexicon.light
    ) | {"left", "right", "both", "near", "off", "all"}


def _inside(words: Sequence[str], lexicon: Lexicon) -> dict[int, str]:
    """Return position -> number word for the words that are numbers only inside a number.

    Behind a cue of a small number none follows: "zone fore".
    """
    inner = lexicon.numbers.inner_sounds
    found: dict[int, str] = {}
    for i, word in enumerate(words):
        if word not in inner or not i:
            continue
        number_next = i + 1 < len(words) and is_number(words[i + 1], lexicon)
        cue = _cue(words, i, lexicon)
        if (number_next and (is_number(words[i - 1], lexicon) or cue in _ANIMAL_CUES)) or (
            cue in _SMALL_CUES and not number_next and inner[word] != "zero"
        ):
            found[i] = inner[word]
    return found


def _joins(words: Sequence[str], lexicon: Lexicon) -> dict[int, str]:
    """ "Five hundred in six": what sounds like the "and" of a number, but no "in two weeks"."""
    numbers, loose = lexicon.numbers, sounds(lexicon)
    found: dict[int, str] = {}
    for i, word in enumerate(words[:-1]):
        if word in numbers.and_sounds.words and i and words[i - 1] in numbers.scales:
            first, last = i, i + 1
            while first and (is_number(words[first - 1], lexicon) or words[first - 1] in loose):
                first -= 1
            while last < len(words) and is_number(words[last], lexicon):
                last += 1
            after = words[last] if last < len(words) else ""
            measured = after in numbers.time_units or after in numbers.units
            cued = first == 0 or _cue(words, first, lexicon) in _ANIMAL_CUES
            if cued and last > i + 1 and not measured and after not in _SEVERAL:
                found[i] = "and"
    return found


def _stages(words: Sequence[str], lexicon: Lexicon) -> dict[int, str]:
    """ "Hairy wart am two": what sounds like the M of a stage, behind digital dermatitis.

    "And" and "in" are one only where nothing follows that could be counted.
    """
    numbers = lexicon.numbers
    found: dict[int, str] = {}
    for i, word in enumerate(words[:-1]):
        if word not in numbers.stage_sounds.words or not _is_staged(words, i, lexicon):
            continue
        said = words[i + 1]
        meant = numbers.sounds.get(said) or numbers.little_sounds.get(said) or said
        after = words[i + 2] if i + 2 < len(words) else ""
        term = lexicon.terms.get(after)
        closed = not after or after in (*_SIDES, "both", "it") or (term and term.tag == "ACTION")
        open_ended = word not in lexicon.light and not is_number(after, lexicon)
        pointed = after in numbers.points.words
        if numbers.digits.get(meant, 9) <= _STAGE_MAX and (closed or open_ended or pointed):
            found[i] = "m"
    return found


def _is_staged(words: Sequence[str], at: int, lexicon: Lexicon) -> bool:
    """Whether digital dermatitis, whose stages these are, was said right before."""
    before = (lexicon.terms.get(" ".join(words[max(at - n, 0) : at])) for n in (1, 2))
    return any(t is not None and t.value == "digital dermatitis" for t in before)


def _is_due(words: Sequence[str], at: int, lexicon: Lexicon) -> bool:
    """Whether what is due was said right before: "recheck for weeks"."""
    before = (lexicon.terms.get(" ".join(words[max(at - n, 0) : at])) for n in (1, 2, 3))
    return any(
        t is not None and (t.tag == "FOLLOWUP" or getattr(t.row, "if_dated", None)) for t in before
    )


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


def _denials(words: Sequence[str], lexicon: Lexicon) -> dict[int, str]:
    """ "Know ulcer", "know block": what is denied is said right behind."""
    numbers = lexicon.numbers
    return {
        i: numbers.no_sounds[word]
        for i, word in enumerate(words)
        if word in numbers.no_sounds
        and (not i or words[i - 1] not in numbers.who_knows.words)
        and any(
            _is_denied(numbers.no_sounds[word], words[i + 1 : i + 1 + count], lexicon)
            for count in (1, 2, 3)
        )
    }


def _is_denied(no: str, words: Sequence[str], lexicon: Lexicon) -> bool:
    term = lexicon.terms.get(" ".join(words))
    return f"{no} {' '.join(words)}" in lexicon.terms or (term is not None and term.tag in _DENIED)


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
        not is_number(word, lexicon)
        and word not in _SEVERAL
        and word not in lexicon.light
        and word not in lexicon.numbers.time_units
        and word in lexicon.vocabulary
    )


def _by_sound(words: Sequence[str], maybe: dict[int, str], lexicon: Lexicon) -> dict[int, str]:
    """Return position -> number word for the words that are read as numbers by their sound.

    maybe: takes up the words that only may be.
    """
    found: dict[int, str] = {}
    at = 0
    while at < len(words):
        first = at
        while at < len(words) and (
            is_number(words[at], lexicon)
            or words[at] in sounds(lexicon)
            or _is_joined(words, at, first, lexicon)
        ):
            at += 1
        if at > first and any(word in sounds(lexicon) for word in words[first:at]):
            _read_stretch(words, (first, at), found, maybe, lexicon)
        at += at == first
    return found


def is_number(word: str, lexicon: Lexicon) -> bool:
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
    words: Sequence[str],
    stretch: tuple[int, int],
    found: dict[int, str],
    maybe: dict[int, str],
    lexicon: Lexicon,
) -> None:
    """Decide on the words of one stretch of number words and words that sound like them."""
    first, last = stretch
    numbers = lexicon.numbers
    meant = sounds(lexicon)
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
        if not any(is_number(word, lexicon) for word in words[first:last]):
            return
        # In the middle of a note only what stands between numbers, and no little word.
        for at in range(first + 1, last - 1):
            if words[at] in numbers.sounds and is_number(words[at - 1], lexicon):
                found[at] = meant[words[at]]
        return
    _read_identifier(words, stretch, found, maybe, lexicon)


def _read_small(
    words: Sequence[str], stretch: tuple[int, int], found: dict[int, str], lexicon: Lexicon
) -> None:
    """ "zone for", "m to", "m for point won": the first word, and the one behind a point."""
    first, last = stretch
    meant = sounds(lexicon)
    places = [first]
    if first + 2 < last and words[first + 1] in lexicon.numbers.points.words:
        places.append(first + 2)
    found.update({at: meant[words[at]] for at in places if words[at] in meant})


def _read_measured(
    words: Sequence[str], stretch: tuple[int, int], found: dict[int, str], lexicon: Lexicon
) -> None:
    """ "in for weeks", "ate days"; but "for two weeks" and "two to three weeks"."""
    first, last = stretch
    sure, little = lexicon.numbers.sounds, lexicon.numbers.little_sounds
    if words[last - 1] in sure:
        found[last - 1] = sure[words[last - 1]]
    alone = last - 1 == first and first > 0
    timed = alone and (
        words[first - 1] in lexicon.numbers.before_time.words or _is_due(words, first, lexicon)
    )
    if words[last - 1] in little and (timed or (alone and little[words[first]] == "two")):
        found[last - 1] = little[words[last - 1]]


def _read_identifier(
    words: Sequence[str],
    stretch: tuple[int, int],
    found: dict[int, str],
    maybe: dict[int, str],
    lexicon: Lexicon,
) -> None:
    """A number behind its cue or at the start of a note."""
    first, last = stretch
    numbers = lexicon.numbers
    meant, little = sounds(lexicon), numbers.little_sounds
    after = words[last] if last < len(words) else ""
    cued = bool(_cue(words, first, lexicon)) or words[first] in numbers.repeats
    real = [is_number(word, lexicon) for word in words[first:last]]
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
    if first < end < last and words[end - 1] in numbers.tens and _may_end(words, end, lexicon):
        maybe[end] = meant[words[end]]
    for at in range(first, end):
        if words[at] in meant and not _begins_phrase(words, at, lexicon):
            found[at] = meant[words[at]]


def _may_end(words: Sequence[str], at: int, lexicon: Lexicon) -> bool:
    """Whether "for" or "to" behind a ten may be its unit: "eighty for a trim", no "eighty for the vet".

    "Too" leads on to what it is too much of: "ninety, too fresh to block".
    """
    if words[at] == "too":
        return False
    after = words[at + 1]
    return after == "a" or (after in lexicon.vocabulary and after not in lexicon.fillers)


def _begins_phrase(words: Sequence[str], at: int, lexicon: Lexicon) -> bool:
    """ "cow one eight eight, too long": the word belongs to what follows."""
    phrases = (" ".join(words[at : at + count]) for count in (2, 3))
    return any(phrase in lexicon.terms for phrase in phrases)
