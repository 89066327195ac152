"""What may have been meant: terms that left-over words look and sound like, and what other hearings record."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from jellyfish import metaphone
from rapidfuzz import fuzz, process
from rapidfuzz.distance import Levenshtein
from sqlmodel import Session

from dictate.entry.values import MarkValues
from dictate.hearing.passed_over import UNSURE_WORD
from dictate.notes.context import context_of
from dictate.review.acts.words import facts_of, reader_for
from dictate.settings import Settings
from dictate.store.tables import Entry, Note, Visit
from grammar import load_lexicon, parse
from grammar.best import reading_rank
from grammar.hear.repair import gapless_distance
from grammar.hear.words import UNKNOWN, runs

_TAGS = frozenset({"LESION", "ACTION", "FOLLOWUP"})
_ALIKE_MIN = 62.0
"""Mean of two RapidFuzz ratios, 0 to 100: of the letters without gaps, and of their Metaphone keys."""
_LONGEST = 4
_MOST = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Meant:
    """One term that a stretch of heard words may have been."""

    heard: str
    term: str
    text: str
    """The whole note with the term in place of the heard words."""


def meant_instead(words: Sequence[str], leftover: Sequence[int]) -> list[Meant]:
    """Terms for each stretch of left-over words, most alike first; numbers are never touched."""
    number_words = load_lexicon().number_words
    found: list[Meant] = []
    for first, last in runs(leftover):
        heard = words[first:last]
        if len(heard) > _LONGEST or any(word in number_words for word in heard):
            continue
        for phrase in _alike("".join(heard)):
            text = " ".join((*words[:first], phrase, *words[last:]))
            found.append(Meant(heard=" ".join(heard), term=phrase, text=text))
    return found


def heard_instead(words: Sequence[str], marks: Iterable[MarkValues]) -> list[Meant]:
    """What other hearings have in the place of words that came to nothing."""
    return [
        Meant(
            heard=" ".join(words[mark.first : mark.last]),
            term=instead,
            text=" ".join((*words[: mark.first], instead, *words[mark.last :])),
        )
        for mark in marks
        if mark.id == UNSURE_WORD
        for instead in mark.candidates
    ]


def _alike(letters: str) -> list[str]:
    """The nearest phrases, one for each value."""
    by_letters = process.cdist([letters], list(_phrases().values()), scorer=fuzz.ratio)[0]
    by_sound = process.cdist([metaphone(letters)], _sounds(), scorer=fuzz.ratio)[0]
    scored = zip((by_letters + by_sound) / 2, _phrases(), strict=True)
    terms = load_lexicon().terms
    by_value: dict[object, str] = {}
    for alike, phrase in sorted(scored, key=lambda pair: (-pair[0], len(pair[1]), pair[1])):
        if alike < _ALIKE_MIN or len(by_value) == _MOST:
            break
        by_value.setdefault((terms[phrase].tag, terms[phrase].value), phrase)
    return list(by_value.values())


@cache
def _phrases() -> dict[str, str]:
    """Phrase to its letters without gaps."""
    terms = load_lexicon().terms.values()
    return {
        term.phrase: term.phrase.replace(" ", "")
        for term in terms
        if term.tag in _TAGS and not term.meant
    }


@cache
def _sounds() -> list[str]:
    return [metaphone(letters) for letters in _phrases().values()]


_TRIED = 6
"""Further ones differ in everything."""
_READINGS_MOST = 2
_REPLACED_MAX = 0.6
"""Distance of words of two hearings: from here one is no mis-hearing of the other."""


def other_readings(
    session: Session, settings: Settings, entry: Entry, note: Note, words: Sequence[str]
) -> list[Meant]:
    """Hearings that read as well as the given words do and record something else of the same animal.

    Another animal has a choice of its own, whatever else was heard.
    """
    hearings = [[word["text"] for word in one] for one in (note.words, *note.alternatives)]
    differences = {
        tuple(one): difference
        for one in hearings[:_TRIED]
        if (difference := _difference(words, one)) is not None
    }
    if not differences:
        return []
    context = context_of(session, session.get_one(Visit, entry.visit_id), settings)

    def rank(text: Sequence[str]) -> tuple[bool, int, int, int]:
        return reading_rank(
            parse(text, roster=context.roster, on=context.on, aliases=context.aliases)
        )

    worst, read = rank(words)[:2], reader_for(session, settings, entry)
    seen = [facts_of(entry.values)]
    found: list[Meant] = []
    for one, (heard, instead) in differences.items():
        if len(found) == _READINGS_MOST:
            break
        if rank(one)[:2] > worst:
            continue
        reads = read(" ".join(one))
        facts = facts_of(reads[0])
        same = len(reads) == 1 and reads[0].animal == entry.content["animal"]
        if same and facts not in seen:
            seen.append(facts)
            found.append(Meant(heard=heard, term=instead, text=" ".join(one)))
    return found


def _difference(words: Sequence[str], other: Sequence[str]) -> tuple[str, str] | None:
    """What one has for the other's words, with the word before it beside what only one has.

    None when the two differ nowhere or in several places: single words are put right in place; and
    when other words stand there that sound like something else, numbers apart.
    """
    changes = [one for one in Levenshtein.opcodes(words, other) if one.tag != "equal"]
    if not changes or any(one.src_end != next_.src_start for one, next_ in pairwise(changes)):
        return None
    first, last = changes[0], changes[-1]
    heard = words[first.src_start : last.src_end]
    instead = other[first.dest_start : last.dest_end]
    if UNKNOWN in instead:
        return None
    numbers = load_lexicon().number_words
    replaced = bool(heard and instead)
    if (
        replaced
        and not (numbers & set(heard) and numbers & set(instead))
        and gapless_distance(" ".join(heard), " ".join(instead)) > _REPLACED_MAX
    ):
        return None
    wider = int(not replaced and first.src_start > 0)
    return (
        " ".join(words[first.src_start - wider : last.src_end]),
        " ".join(other[first.dest_start - wider : last.dest_end]),
    )
