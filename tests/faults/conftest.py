"""A day that was lived through, for what may go wrong with a disk afterwards."""

from pathlib import Path

import day
import pytest


@pytest.fixture(scope="session")
def lived_in(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home with a day's confirmed record; never changed."""
    folder = tmp_path_factory.mktemp("lived_in")
    day.run_day(folder)
    return folder
