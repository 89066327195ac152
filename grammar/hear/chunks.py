"""Words to chunks: lexicon phrases, numbers, units, fillers; each word in one chunk.

spaCy's PhraseMatcher finds every phrase of the lexicon.  The cover that takes the most words with
the fewest and weightiest phrases is chosen by dynamic programming, in time linear in the words.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from threading import Lock

from grammar.hear.number_runs import IDENTIFIER_CUES, cut_run, ends_a_number, find_runs
from grammar.lexicon.lexicon import Lexicon, Term
from grammar.records import How
from grammar.spacy_alone import Doc, PhraseMatcher, Vocab

__all__ = [
    "Chunk",
    "Cover",
    "Found",
    "add_aliases",
    "choose_cover",
    "find_terms",
    "shared_vocab",
    "to_chunks",
]

Found = dict[int, list[tuple[int, Term]]]
"""First word -> (one past the last word, term) of every phrase found."""
Cover = list[tuple[int, int, Term | None]]
"""(first, one past the last, term) over all the words; a word alone where term is None."""

_STRANGE = "\u25a1"
"""Stands for any word outside the vocabulary, so that spaCy's string store never grows."""
_NUMBER_WEIGHT = 0.9
_MEASURED_WEIGHT = 1.5
"""A number before its unit: "inner | one inch nail", and not "inner one"."""
_FILLER_WEIGHT = 0.2
_UNITS = frozenset({"UNIT", "TIMEUNIT", "MONTH"})
_COUNTED = frozenset({"LESION", "OBJECT", "ACTION", "MATERIAL"})
_ADJECTIVES = frozenset({"SEVERITY", "TISSUE", "COURSE", "STATUS"})
_SMALL_WORDS = frozenset({"little", "wee", "good", "sound", "clean", "other"})
_THINGS = frozenset({"lesion", "foot", "leg", "claw", "toe"})
_PLACES = frozenset({"toe", "toes"})
_PLURALS = frozenset({"feet", "legs", "claws", "toes", "hinds", "fronts", "lesions", "hooves"})
_COUNT_MAX = 4
"""More than four of a thing are not counted at the chute: it is the number's last digit."""
_PAIR = 2
"""As many claws as a foot has, and as many hind feet as a cow."""
_COUNTED_FEET = frozenset({"feet", "legs"})
_DIGITS_OF_A_NUMBER = 3
"""Digits said one by one that are a number without the count behind it: "one oh six | three feet"."""
_ALL_OF = frozenset({"both", "all", "every"})
_COUNTED_AHEAD = 2
"""An adjective and the thing that is counted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chunk:
    """A stretch of words with one meaning."""

    tag: str
    first: int
    last: int
    text: str
    term: Term | None = None
    count: bool = False
    """A number word cut off the animal's number before it, as the count of what follows; or a number
    whose last word may be such a count."""

    @property
    def unsure(self) -> bool:
        """Whether it is a hedge: "looks like", "I'd say"."""
        return self.tag == "FILL" and self.term is not None and self.term.row.hedge


@lru_cache(maxsize=1)
def shared_vocab() -> Vocab:
    """Return the store of strings that matchers and documents share; no model is loaded."""
    return Vocab()


class _Matcher:
    """spaCy's matcher of a lexicon's phrases.

    It is given the phrases that begin with a word when that word is first heard: all of them, some
    forty thousand, would cost every command a second.
    """

    def __init__(self, lexicon: Lexicon) -> None:
        self._matcher = PhraseMatcher(shared_vocab(), attr="ORTH")
        self._waiting: dict[str, list[list[str]]] = {}
        self._known: set[str] = set()
        self._lock = Lock()
        for phrase in lexicon.terms:
            words = phrase.split()
            self._waiting.setdefault(words[0], []).append(words)
            self._known.update(words)

    def find(self, words: Sequence[str]) -> list[tuple[str, int, int]]:
        """Return (phrase, first word, one past the last) of every phrase in the words."""
        vocab = shared_vocab()
        doc = Doc(vocab, words=[word if word in self._known else _STRANGE for word in words])
        with self._lock:
            for word in self._waiting.keys() & set(words):
                for phrase in self._waiting.pop(word):
                    self._matcher.add(" ".join(phrase), [Doc(vocab, words=phrase)])
            matches = self._matcher(doc)
        return [(vocab.strings[key], first, last) for key, first, last in matches]


@lru_cache(maxsize=4)
def _matcher(lexicon: Lexicon) -> _Matcher:
    return _Matcher(lexicon)


def find_terms(words: Sequence[str], lexicon: Lexicon) -> Found:
    """Return every lexicon phrase in the words."""
    found: Found = {}
    if words:
        for phrase, first, last in _matcher(lexicon).find(words):
            found.setdefault(first, []).append((last, lexicon.terms[phrase]))
    return found


def add_aliases(
    found: Found, words: Sequence[str], aliases: Mapping[str, str], lexicon: Lexicon
) -> None:
    """Add a speaker's own phrases; an alias of numbers or of an unknown term is passed over."""
    taught = {tuple(heard.split()): meant for heard, meant in aliases.items()}
    longest = max((len(heard) for heard in taught), default=0)
    for first in range(len(words)):
        for last in range(first + 1, min(first + longest, len(words)) + 1):
            term = lexicon.alias(words[first:last], taught.get(tuple(words[first:last])))
            if term is not None:
                found.setdefault(first, []).insert(0, (last, term))


def choose_cover(words: Sequence[str], found: Found, lexicon: Lexicon) -> Cover:
    """Choose the best cover: from the end, the best score of every suffix."""
    count = len(words)
    best = [0.0] * (count + 1)
    step: list[tuple[int, Term | None]] = [(0, None)] * count
    for at in range(count - 1, -1, -1):
        best[at] = _word_weight(words, at, lexicon) + best[at + 1]
        step[at] = (at + 1, None)
        for end, phrase in found.get(at, ()):
            score = phrase.weight + best[end]
            if score > best[at]:
                best[at], step[at] = score, (end, phrase)
    cover: Cover = []
    at = 0
    while at < count:
        last, term = step[at]
        cover.append((at, last, term))
        at = last
    return cover


def _word_weight(words: Sequence[str], at: int, lexicon: Lexicon) -> float:
    word = words[at]
    if word in lexicon.number_words or word.isdecimal():
        after = words[at + 1] if at + 1 < len(words) else ""
        measured = after in lexicon.numbers.units or after in lexicon.numbers.time_units
        return _MEASURED_WEIGHT if measured else _NUMBER_WEIGHT
    return _FILLER_WEIGHT if word in lexicon.fillers else 0.0


def to_chunks(words: Sequence[str], cover: Cover, lexicon: Lexicon) -> list[Chunk]:
    """Join number words, tag the rest; every word is in exactly one chunk."""
    free = [False] * len(words)
    for first, _, term in cover:
        free[first] = term is None
    runs = dict(find_runs(words, free, lexicon.numbers))
    chunks: list[Chunk] = []
    skip = 0
    for first, last, term in cover:
        if first < skip:
            continue
        if first in runs:
            skip = runs[first]
            named = _cue_before(chunks) in IDENTIFIER_CUES  # "cow oh" is number nought
            sigh = list(words[first:skip]) == ["oh"] and chunks and not named
            tag = "FILL" if sigh else "NUM"
            chunks.append(_chunk(words, tag, first, skip))
        else:
            tag = term.tag if term is not None else _word_tag(words[first], lexicon)
            chunks.append(_chunk(words, tag, first, last, term))
    return _cut_numbers(chunks, words, lexicon)


def _chunk(
    words: Sequence[str], tag: str, first: int, last: int, term: Term | None = None
) -> Chunk:
    return Chunk(tag=tag, first=first, last=last, text=" ".join(words[first:last]), term=term)


def _word_tag(word: str, lexicon: Lexicon) -> str:
    numbers = lexicon.numbers
    tables = (
        ("UNIT", numbers.units),
        ("TIMEUNIT", numbers.time_units),
        ("WEEKDAY", numbers.weekdays),
        ("ORDINAL", numbers.ordinals),
        ("MONTH", numbers.months),
        ("FILL", lexicon.fillers),
    )
    return next((tag for tag, table in tables if word in table), "OTHER")


def _cut_numbers(chunks: list[Chunk], words: Sequence[str], lexicon: Lexicon) -> list[Chunk]:
    result: list[Chunk] = []
    for index, chunk in enumerate(chunks):
        if chunk.tag != "NUM":
            result.append(chunk)
            continue
        cue = _cue_before(result)
        runs = cut_run(
            words,
            (chunk.first, chunk.last),
            cue=cue,
            before_unit=_tag_after(chunks, index, lexicon) in _UNITS,
            numbers=lexicon.numbers,
        )
        result += [_chunk(words, "NUM", first, last) for first, last in runs]
        if (cue in IDENTIFIER_CUES or not cue) and len(runs) == 1:
            ahead = chunks[index + 1 : index + 1 + _COUNTED_AHEAD]
            result[-1:] = _without_count(result[-1], words, ahead, lexicon)
    return result


def _without_count(
    number: Chunk, words: Sequence[str], ahead: Sequence[Chunk], lexicon: Lexicon
) -> list[Chunk]:
    """ "four twelve | one small wart", "four oh six | two ulcers": the count is not the animal's."""
    last = number.last - 1
    said, rest = words[last], words[number.first : last]
    count = lexicon.numbers.digits.get(said, 0)
    if count and rest and ahead and ahead[0].tag == "COUNTEDINTALK":
        if not ends_a_number(rest, lexicon.numbers):
            return [replace(number, count=len(rest) > 1)]  # "three twenty | three times"
        return [_chunk(words, "NUM", number.first, last), _chunk(words, "NUM", last, number.last)]
    if not 0 < count <= _COUNT_MAX or not rest:
        return [number]
    ahead = [_as_counted(chunk) for chunk in ahead]
    adjective = bool(ahead) and (ahead[0].tag in _ADJECTIVES or ahead[0].text in _SMALL_WORDS)
    thing = ahead[1] if adjective and len(ahead) > 1 else ahead[0] if ahead else None
    if thing is None:
        return [number]
    open_ended = rest[-1] in lexicon.numbers.identifier_digits  # no number ends in "oh"
    pair = count == _PAIR and thing.tag == "FOOT" and _is_pair(thing) and not open_ended
    if not ends_a_number(rest, lexicon.numbers):
        # "four fifty | two tiny ulcers", "four forty | one small wart": the number waits for its
        # unit, so the count only may be one.
        # "Six hundred one crack": a number that ends in hundreds is as often said without a unit.
        hundreds = rest[-1] in lexicon.numbers.scales
        one = thing.text in _THINGS or ((adjective or hundreds) and thing.tag in _COUNTED)
        doubted = pair or _is_plural(thing, lexicon) if count > 1 else one
        tens = rest[-1] in lexicon.numbers.tens
        # "six three | two claws": a foot has two.
        paired = count == _PAIR and thing.text.partition(" ")[0] in lexicon.numbers.paired.words
        whole = tens or hundreds or paired or len(rest) >= _DIGITS_OF_A_NUMBER
        return [replace(number, count=doubted and whole)]
    if count == 1:
        counted = thing.text in _THINGS or (
            thing.tag in _COUNTED
            and not _is_plural(thing, lexicon)
            and (adjective or rest[-1] in lexicon.numbers.teens)
        )
    else:
        grouped = rest[-1] in lexicon.numbers.teens
        plural = _is_plural(thing, lexicon) and (grouped or thing.tag != "FOOT")
        counted = plural or (pair and grouped)
    if not counted:
        doubted = thing.tag in _COUNTED if count == 1 else pair or _is_plural(thing, lexicon)
        grouped = not {*lexicon.numbers.tens, *lexicon.numbers.teens}.isdisjoint(rest)
        return [replace(number, count=doubted and grouped)]
    tag = "NUM" if thing.tag == "OBJECT" else "FILL"
    tail = Chunk(tag=tag, first=last, last=number.last, text=said, count=True)
    return [_chunk(words, "NUM", number.first, last), tail]


def _is_pair(chunk: Chunk) -> bool:
    """ "Hind feet" are two: "five twenty | two hind feet"."""
    words = chunk.text.split()
    return chunk.term is not None and len(chunk.term.value) == _PAIR and words[0] not in _ALL_OF


def _as_counted(chunk: Chunk) -> Chunk:
    """ "One foot bad", "one claw amputated": a phrase counts by the thing that it begins with.

    Not "one toe ulcer", which names a lesion by its place; one that was repaired does.
    """
    first = chunk.text.split(" ")[0]
    repaired = chunk.term is not None and chunk.term.how is How.REPAIRED
    named = first in _THINGS or first in _PLURALS
    told = repaired or (chunk.tag == "LESION" and first not in _PLACES)
    return replace(chunk, tag="FILL", text=first) if named and told else chunk


def _is_plural(chunk: Chunk, lexicon: Lexicon) -> bool:
    """ "ulcers", "good feet"; but no "dermatitis"."""
    first, last = chunk.text.split(" ")[0], chunk.text.split(" ")[-1]
    if chunk.tag == "ACTION" and first in _COUNTED_FEET:
        return True  # "three | feet trimmed"
    if chunk.tag == "FOOT" and first != last:
        return False  # "cow one thirty five, hind feet"
    if chunk.term is not None and chunk.term.value == "no lesion":
        return last == "feet"
    if chunk.term is not None and chunk.term.value == chunk.text:
        return False  # "scissor claws": the one lesion's own name
    if last in _PLURALS:
        return first not in _ALL_OF and chunk.tag != "ACTION"  # "took a bit off the toes"
    return chunk.tag in _COUNTED and any(
        chunk.text.endswith(end) and chunk.text.removesuffix(end) in lexicon.terms
        for end in ("s", "es")
    )


def _cue_before(chunks: Sequence[Chunk]) -> str:
    """Return the tag of the nearest chunk before, past up to three fillers."""
    for chunk in chunks[:-5:-1]:
        if chunk.tag != "FILL":
            return chunk.tag
    return ""


def _tag_after(chunks: Sequence[Chunk], index: int, lexicon: Lexicon) -> str:
    """Return the tag after a number, past the `an`, `of an` of "half an inch"."""
    fraction = chunks[index].text.split()[-1] in lexicon.numbers.fractions
    for chunk in chunks[index + 1 : index + 4]:
        if not (fraction and chunk.text in ("a", "an", "of")):
            return chunk.tag
    return ""
