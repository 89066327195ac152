"""PyTorch is an extra: say how it comes where it is missing, and what a getting may fail of."""

from importlib.util import find_spec

from dictate.errors import VoiceError
from dictate.texts import noted

FULL = noted("The disk is full. Make room on it, then try again.")
NO_INTERNET = noted(
    "The internet could not be reached, or the connection broke. Look whether this computer is "
    "connected, then try again."
)
READ_ONLY = noted(
    "The folder in which the program is installed may not be written to. Ask whoever installed it."
)
NONE_FITS = noted(
    "No PyTorch was found that fits this computer. If the internet is there, ask whoever installed the "
    "program; hearing goes on as before."
)


def can_learn() -> bool:
    """Tell whether what learning needs is installed, without loading it."""
    return find_spec("torch") is not None


def need_torch() -> None:
    """Raise VoiceError unless PyTorch is installed."""
    if not can_learn():
        raise VoiceError(
            "learning a voice needs PyTorch",
            remedy="On the page, “Your voice” gets it with one button; in a terminal "
            "`dictate voice prepare` (it is the extra dictate[voice])",
        )
