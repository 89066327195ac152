"""What learning a voice came to, in words and as plain data."""

from collections import Counter
from collections.abc import Iterator
from typing import Any

from dictate.voice.judging import Comparison
from dictate.voice.learning import Learnt
from dictate.voice.model_folder import VoiceCard
from dictate.voice.recordings import by_reason


def of_a_hundred(found: Comparison) -> str:
    """The comparison in a sentence."""
    if not found.words:
        return "There was too little new speech to compare on."
    return (
        f"Of 100 words of yours, {found.before:.0f} were wrong before and {found.after:.0f} are now "
        f"(measured on {found.words} words that this was not learnt from, also under machines)."
    )


def of_a_hundred_kept(card: VoiceCard) -> str:
    """The same of a voice that is kept."""
    found = Comparison(
        words=card.held_words, errors_before=card.wrong_before, errors_after=card.wrong_after,
        better=True,
    )  # fmt: skip
    return of_a_hundred(found)


def in_words(learnt: Learnt, *, used: bool) -> Iterator[str]:
    """Lines for a person."""
    yield f"Learnt from {learnt.recordings} recordings, {learnt.seconds:.0f} seconds of speech."
    for some, why in by_reason(learnt.left_out):
        yield f"Left out: {some}: {why}."
    yield of_a_hundred(learnt.comparison)
    found = learnt.comparison
    if used and found.worse:
        yield "That is worse, so what was written hears as before: give more recordings."
    elif used and not found.better:
        yield "That is not better by more than chance: try it on more of your notes."
    elif not used and not found.words:
        yield "Nothing changed: the voice in use may have learnt all of this already. Read new prompts."
    elif not used and found.worse:
        yield "Nothing changed: it would hear you worse. Read more prompts, then again."
    elif not used and not found.errors_before:
        yield "Nothing changed: not a word of this was wrong before."
    elif not used:
        yield "Nothing changed: it is not better by more than chance. Read more prompts, then again."


def as_plain(learnt: Learnt) -> dict[str, Any]:
    """The same as plain data."""
    found = learnt.comparison
    return {
        "recordings": learnt.recordings,
        "seconds": round(learnt.seconds, 1),
        "left_out": [{"name": one.name, "why": one.why} for one in learnt.left_out],
        "left_out_by_reason": dict(Counter(one.why for one in learnt.left_out)),
        "held_words": found.words,
        "wrong_before": found.errors_before,
        "wrong_after": found.errors_after,
        "better_by_more_than_chance": found.better,
        "share": learnt.share,
    }
