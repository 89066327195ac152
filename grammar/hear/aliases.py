"""A speaker's own phrases: checked, and kept as TOML.

    [aliases]
    "the usual spot" = "zone four"

An alias stands for one lexicon phrase.  It never holds or stands for a number or an animal, and
never takes over words that already mean something else.
"""

import tomllib
from collections.abc import Mapping

from grammar.errors import GrammarError
from grammar.hear.words import UNKNOWN, split_text
from grammar.lexicon.lexicon import REPAIRABLE, Lexicon, load_lexicon

__all__ = ["AliasError", "alias_fault", "aliases_from_toml", "aliases_to_toml", "suggest_alias"]


class AliasError(GrammarError):
    """Aliases that cannot be used; `faults` names each and what to do."""

    def __init__(self, faults: tuple[str, ...]) -> None:
        self.faults = faults
        super().__init__("\n".join(faults))


def alias_fault(heard: str, meant: str, lexicon: Lexicon | None = None) -> str | None:
    """Say why an alias cannot be taught, and what to do; None where it can."""
    lexicon = lexicon or load_lexicon()
    words = [word.text for word in split_text(heard)]
    term = lexicon.terms.get(meant)
    if not words:
        return f"{heard!r}: there are no words to teach; say what is heard"
    if UNKNOWN in words:
        return f"{heard!r}: {UNKNOWN} is no word; teach the words around it"
    if not lexicon.number_words.isdisjoint(words) or any(word.isdecimal() for word in words):
        return f"{heard!r}: holds a number; numbers are read as said and never taught"
    if term is None:
        return f"{meant!r}: is no phrase of the lexicon; `dictate phrases` lists them"
    if term.tag not in REPAIRABLE:
        return f"{meant!r}: is a {term.tag.lower()} word and cannot be stood in for"
    known = lexicon.terms.get(" ".join(words))
    if known is not None and known.value != term.value and not known.meant:
        return f"{heard!r}: already means {known.value!r}; choose other words"
    return None


def suggest_alias(heard: str, value: str, lexicon: Lexicon | None = None) -> str | None:
    """Return the phrase that a reviewer's fix teaches: heard words -> the phrase of the right value.

    None where the words may not be taught, or are known already.
    """
    lexicon = lexicon or load_lexicon()
    phrases = [p for p, t in lexicon.terms.items() if t.value == value and not t.meant]
    meant = value if value in phrases else next(iter(phrases), None)
    if meant is None or alias_fault(heard, meant, lexicon) is not None:
        return None
    return meant if " ".join(w.text for w in split_text(heard)) not in phrases else None


def aliases_from_toml(text: str, lexicon: Lexicon | None = None) -> dict[str, str]:
    """Read and check a speaker's aliases.

    Raises AliasError with every fault at once.
    """
    try:
        table = tomllib.loads(text)
    except (ValueError, RecursionError) as error:  # tomllib raises both
        raise AliasError((f"the aliases are not TOML ({error}); correct the line",)) from error
    aliases = table.get("aliases", {})
    unknown = [
        f"{key!r}: is not a table of aliases; only [aliases]" for key in table if key != "aliases"
    ]
    if not isinstance(aliases, dict) or not all(isinstance(m, str) for m in aliases.values()):
        raise AliasError((*unknown, '[aliases] must hold lines such as "heard" = "meant"'))
    faults = [
        fault for heard, meant in aliases.items() if (fault := alias_fault(heard, meant, lexicon))
    ]
    if unknown or faults:
        raise AliasError((*unknown, *faults))
    return {" ".join(w.text for w in split_text(heard)): meant for heard, meant in aliases.items()}


def aliases_to_toml(aliases: Mapping[str, str]) -> str:
    """Write aliases; `aliases_from_toml` reads them back the same."""
    lines = [f'"{heard}" = "{meant}"' for heard, meant in sorted(aliases.items())]
    return "\n".join(["[aliases]", *lines, ""])
