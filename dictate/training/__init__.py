"""How the bundled recogniser was made; nothing here is imported at run time."""

from dictate.errors import DictateError


class CorpusError(DictateError):
    """A corpus folder that cannot be used."""
