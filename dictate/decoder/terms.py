"""Terms a speaker taught: how a phrase sounds, and which term of the lexicon it means.

They stand in `terms.toml` in the home folder, one table a term:

    [[term]]
    phrase = "strawberry foot"
    sounds_like = "straw berry foot"     # known words; left out when the words are known
    means = "digital dermatitis"         # left out for a phrase that is kept as said
    speaker = "anna"                     # left out for everybody
"""

import tomllib
from collections.abc import Iterable, Sequence
from difflib import get_close_matches
from pathlib import Path

import tomlkit
from pydantic import BaseModel, ConfigDict, Field, ValidationError

from dictate.decoder.pronunciation import Pronunciations, pronounce_like, pronunciations
from dictate.errors import NotFoundError, SettingsError
from grammar import load_lexicon

FILE_NAME = "terms.toml"


class Term(BaseModel):
    """One taught phrase."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    phrase: str = Field(pattern=r"^[a-z']+( [a-z']+)*$")
    sounds_like: str | None = None
    means: str | None = None
    speaker: str | None = None


class _File(BaseModel):
    model_config = ConfigDict(extra="forbid")

    term: list[Term] = []


def load_terms(home: Path) -> tuple[Term, ...]:
    """Read the taught terms of a home folder; none when nothing was taught.

    Raises:
        SettingsError: the file cannot be used; all faults at once.
    """
    path = home / FILE_NAME
    if not path.exists():
        return ()
    try:
        return tuple(_File.model_validate(tomllib.loads(path.read_text("utf-8"))).term)
    except (ValueError, RecursionError) as error:  # of TOML, UTF-8 and the model
        raise SettingsError(
            f"cannot be used: {error}",
            where=str(path),
            remedy="Mend the file, or move it away and teach the terms again",
        ) from error


def new_term(
    phrase: str, *, sounds_like: str | None = None, means: str | None = None, speaker: str | None
) -> Term:
    """Make a term of what a person gave, and check that it can be heard and understood.

    Raises:
        SettingsError: the phrase has other signs than letters, it means nothing the lexicon has, or
            its words cannot be pronounced.
    """
    plain = {
        name: " ".join((words or "").lower().split()) or None
        for name, words in {"sounds_like": sounds_like, "means": means}.items()
    }
    phrase = " ".join(phrase.lower().split())
    try:
        term = Term(phrase=phrase, speaker=speaker, **plain)
    except ValidationError as error:
        raise SettingsError(
            "a term is words of letters", where=phrase, remedy="Write numbers as words"
        ) from error
    if term.means and term.means not in load_lexicon().terms:
        near = get_close_matches(term.means, load_lexicon().terms, n=3)
        hint = f"Did you mean {' or '.join(near)}?" if near else "See `dictate phrases`"
        raise SettingsError(
            f'"{term.means}" is no term of the lexicon', where=term.phrase, remedy=hint
        )
    with_terms(pronunciations(), [term])
    return term


def add_term(home: Path, term: Term) -> None:
    """Keep a term; one of the same phrase and speaker is replaced."""
    others = [t for t in load_terms(home) if (t.phrase, t.speaker) != (term.phrase, term.speaker)]
    _save(home, [*others, term])


def forget_term(home: Path, phrase: str) -> None:
    """Forget a phrase for every speaker.

    Raises:
        NotFoundError: it was never taught.
    """
    terms = load_terms(home)
    kept = [term for term in terms if term.phrase != phrase]
    if len(kept) == len(terms):
        raise NotFoundError(
            f'"{phrase}" was never taught', where=FILE_NAME, remedy="See `dictate term list`"
        )
    _save(home, kept)


def _save(home: Path, terms: Sequence[Term]) -> None:
    home.mkdir(parents=True, exist_ok=True)
    content = tomlkit.dumps({"term": [term.model_dump(exclude_none=True) for term in terms]})
    fresh = home / f"{FILE_NAME}.new"
    fresh.write_text(content, "utf-8")
    fresh.replace(home / FILE_NAME)


def aliases(terms: Iterable[Term], speaker: str | None = None) -> dict[str, str]:
    """Return phrase to term of the lexicon, as `grammar.parse` takes them."""
    return {t.phrase: t.means for t in terms if t.means and t.speaker in {None, speaker}}


def with_terms(known: Pronunciations, terms: Iterable[Term]) -> Pronunciations:
    """Add the pronunciations of taught words.

    A phrase of as many words as its `sounds_like` is taught word by word; the one word of a phrase
    takes the whole sound.

    Raises:
        SettingsError: new words without a sound, or not one known word for each word.
        ModelError: it is said to sound like words that have no pronunciation themselves.
    """
    learnt = dict(known)
    for term in terms:
        words = term.phrase.split()
        fresh = [word for word in words if word not in known]
        if not fresh:
            continue
        spoken = _sounds(term, words)
        for word in fresh:
            learnt[word] = pronounce_like(spoken[word], known)
    return learnt


def _sounds(term: Term, words: list[str]) -> dict[str, str]:
    like = (term.sounds_like or "").lower().split()
    if not like:
        raise SettingsError(
            f'it is not known how "{term.phrase}" sounds',
            where=FILE_NAME,
            remedy='Say what it sounds like, in words that are known (--sounds-like "claw vet")',
        )
    if len(words) == 1:
        return {words[0]: " ".join(like)}
    if len(like) == len(words):
        return dict(zip(words, like, strict=True))
    raise SettingsError(
        f'"{term.phrase}" has {len(words)} words and sounds like {len(like)}',
        where=FILE_NAME,
        remedy="Give one known word for each word, or teach the words one by one",
    )
