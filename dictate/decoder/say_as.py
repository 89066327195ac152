"""Trade words for models that lack them: listen for words that sound alike, then turn them back."""

import tomllib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from importlib import resources

from pydantic import BaseModel, ConfigDict

from grammar import Word

MissingWords = Callable[[Iterable[str]], Sequence[str]]


class _File(BaseModel):
    model_config = ConfigDict(extra="forbid")

    say_as: dict[str, list[str]]


@lru_cache(maxsize=1)
def spelt_as() -> Mapping[str, Sequence[str]]:
    """Return each trade word with its spellings in other words, first choice first."""
    text = resources.files("dictate.decoder").joinpath("say_as.toml").read_text("utf-8")
    return _File.model_validate(tomllib.loads(text)).say_as


def spell_out(
    lacking: Sequence[str], missing_words: MissingWords
) -> tuple[dict[str, str], tuple[str, ...]]:
    """Return how to spell lacking words with words a model knows, and those that stay missing."""
    spelt: dict[str, str] = {}
    for word in lacking:
        for spelling in spelt_as().get(word, ()):
            if not missing_words(spelling.split()):
                spelt[word] = spelling
                break
    return spelt, tuple(word for word in lacking if word not in spelt)


def turn_back(words: Sequence[Word], spelt: Mapping[str, str]) -> tuple[Word, ...]:
    """Turn spelt-out words back into the trade's; each takes the time of all its parts."""
    patterns = sorted(
        ((tuple(said.split()), word) for word, said in spelt.items()),
        key=lambda item: -len(item[0]),
    )
    turned: list[Word] = []
    at = 0
    while at < len(words):
        texts = tuple(word.text for word in words[at:])
        for parts, trade_word in patterns:
            if texts[: len(parts)] == parts:
                run = words[at : at + len(parts)]
                sure = [word.confidence for word in run if word.confidence is not None]
                turned.append(
                    replace(
                        run[0], text=trade_word, end=run[-1].end, confidence=min(sure, default=None)
                    )
                )
                at += len(parts)
                break
        else:
            turned.append(words[at])
            at += 1
    return tuple(turned)
