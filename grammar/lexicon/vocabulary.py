"""Every word the grammar can take."""

from grammar.lexicon.lexicon import load_lexicon


def vocabulary() -> frozenset[str]:
    """Return every single word (lower case, a to z and apostrophe) that some rule can take."""
    return load_lexicon().vocabulary
