"""The levels meter of live listening."""

import io

import numpy as np
import pytest
from rich.console import Console

from dictate.cli.progress import Meter, meter_line
from dictate.sound.levels import peak_db
from dictate.sound.live import Listener
from dictate.sound.microphone import Chunk


@pytest.mark.parametrize(("peak", "level"), [(32768 // 2, -6.0), (3277, -20.0), (0, -100.0)])
def test_level_is_that_of_the_loudest_point(peak, level) -> None:
    """Decibels below full scale: half the ceiling is 6 dB below it (20 log10 0.5)."""
    assert peak_db(np.array([0, -peak], np.int16)) == pytest.approx(level, abs=0.05)


def test_line_shows_level_state_and_losses() -> None:
    """The bar fills with the level, and an unplugged microphone is named."""
    quiet = meter_line(-60.0, talking=False, lost=0, plugged=True)
    half = meter_line(-30.0, talking=True, lost=2, plugged=True)

    assert (0, 15) == (quiet.count("#"), half.count("#"))
    assert "speaking" in half
    assert "lost 2 times" in half
    assert "too loud" in meter_line(-0.5, talking=True, lost=0, plugged=True)
    assert "plug it in" in meter_line(-100.0, talking=False, lost=0, plugged=False)


@pytest.mark.parametrize("terminal", [True, False])
def test_chunks_pass_unchanged(tmp_path, terminal) -> None:
    """The meter only watches; on anything but a terminal it writes nothing."""
    screen = Console(file=io.StringIO(), force_terminal=terminal, width=80)
    chunks = [Chunk(samples=np.full(1600, 9000, np.int16)), Chunk(samples=np.zeros(0, np.int16))]

    with Meter(Listener(tmp_path), console=screen) as meter:
        passed = list(meter.watch(chunks))

    assert all(one is two for one, two in zip(chunks, passed, strict=True))
    assert ("dB" in screen.file.getvalue()) is terminal
