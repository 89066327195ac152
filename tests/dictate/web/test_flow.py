"""What the page does with an entry, without a browser: the same functions as the terminal."""

from collections.abc import Callable

import pytest

from dictate.store.clips import entry_by_id

from .conftest import Browser

ULCER = {
    "animal": "412",
    "findings": [
        {"foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "heard": "sole ulcer"}
    ],
    "actions": [{"kind": "block", "foot": "LH", "claw": "inner", "material": "rubber"}],
    "follow_ups": [
        {"kind": "look again", "in_days": 14, "date": "2026-03-16", "when": "in two weeks"}
    ],
}
DOUBTFUL = {"animal": "415", "marks": ["animal-not-on-roster"], "mark_details": [
    {"id": "animal-not-on-roster", "what": "415 is not on the roster", "candidates": ["450", "413"]}]}  # fmt: skip


@pytest.fixture
def content(database) -> Callable[[int], dict]:
    def read(entry_id: int) -> dict:
        with database.reading() as session:
            entry = entry_by_id(session, entry_id)
            return entry.content | {"state": entry.state, "version": entry.version}

    return read


def test_the_riskiest_card_comes_first_with_its_candidates(browser: Browser, queue) -> None:
    queue(ULCER, DOUBTFUL)
    page = browser.get("/visits/1/queue").text
    assert page.index("Cow 415") < page.index("412:")
    assert page.index("cow 450") < page.index("cow 413")


def test_confirming_an_old_version_is_refused_and_says_so(browser: Browser, queue, content) -> None:
    (entry,) = queue(ULCER)
    browser.post(f"/entries/{entry}/choose", {"version": 1, "path": "animal", "value": "413"})
    answer = browser.post(f"/entries/{entry}/confirm", {"version": 1})
    assert answer.headers["location"] == f"/visits/1/queue?entry={entry}"
    card = browser.get(answer.headers["location"]).text
    assert "changed meanwhile by somebody else" in card
    assert "dictate " not in card.split("<main")[0].split('class="notice"')[1]
    assert content(entry)["state"] == "waiting"


def test_the_fix_form_changes_only_what_differs(browser: Browser, queue, content) -> None:
    (entry,) = queue(ULCER)
    form = {
        "version": 1, "animal": "412", "findings.0.lesion": "Sole Ulcer", "findings.0.foot": "RH",
        "findings.0.claw": "outer", "findings.0.zone": "4", "follow_ups.0.kind": "look again",
        "follow_ups.0.date": "2026-03-30", "follow_ups.0.in_days": "14", "remove": "actions.0",
        "findings.new.lesion": "hairy wart", "findings.new.foot": "LF", "actions.new.kind": "",
    }  # fmt: skip
    assert browser.post(f"/entries/{entry}/fix", form).status_code == 303
    now = content(entry)
    assert [(one["lesion"], one["foot"]) for one in now["findings"]] == [
        ("sole ulcer", "RH"), ("digital dermatitis", "LF"),
    ]  # fmt: skip
    assert now["actions"] == []
    assert now["follow_ups"][0]["date"] == "2026-03-30"
    assert now["follow_ups"][0]["in_days"] == 28
    assert now["version"] == 2


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("findings.0.lesion", "banana", "no lesion that the lexicon knows"),
        ("findings.0.zone", "13", "does not fit"),
        ("findings.0.foot", "XX", "does not fit"),
        ("findings.9.foot", "LH", "no item"),
        ("state", "confirmed", "no field"),
        ("marks", "x", "no field"),
        ("findings.0.__class__", "x", "no field"),
        ("follow_ups.0.date", "soon", "not a date"),
    ],
)
def test_a_value_that_does_not_fit_is_named_and_the_form_keeps_it(
    browser: Browser, queue, content, field: str, value: str, said: str
) -> None:
    (entry,) = queue(ULCER)
    answer = browser.post(f"/entries/{entry}/fix", {"version": 1, field: value})
    assert answer.status_code == 422
    assert said in answer.text
    assert content(entry)["version"] == 1


def test_typed_words_are_read_and_numbers_are_never_offered_to_learn(
    browser: Browser, queue, content
) -> None:
    (entry,) = queue(DOUBTFUL)
    text = "cow four fifty left hind sole ulcer"
    browser.post(f"/entries/{entry}/retype", {"version": 1, "text": text})
    assert content(entry)["animal"] == "450"
    assert "Remember for next time" not in browser.get("/visits/1/queue").text


def test_confirming_together_takes_exactly_what_was_listed(
    browser: Browser, queue, content
) -> None:
    first, second = queue(ULCER, ULCER | {"animal": "413"})
    listed = browser.get("/visits/1/unmarked").text
    assert f'value="{first}:1"' in listed
    assert f'value="{second}:1"' in listed
    browser.post(f"/entries/{second}/choose", {"version": 1, "path": "animal", "value": "414"})
    answer = browser.post("/visits/1/confirm-unmarked", {"which": [f"{first}:1", f"{second}:1"]})
    assert answer.status_code == 409
    assert content(first)["state"] == "waiting", "all or none"
    answer = browser.post("/visits/1/confirm-unmarked", {"which": [f"{first}:1", f"{second}:2"]})
    assert answer.status_code == 303
    assert content(first)["state"] == content(second)["state"] == "confirmed"


@pytest.mark.parametrize("expected", ["x", "1", "1:2:3", "a:b", "1:1;2:1"])
def test_a_garbled_list_confirms_nothing(browser: Browser, queue, content, expected: str) -> None:
    (entry,) = queue(ULCER)
    assert browser.post("/visits/1/confirm-unmarked", {"which": [expected]}).status_code == 409
    assert content(entry)["state"] == "waiting"


def test_discarding_wants_a_reason_and_undo_brings_back(browser: Browser, queue, content) -> None:
    (entry,) = queue(ULCER)
    assert (
        browser.post(f"/entries/{entry}/reject", {"version": 1, "reason": " "}).status_code == 422
    )
    browser.post(f"/entries/{entry}/reject", {"version": 1, "reason": "said twice"})
    assert content(entry)["state"] == "rejected"
    browser.post("/undo")
    assert content(entry)["state"] == "waiting"
    assert browser.post("/undo").status_code == 404, "nothing is left to undo"


def test_settings_are_kept_and_comments_stay(browser: Browser, home) -> None:
    home.mkdir(exist_ok=True)
    (home / "settings.toml").write_text('# mine\ntrimmer = "Robin Field"\n')
    browser.post(
        "/settings", {"trimmer": "Robin Field", "price.block": "18,50", "days.wrap off": "3"}
    )
    text = (home / "settings.toml").read_text()
    assert "# mine" in text
    assert 'block = "18.50"' in text
    assert '"wrap off" = 3' in text
    refused = browser.post("/settings", {"trimmer": "R", "price.block": "much"})
    assert refused.status_code == 422
    assert ">Block: is not a number; write it as 18.50.<" in refused.text
    assert 'block = "18.50"' in (home / "settings.toml").read_text()


@pytest.mark.parametrize("name", ["../../evil.wav", "evil.py", "evil", "a.wav\x00.sh", "…/…"])
def test_a_sent_file_cannot_choose_its_place(browser: Browser, home, name: str) -> None:
    """The bytes are no sound at all: whatever it is called, nothing is kept."""
    answer = browser.client.post(
        "/record/clips",
        data={"csrf": browser.csrf, "farm": "Alder Farm", "date": "2026-03-02"},
        files={"file": (name, b"not sound")},
    )
    assert answer.status_code in (422, 400)
    kept = [path for path in home.rglob("*") if path.is_file() and "record.db" not in path.name]
    assert kept == []


def test_a_clip_whose_file_is_gone_or_elsewhere_is_not_served(
    browser: Browser, queue, database
) -> None:
    from dictate.store.tables import Clip

    queue(ULCER)
    assert browser.get("/clips/1/sound").status_code == 404
    with database.writing() as session:
        session.get_one(Clip, 1).suffix = "/../../../../../../etc/passwd"
    assert browser.get("/clips/1/sound").status_code == 404


def test_answers_speak_of_what_is_not_there(browser: Browser) -> None:
    for path in ("/visits/9/queue", "/entries/9", "/entries/9/fix", "/animals/9", "/nothing"):
        answer = browser.get(path)
        assert answer.status_code == 404, path
        assert "Not Found" not in answer.text
        assert answer.text.count("> Today</a>") == 2, "its tab, and one way on"
    assert browser.get("/visits/x/queue").status_code == 422
