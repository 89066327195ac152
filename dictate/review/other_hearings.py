"""Whole readings to choose from: what the recogniser's other hearings of a note would record."""

from collections.abc import Sequence

from rapidfuzz.distance import Levenshtein
from sqlmodel import Session

from dictate.notes.reading_notes import context_of
from dictate.review.acts.words import facts_of, reader_for
from dictate.review.suggesting import Meant
from dictate.settings import Settings
from dictate.store.tables import Entry, Note, Visit
from grammar import parse
from grammar.best import reading_rank
from grammar.hear.words import UNKNOWN

_TRIED = 6
"""Further ones differ in everything."""
_MOST = 2


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
        if len(found) == _MOST:
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

    None when the two differ nowhere or in several places: single words are put right in place.
    """
    changes = [one for one in Levenshtein.opcodes(words, other) if one.tag != "equal"]
    if len(changes) != 1 or UNKNOWN in other[changes[0].dest_start : changes[0].dest_end]:
        return None
    change = changes[0]
    wider = int(change.tag != "replace" and change.src_start > 0)
    return (
        " ".join(words[change.src_start - wider : change.src_end]),
        " ".join(other[change.dest_start - wider : change.dest_end]),
    )
