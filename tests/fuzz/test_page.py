"""Every request that the page's own OpenAPI document allows gets an answer, never a crash."""

from pathlib import Path

import pytest

pytest.importorskip("schemathesis", reason="Schemathesis is not installed (extra `test`)")


@pytest.mark.filterwarnings("ignore")
def test_every_operation_of_the_page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A few requests for each operation; `tests/bench/fuzz_page.py` sends many more."""
    from page import opened, try_all

    monkeypatch.setenv("DICTATE_HOME", str(tmp_path))
    monkeypatch.delenv("DICTATE_DATABASE", raising=False)
    with opened(tmp_path) as page:
        statuses, broken = try_all(page, examples=2)

    assert [] == broken
    assert statuses[200] > 10, statuses
    assert statuses[422] > 10, statuses
    assert statuses[401] < sum(statuses.values()) / 10, "most requests were shut out"
