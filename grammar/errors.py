"""Every error the grammar raises on purpose.

GrammarError
└── LexiconError   a lexicon file that cannot be used; carries every fault at once

Speech that cannot be understood is never an error: it is a reading with words left over.
"""


class GrammarError(Exception):
    """Base of the grammar's own errors."""


class LexiconError(GrammarError):
    """The lexicon has faults; `faults` names each with file, row and remedy."""

    def __init__(self, faults: tuple[str, ...]) -> None:
        self.faults = faults
        super().__init__("The lexicon cannot be used:\n" + "\n".join(f"  {f}" for f in faults))
