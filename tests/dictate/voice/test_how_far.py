"""How far a learning is: written while it runs, read by the page."""

from pathlib import Path

from dictate.voice.how_far import HowFar, Written


def test_the_time_left_goes_by_its_own_pace(tmp_path: Path) -> None:
    """Steps that an earlier call did count as done, not as fast."""
    now = [1000.0]
    written = Written(tmp_path, clock=lambda: now[0])
    written.stage("learning", 100)
    assert HowFar.read(tmp_path).left is None

    written.at(40)
    now[0] += 20
    written.at(50)

    far = HowFar.read(tmp_path)
    assert far is not None and (50, 100) == (far.done, far.total)
    assert 100 == far.left


def test_at_the_end_nothing_stands_there(tmp_path: Path) -> None:
    """Nor before the beginning, nor after a broken write."""
    written = Written(tmp_path)
    assert HowFar.read(tmp_path) is None
    written.stage("learning", 10)
    written.end()
    assert HowFar.read(tmp_path) is None
    (tmp_path / "how-far").write_text("{")
    assert HowFar.read(tmp_path) is None
