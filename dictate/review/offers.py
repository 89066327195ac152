"""Mis-hearings that fixes suggest to remember, kept until a person says yes or no, whatever ends before.

Numbers are never learnt: a wrong animal number is a matter of hearing, and an alias would put findings
on the wrong animal later.
"""

import logging
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import Any

from pydantic import TypeAdapter, ValidationError
from rapidfuzz.distance import Levenshtein

from dictate.entry.values import EntryValues
from dictate.errors import StoreError
from dictate.written import write_whole
from grammar import load_lexicon, split_text
from grammar.hear.repair import gapless_distance

log = logging.getLogger(__name__)
FILE_NAME = "offers.json"
_LONGEST = 4
"""Words of a mis-hearing; a longer one is another sentence, not another way to hear a term."""
_CONTENT = frozenset({"LESION", "ACTION", "FOLLOWUP", "MATERIAL", "TISSUE", "COURSE", "STATUS"})
"""Kinds of terms that say what was found or done; feet, times and the like are never learnt."""
MISHEARD_MAX = 0.5
"""Distance from which one is no mis-hearing of the other (own examples: `wall sir` for ulcer 0.46, `foul` for outer 0.78)."""
_WIDER = ((0, 0), (1, 0), (0, 1), (1, 1), (2, 0), (0, 2))
"""Words to the left and right that may belong to the term, fewest first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A mis-hearing that a fix suggests to remember."""

    heard: str
    term: str
    trimmer_id: int = 0
    """Who spoke."""


_FILE = TypeAdapter(list[Offer])


def offers_for_text(heard: Sequence[str], typed: str) -> list[Offer]:
    """Where typed words replace heard ones by a term, that pair; numbers never."""
    meant = [word.text for word in split_text(typed)]
    pairs = (
        pair
        for change in _replaced(heard, meant)
        if (pair := _with_neighbours(heard, meant, change)) is not None
    )
    return [offer for said, term in pairs if (offer := offer_for_term(said, term))]


def offer_for_term(heard: str, term: str) -> Offer | None:
    """The offer after heard words were put right by a term; None when nothing is to be learnt.

    Words that sound like something else were not misheard: a person said another thing instead.
    """
    if why_not_learnt(heard, term) or gapless_distance(heard, term) > MISHEARD_MAX:
        return None
    return Offer(heard=heard, term=term)


def offers_after(before: EntryValues, changes: Mapping[str, Any]) -> list[Offer]:
    """What to remember after lesions were set by hand."""
    offers = []
    for at, finding in enumerate(before.findings):
        now = changes.get(f"findings.{at}.lesion")
        if now and finding.heard and (offer := offer_for_term(finding.heard, str(now))):
            offers.append(offer)
    return offers


def why_not_learnt(heard: str, term: str) -> str | None:
    """Why a pair cannot be learnt."""
    lexicon = load_lexicon()
    words = heard.split()
    if not words or len(words) > _LONGEST:
        return f"a mis-hearing has one to {_LONGEST} words"
    if any(word.isdecimal() or word in lexicon.number_words for word in (*words, *term.split())):
        return "numbers are never learnt"
    if term not in lexicon.terms:
        return "the lexicon has no such term"
    if lexicon.terms[term].tag not in _CONTENT:
        return "only what was found or done is learnt"
    if all(word in lexicon.fillers for word in words):
        return "these are words that stand anywhere"
    known = lexicon.terms.get(heard)
    if known is not None and known.value != lexicon.terms[term].value:
        return f"these words already mean {known.id}"
    return "it is understood already" if known is not None else None


def _replaced(heard: Sequence[str], meant: Sequence[str]) -> Iterator[tuple[int, int, int, int]]:
    """Stretches typed in place of heard ones, between words that were left as they were.

    Where words were added beside a replacement, nobody can say which of them it stands for.
    """
    changes = list(Levenshtein.opcodes(heard, meant))
    for at, change in enumerate(changes):
        beside = changes[max(0, at - 1) : at] + changes[at + 1 : at + 2]
        if change.tag == "replace" and beside and all(one.tag == "equal" for one in beside):
            yield change.src_start, change.src_end, change.dest_start, change.dest_end


def _with_neighbours(
    heard: Sequence[str], meant: Sequence[str], change: tuple[int, int, int, int]
) -> tuple[str, str] | None:
    """The smallest stretch around a replacement that is a term, e.g. `white lime` for `white line`."""
    a, b, c, d = change
    terms = load_lexicon().terms
    for left, right in _WIDER:
        if left > min(a, c) or b + right > len(heard) or d + right > len(meant):
            continue
        if (
            heard[a - left : a] != meant[c - left : c]
            or heard[b : b + right] != meant[d : d + right]
        ):
            continue
        term = " ".join(meant[c - left : d + right])
        if term in terms:
            return " ".join(heard[a - left : b + right]), term
    return None


class Offers:
    """Offers in their order, each once, in a small file of the home folder; without one, in memory.

    The page and the terminal share the file, so it is read anew at each step. A damaged one counts
    as empty: what it would have taught can be taught by hand.
    """

    def __init__(self, home: Path | None = None) -> None:
        self._path = home and home / FILE_NAME
        self._held: list[Offer] = []
        self._lock = Lock()

    @property
    def waiting(self) -> list[Offer]:
        """All that nobody has answered, the oldest first."""
        if self._path is None:
            return list(self._held)
        try:
            return _FILE.validate_json(self._path.read_bytes())
        except FileNotFoundError:
            return []
        except (OSError, ValidationError) as error:
            log.warning("%s is left out: %s", self._path, error)
            return []

    def add(self, offers: Iterable[Offer]) -> None:
        """Keep what a fix suggests."""
        if new := tuple(offers):
            with self._lock:
                self._keep(list(dict.fromkeys((*self.waiting, *new))))

    def take(self, heard: str, term: str) -> Offer | None:
        """Take an offer off the list; None when it is gone."""
        with self._lock:
            waiting = self.waiting
            found = next((one for one in waiting if (one.heard, one.term) == (heard, term)), None)
            if found is not None:
                self._keep([one for one in waiting if one != found])
        return found

    def _keep(self, offers: list[Offer]) -> None:
        self._held = offers
        if self._path is None:
            return
        try:
            write_whole(self._path, _FILE.dump_json(offers, indent=1))
            self._path.chmod(0o600)
        except (OSError, StoreError) as error:
            log.warning("%s cannot be written: %s", self._path, error)
