"""Load spaCy without PyTorch, which it takes along wherever that is installed.

Nothing here uses a network, and PyTorch would cost every command three seconds and 180 MB.
Whoever wants it can still import it afterwards.
"""

import sys

_HIDDEN = "torch" not in sys.modules

if _HIDDEN:
    sys.modules["torch"] = None  # type: ignore[assignment]  # reads as "not installed"
try:
    import spacy  # noqa: F401
finally:
    if _HIDDEN:
        del sys.modules["torch"]
