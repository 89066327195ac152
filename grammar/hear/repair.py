"""Mis-heard terms: the nearest lexicon phrase by sound and spelling, where one is near enough.

Only words that nothing else takes are repaired, and only to terms a slot can use; a number word is
never touched, nor anything in a remark.  The heard words stay visible and the slot is marked.

    distance = (spelling distance + sound distance) / 2

Spelling: RapidFuzz's normalised Levenshtein distance, insertions and deletions 1, substitutions 2.
Sound: the same over the Metaphone keys (jellyfish).  0 is the same, 1 has nothing in common.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from jellyfish import metaphone
from rapidfuzz import process
from rapidfuzz.distance import Levenshtein

from grammar.hear.chunks import is_plain
from grammar.hear.phrases import Cover, Found
from grammar.lexicon.lexicon import REPAIRABLE, Lexicon, Term, stand_in
from grammar.records import How

DISTANCE_MAX = {4: 0.1, 6: 0.17, 8: 0.21, 10: 0.25}
"""Letters heard (at least) -> a phrase further away than this is no candidate."""
SPELLING_DISTANCE_MAX = 0.42
"""Spelling alone may not be further away than this, unless the sound is the same."""
ALONE_MAX = 0.4
"""The same for a single word that is tried because the note does not add up."""
ALONE_SURE = 0.1
"""A single word that is no further from a phrase is that phrase, whatever stands beside it."""
WORD_MAX = 0.48
"""How far a word of a phrase may be from the word heard in its place."""
KNOWN_MAX = 0.33
"""The same for a word that everybody knows: "table" is no misheard "truck"."""
BESIDE_KNOWN_MAX = 0.4
"""The same beside words of the phrase that tell: "white lime disease"."""
MARGIN = 0.06
"""Candidates within this much of the nearest are told apart by what the note still needs."""
LETTERS_MIN = 4
"""Shorter stretches say too little to be repaired."""
WORDS_MAX = 3
"""The longest stretch of words that is repaired at once."""
GROUNDS = frozenset({"ANIMAL", "FOOT", "CLAW", "LESION", "ACTION", "ZONE", "FOLLOWUP", "REGION"})
"""Tags one of which must be heard exactly before anything else is repaired."""
_SITES = frozenset({"FOOT", "HALF", "CLAW"})
_STANDS_ALONE = frozenset({"ACTION", "CLAW", "FOOT"})
_SITE_WORDS = frozenset({"front", "fore", "hind", "rear", "left", "right"})
"""Words of a foot that mean nothing alone and are not to be lost."""
_COPULAS = frozenset({"is", "are", "has", "gone", "very"})
"""What a phrase begins with tells nothing where it is one of these: "is killing" is no "is long"."""
_PREFIXES = ("dis", "un", "in", "non", "out")
"""Syllables that turn a word into its contrary, or nearly so."""
STEM = 5
"""Letters behind such a syllable that tell a word."""
_FIRST_VOWEL = re.compile("^[AEIOU]")
_LETTERS = re.compile(r"[a-z']+")
"""What a repairable word is made of: no digits, no filler of the recogniser."""
WEIGHTS = (1, 1, 2)
"""Costs of an insertion, a deletion and a substitution."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A lexicon phrase near the heard words."""

    term: Term
    distance: float
    """0 the same, 1 nothing in common."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Index:
    """The repairable phrases by number of words and by sound."""

    by_count: dict[int, list[str]]
    by_sound: dict[str, list[str]]


@lru_cache(maxsize=4)
def _index(lexicon: Lexicon) -> _Index:
    by_count: dict[int, list[str]] = {}
    by_sound: dict[str, list[str]] = {}
    for phrase in repairable(lexicon):
        by_count.setdefault(len(phrase.split()), []).append(phrase)
        by_sound.setdefault(sound_of(phrase), []).append(phrase)
    return _Index(by_count=by_count, by_sound=by_sound)


def repairable(lexicon: Lexicon) -> Iterator[str]:
    """Yield the phrases that mis-heard words may be repaired to."""
    for phrase, term in lexicon.terms.items():
        if (
            may_be_meant(term)
            and len(phrase) >= LETTERS_MIN
            and phrase.split()[0] not in _COPULAS
            and countless(phrase.split(), lexicon)
        ):
            yield phrase


def may_be_meant(term: Term) -> bool:
    """Whether misheard words may be taken for a phrase: never for one that a row keeps exact."""
    exact = getattr(term.row, "exact", False)
    return term.tag in REPAIRABLE and term.how is not How.REPAIRED and not exact


def countless(words: Sequence[str], lexicon: Lexicon) -> bool:
    """Whether no number is among the words; "double sole" is none."""
    numbers = lexicon.number_words
    return not any(word in numbers and word not in lexicon.numbers.repeats for word in words)


@lru_cache(maxsize=16384)
def sound_of(text: str) -> str:
    """Return the Metaphone key of the words without their gaps."""
    return metaphone(text.replace(" ", ""))


@lru_cache(maxsize=8192)
def sounding_like(heard: str, lexicon: Lexicon) -> tuple[Candidate, ...]:
    """Return the phrases of one word that a heard word may have been, none of them a lesion."""
    found = (
        Candidate(term=lexicon.terms[phrase], distance=word_distance(heard, phrase))
        for phrase in _index(lexicon).by_count[1]
        if lexicon.terms[phrase].tag != "LESION" and not _contrary(heard, phrase)
    )
    return tuple(candidate for candidate in found if candidate.distance <= ALONE_MAX)


@lru_cache(maxsize=8192)
def nearest_sound(heard: str, lexicon: Lexicon) -> float:
    """Return how far a word is from the nearest single word of the trade, or of a number."""
    return min(
        word_distance(heard, word)
        for words in (_index(lexicon).by_count[1], lexicon.number_words)
        for word in words
    )


@lru_cache(maxsize=8192)
def near(heard: str, lexicon: Lexicon) -> tuple[Candidate, ...]:
    """Return the lexicon phrases near the heard words, nearest first."""
    index = _index(lexicon)
    sound = sound_of(heard)
    same_sound = index.by_sound.get(sound, ()) if len(sound) >= 2 else ()
    same_count = process.extract(
        heard,
        index.by_count.get(len(heard.split()), ()),
        scorer=Levenshtein.normalized_distance,
        scorer_kwargs={"weights": WEIGHTS},
        score_cutoff=SPELLING_DISTANCE_MAX,
        limit=12,
    )
    phrases = dict.fromkeys([*same_sound, *(phrase for phrase, _, _ in same_count)])
    found = (
        Candidate(term=lexicon.terms[phrase], distance=word_distance(heard, phrase))
        for phrase in phrases
        if not _contrary(heard, phrase)
    )
    limit = max((d for letters, d in DISTANCE_MAX.items() if len(heard) >= letters), default=0.0)
    known = heard in lexicon.everyday
    return tuple(
        sorted(
            (
                candidate
                for candidate in found
                if candidate.distance <= limit
                and not (known and _is_another_word(heard, candidate.term.phrase))
            ),
            key=lambda candidate: (candidate.distance, candidate.term.phrase),
        )
    )


def _is_another_word(heard: str, meant: str) -> bool:
    """ "Stopped" is no misheard "strapped", though near it; "cracked" is a form of "crack"."""
    return not meant.startswith(heard[:STEM]) and word_distance(heard, meant) > ALONE_SURE


def word_distance(heard: str, phrase: str) -> float:
    """Return how far the words are from a phrase: 0 the same, 1 nothing in common."""
    spelling = Levenshtein.normalized_distance(heard, phrase, weights=WEIGHTS)
    sound = Levenshtein.normalized_distance(sound_of(heard), sound_of(phrase), weights=WEIGHTS)
    return (spelling + sound) / 2


def gapless_distance(heard: str, phrase: str) -> float:
    """The same of the letters without gaps, for words that were cut elsewhere: "soul elsie", "sole ulcer"."""
    return word_distance(heard.replace(" ", ""), phrase.replace(" ", ""))


def same_but_first_vowel(heard: str, phrase: str) -> bool:
    """Whether words sound the same, whichever vowel they begin with: "all sir", "ulcer"."""
    one, other = (_FIRST_VOWEL.sub("A", sound_of(words)) for words in (heard, phrase))
    return one == other


def _contrary(heard: str, phrase: str) -> bool:
    """ "Both infected" is no "both disinfected" with a beginning lost."""
    said, meant = heard.split(), phrase.split()
    pairs = list(zip(said, meant, strict=True)) if len(said) == len(meant) else [(heard, phrase)]
    return any(
        one != other and one.removeprefix(prefix)[:STEM] == other[:STEM]
        for pair in pairs
        for one, other in (pair, pair[::-1])
        for prefix in _PREFIXES
        if one.startswith(prefix) and len(other) >= STEM
    )


def choose(candidates: Sequence[Candidate], present: frozenset[str]) -> Candidate:
    """Choose one: the nearest; among the nearly equal, one whose slot the note still lacks.

    present: tags of the terms already heard in the note.
    """
    nearest = candidates[0].distance
    close = [c for c in candidates if c.distance <= nearest + MARGIN]
    return min(close, key=lambda c: (c.term.tag in present, c.distance, c.term.phrase))


def repair(words: Sequence[str], found: Found, cover: Cover, lexicon: Lexicon) -> bool:
    """Add repaired terms to `found` for the words that nothing takes; say whether any was added.

    Talk in which no animal, site, lesion or action is heard as such is left alone: there repair
    would only make findings out of chatter.
    """
    lost = [
        first
        for first, _, term in cover
        if term is None
        and _repairable(words[first], lexicon)
        and not is_plain(words, first, lexicon)
    ]
    present = heard_as_such(cover)
    if not lost or present.isdisjoint(GROUNDS):
        return False
    added = False
    lost_at = frozenset(lost)
    for first, last in _stretches(words, lost, cover, lexicon):
        heard = " ".join(words[first:last])
        said = {(t.tag, t.value) for a, b, t in cover if t and first <= a and b <= last}
        alone = _alone(words[first:last], range(first, last), lost_at, lexicon)
        close = near(heard, lexicon) if len(heard) >= LETTERS_MIN else ()
        if close and (close[0].term.tag, close[0].term.value) in said:
            continue  # a word more or less tells nothing new: "white line diseased"
        candidates = [
            c
            for c in close
            if (c.term.tag, c.term.value) not in said
            and (alone is None or alone.phrase in c.term.phrase != alone.phrase)
            and _keeps_known(words, first, last, lost_at, c.term.phrase)
            and keeps_site(words[first:last], c.term, lexicon)
            and (c.term.value != "no lesion" or c.term.phrase.split()[0] == words[first])
            and _each_is_near(words[first:last], c.term.phrase.split(), lexicon)
        ]
        if candidates:
            best = choose(candidates, present)
            others = tuple(str(c.term.value) for c in candidates if c.term.value != best.term.value)
            term = stand_in(best.term, heard, How.REPAIRED, others[:3])
            found.setdefault(first, []).append((last, term))
            added = True
    return added


def _alone(
    heard: Sequence[str], places: Sequence[int], lost: frozenset[int], lexicon: Lexicon
) -> Term | None:
    """Return what the one lost word of a stretch is by itself, where the words beside it say enough.

    "Draned block" is drained and a block, "lefthind outer" the left hind and the outer claw.
    """
    unknown = [word for at, word in zip(places, heard, strict=True) if at in lost]
    known = [word for at, word in zip(places, heard, strict=True) if at not in lost]
    terms = [lexicon.terms.get(word) for word in known]
    if len(unknown) != 1 or not terms or not all(t and t.tag in _STANDS_ALONE for t in terms):
        return None
    found = near(unknown[0], lexicon) if len(unknown[0]) >= LETTERS_MIN else ()
    return found[0].term if found and found[0].distance <= ALONE_SURE else None


def heard_as_such(cover: Cover) -> frozenset[str]:
    """Return the tags of the terms that were not repaired."""
    return frozenset(t.tag for _, _, t in cover if t is not None and t.how is not How.REPAIRED)


def _keeps_known(
    words: Sequence[str], first: int, last: int, lost: frozenset[int], phrase: str
) -> bool:
    """Only the lost words may change: "soul ulcer" keeps its ulcer, "open the" no "open up"."""
    said = phrase.split()
    if len(said) == 1:
        return True
    known = [(at - first, words[at]) for at in range(first, last) if at not in lost]
    if len(said) == last - first:
        return all(said[i] == word for i, word in known)
    return all(word in "".join(said) for _, word in known)  # "intra digital", "thinsole"


def _each_is_near(heard: Sequence[str], meant: Sequence[str], lexicon: Lexicon) -> bool:
    """ "On the tongue" is no "on the truck": the word that differs has to be near by itself.

    A word that everybody knows must be nearer, but not beside words that tell: "white lime disease".
    """
    if len(heard) != len(meant):
        one, other = apart(heard, meant)
        if not lexicon.everyday.issuperset(one):
            return True
        limit = WORD_MAX if cut_up(one, other, meant) else KNOWN_MAX
        return gapless_distance(" ".join(one), " ".join(other)) <= limit
    unlike = [(one, other) for one, other in zip(heard, meant, strict=True) if one != other]
    told = len(unlike) == 1 and not lexicon.fillers.issuperset(set(heard) & set(meant))
    alone = len(unlike) == 1 and not told
    known_max = BESIDE_KNOWN_MAX if told else KNOWN_MAX
    return all(
        word_distance(one, other) <= known_max and not (alone and _is_another_word(one, other))
        if one in lexicon.everyday
        else word_distance(one, other) <= WORD_MAX
        for one, other in unlike
    )


def cut_up(one: Sequence[str], other: Sequence[str], phrase: Sequence[str]) -> bool:
    """ "Horizontal horn fish her": whether one word was heard as several beside the rest of its phrase."""
    return len(other) == 1 < min(len(one), len(phrase))


def apart(heard: Sequence[str], meant: Sequence[str]) -> tuple[list[str], list[str]]:
    """Return what is left of two phrases without the words that both begin or end with."""
    one, other = list(heard), list(meant)
    for end in (0, -1):
        while one and other and one[end] == other[end]:
            one.pop(end)
            other.pop(end)
    return one, other


def keeps_site(words: Sequence[str], term: Term, lexicon: Lexicon) -> bool:
    """A foot or claw that was heard is not swallowed by a phrase of another kind."""
    if not (_SITE_WORDS.intersection(words) <= set(term.phrase.split())):
        return term.tag in _SITES  # "front wart" is no "foot wart"
    heard = {known.tag for word in words if (known := lexicon.terms.get(word))}
    return term.tag in _SITES or heard.isdisjoint(_SITES)


def _repairable(word: str, lexicon: Lexicon) -> bool:
    """Whether a word that no term takes may be a mis-heard part of one."""
    numbers = lexicon.numbers
    return _LETTERS.fullmatch(word) is not None and not (
        word in lexicon.fillers
        or word in lexicon.number_words
        or word in numbers.units
        or word in numbers.time_units
        or word in numbers.weekdays
        or word in numbers.months
        or word in numbers.ordinals
    )


def _stretches(
    words: Sequence[str], lost: Sequence[int], cover: Cover, lexicon: Lexicon
) -> list[tuple[int, int]]:
    """Return the stretches to try: around each lost word, within whole chunks, without numbers."""
    edges = {first for first, _, _ in cover} | {len(words)}
    barred = lexicon.number_words | {
        words[at]
        for first, last, term in cover
        if term is not None and term.tag == "ANIMAL"
        for at in range(first, last)
    }
    stretches: dict[tuple[int, int], None] = {}
    for at in lost:
        for first in range(max(0, at - WORDS_MAX + 1), at + 1):
            for last in range(at + 1, min(first + WORDS_MAX, len(words)) + 1):
                inside = words[first:last]
                plain = barred.isdisjoint(inside) and all(map(_LETTERS.fullmatch, inside))
                if first in edges and last in edges and plain:
                    stretches[first, last] = None
    return list(stretches)
