"""What was left aside as talk is found on the visit's page, and comes back with one button."""

from dictate.review.waiting import waiting
from dictate.store.clips import LEFT_ASIDE, entry_by_id
from dictate.store.states import EntryState


def test_talk_is_listed_with_its_sound_and_comes_back(browser, database, queue) -> None:
    """The visit names it, the list plays it, the button puts it into the queue."""
    (entry_id,) = queue({"marks": ["may-be-talk"]}, heard="did you see the <b> match [unk]")
    with database.writing() as session:
        entry = entry_by_id(session, entry_id)
        entry.state, entry.reason = EntryState.REJECTED, LEFT_ASIDE
        visit_id, version = entry.visit_id, entry.version

    assert "1 piece of talk left aside" in browser.get(f"/visits/{visit_id}").text
    listed = browser.get(f"/visits/{visit_id}/left-aside").text
    assert "the &lt;b&gt; match (unclear)" in listed
    assert "/sound" in listed

    answer = browser.post(f"/entries/{entry_id}/bring-back", {"version": version})

    assert 303 == answer.status_code
    with database.reading() as session:
        assert [entry_id] == [one.id for one in waiting(session)]
    assert "Nothing was left aside" in browser.get(f"/visits/{visit_id}/left-aside").text
