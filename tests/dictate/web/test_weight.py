"""What a page weighs, with everything it loads: phones in a barn have little to spare."""

import re

import pytest

MOST_BYTES = 300_000
ULCER = {
    "findings": [
        {"foot": "LH", "claw": "outer", "zone": zone, "lesion": "sole ulcer"}
        for zone in range(1, 7)
    ]
}
PATHS = ["/", "/visits/1", "/visits/1/queue", "/visits/1/unmarked", "/animals", "/follow-ups", "/herd",
         "/bill", "/farms", "/farms/1", "/first-steps", "/record", "/settings", "/learnt", "/voice", "/voice/read", "/glossary"]  # fmt: skip


@pytest.mark.parametrize("path", PATHS)
def test_no_page_weighs_more_than_300_kb(browser, queue, path):
    """The page with its styles and scripts, uncompressed; sixty cards wait, each with six findings."""
    queue(*(ULCER | {"animal": str(400 + at)} for at in range(60)))
    text = browser.get(path).text
    loaded = set(re.findall(r'(?:src|href)="(/static/[^"]+)"', text))
    assert len(loaded) >= 5
    weight = len(text.encode()) + sum(len(browser.get(one).content) for one in loaded)
    assert weight <= MOST_BYTES, f"{path}: {weight} bytes"
