"""Of spaCy only what matches phrases: its matchers, documents and strings.

`import spacy` brings pipelines, training, its command line and, where it is installed, PyTorch: a
second for every command and up to 180 MB.  So its submodules are imported under a package whose
own start-up is left out; afterwards the package is forgotten again, and whoever wants all of spaCy
(or PyTorch) can still import it.  The grammar takes spaCy from here alone.
"""

import sys
from importlib.util import find_spec
from types import ModuleType

__all__ = ["Doc", "Matcher", "Vocab"]

_LEFT_OUT = [name for name in ("spacy", "torch") if name not in sys.modules]

if "spacy" in _LEFT_OUT:
    _spec = find_spec("spacy")
    if _spec is None or _spec.submodule_search_locations is None:
        raise ImportError("spaCy is not installed", name="spacy")
    _package = ModuleType("spacy")
    _package.__spec__ = _spec
    _package.__path__ = list(_spec.submodule_search_locations)
    sys.modules["spacy"] = _package
if "torch" in _LEFT_OUT:
    sys.modules["torch"] = None  # type: ignore[assignment]  # reads as "not installed"
try:
    # Documents come first: the others lean on them.
    # isort: off
    from spacy.tokens import Doc
    from spacy.vocab import Vocab
    from spacy.matcher import Matcher
    # isort: on
finally:
    for _name in _LEFT_OUT:
        del sys.modules[_name]
