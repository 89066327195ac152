"""Whatever is done in the evening, in any order: no carrying note disagrees, and undo gives it all back."""

import random

import pytest

from dictate.settings import Settings
from dictate.store.database import open_database
from tests.properties.acts_at_random import make_day, play


@pytest.mark.parametrize("seed", [*range(12), 101607, 507304])
def test_random_acts_keep_animals_marks_record_and_history(tmp_path, seed: int) -> None:
    """Also run ten thousand times by `tests/bench/acts_at_random.py`."""
    settings = Settings(home=tmp_path, trimmer="Robin Field")
    with open_database(settings.database_url) as database:
        play(make_day(database, settings, random.Random(seed), seed), 10)
