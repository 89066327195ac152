"""Where kept sound lies: in the home folder, by the hash of its content."""

from pathlib import Path

from dictate.settings import Settings
from dictate.store.tables import Clip


def kept_path(settings: Settings, clip: Clip) -> Path:
    """Where the bytes of a clip are kept."""
    return settings.sounds / clip.sha256[:2] / f"{clip.sha256}{clip.suffix}"
