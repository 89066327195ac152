"""Words of ordinary speech in a sentence: `plain.toml` says which, and beside what they say nothing."""

from collections.abc import Sequence

from grammar.lexicon.lexicon import Lexicon

__all__ = ["is_plain"]

_LETTERS_MIN = 5
"""Letters of an adverb that is known by its ending."""


def is_plain(words: Sequence[str], at: int, lexicon: Lexicon) -> bool:
    """Whether a word that no phrase takes says nothing where it stands: "it came to nothing"."""
    word = words[at]
    if word in lexicon.plain_things:
        return True
    if len(word) >= _LETTERS_MIN and word.endswith(lexicon.plain_endings):
        return word not in lexicon.not_plain
    before = words[at - 1] if at else ""
    behind = words[at + 1] if at + 1 < len(words) else ""
    return any(
        before in after or behind in leads_to for after, leads_to in lexicon.plain.get(word, ())
    )
