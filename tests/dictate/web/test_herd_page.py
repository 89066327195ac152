"""The herd picture as a page and as PDF."""

from tests.deciding import confirm


def test_the_herd_picture_is_shown_and_printed(browser, database, queue):
    (entry,) = queue({"animal": "412", "findings": [{"lesion": "sole ulcer", "foot": "LH"}]})
    with database.writing() as session:
        confirm(session, entry, by="Robin Field")
    shown = browser.get("/farms/1/herd")
    assert "1 animals" in shown.text
    assert "script" not in shown.headers["content-security-policy"]
    assert browser.get("/farms/1/herd.pdf").content.startswith(b"%PDF")
    assert browser.get("/farms/9/herd").status_code == 404
