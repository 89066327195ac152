"""PyTorch is an extra: say what to install where it is missing."""

from importlib.util import find_spec

from dictate.errors import VoiceError


def can_learn() -> bool:
    """Tell whether what learning needs is installed, without loading it."""
    return find_spec("torch") is not None


def need_torch() -> None:
    """Raise VoiceError unless PyTorch is installed."""
    if not can_learn():
        raise VoiceError(
            "learning a voice needs PyTorch",
            remedy="pip install 'dictate[voice]' (the processor's build of it is enough; "
            "docs/how-to/your-voice.md says how), then call again",
        )
