"""A whole evening in a real browser: forty notes, twelve fixes, everything together, undo, learn."""

from collections.abc import Callable

from sqlmodel import col, func, select

from dictate.store.record_tables import Finding, Locomotion
from dictate.store.states import EntryState
from dictate.store.tables import Alias, Entry, Event

from .conftest import Running, Tab
from .evening import TROUBLED, forty_notes

KEYS_AN_ENTRY_MAX = 1.5
KEYS_FOR_A_NUMBER_MAX = 3


def states(running: Running) -> dict[str, int]:
    with running.database.reading() as session:
        rows = session.exec(select(Entry.state, func.count()).group_by(col(Entry.state))).all()
    return dict(rows)


def entry_of(running: Running, animal: str) -> Entry:
    with running.database.reading() as session:
        entries = session.exec(select(Entry)).all()
    return next(entry for entry in entries if entry.content["animal"] == animal)


def take(tab: Tab, label: str) -> None:
    """Press the key of the choice with this label."""
    tab.press(str(tab.choices().index(label) + 1))


def begin(tab: Tab) -> None:
    tab.settle()
    tab.press("Enter")
    tab.page.wait_for_url("**/queue")


def test_the_whole_evening_by_keyboard(running: Running, tab: Callable[..., Tab]) -> None:
    """Every note ends right, and a person presses at most one and a half keys for each entry."""
    at = tab()
    assert len(forty_notes()) == 40
    assert len(TROUBLED) == 12
    begin(at)
    total = sum(states(running).values())
    at.shoot("evening-first-card")

    for spoken in (one for one in TROUBLED if one.animal):
        before = at.keys
        take(at, f"cow {spoken.animal}")
        assert at.title == f"Cow {spoken.animal}"
        at.press("Enter")
        assert at.keys - before <= KEYS_FOR_A_NUMBER_MAX, spoken

    assert at.title == "Cow 601"
    at.shoot("evening-misheard-lesion")
    take(at, "“soul elsie” was sole ulcer")
    at.press("Enter")
    assert at.title == "No animal named"
    at.press("t")
    at.type("cow six six seven all good")
    at.press("Enter")
    assert at.title == "Cow 667"
    at.press("Enter")
    assert at.title == "Cow 612"  # repaired rightly
    at.press("Enter")
    assert at.title == "Cow 624"
    take(at, "left hind")
    at.press("Enter")
    assert at.title == "Cow 633"
    take(at, "scale 1-5")
    at.press("Enter")
    at.press("a")
    at.shoot("evening-together")
    at.press("Enter")
    at.page.wait_for_selector(".done")
    at.shoot("evening-done")
    at.press("l")
    at.page.wait_for_selector("text=Remembered")

    assert states(running) == {EntryState.CONFIRMED: total}
    assert at.counted() == at.keys, "the page counted what was pressed"
    assert at.keys / total <= KEYS_AN_ENTRY_MAX, f"{at.keys} keys for {total} entries"
    print(f"{at.keys} keys for {total} entries: {at.keys / total:.2f} an entry")
    with running.database.reading() as session:
        how = dict(
            session.exec(
                select(Entry.confirmed_how, func.count()).group_by(col(Entry.confirmed_how))
            ).all()
        )
        ulcer = select(Finding.foot, Finding.lesion).where(
            Finding.entry_id == entry_of(running, "624").id
        )
        lesions = dict(session.exec(ulcer).all())
        scale = session.exec(select(Locomotion.scale)).one()
        taught = session.exec(select(Alias.heard, Alias.term)).all()
    assert how == {"one": 11, "unmarked": total - 11}
    assert lesions == {"LH": "sole ulcer"}
    assert scale == "1-5"
    assert [tuple(row) for row in taught] == [("soul elsie", "sole ulcer")]


def test_undo_walks_back_through_every_step_and_survives_a_reload(
    running: Running, tab: Callable[..., Tab]
) -> None:
    at = tab()
    begin(at)
    start = states(running)
    take(at, "cow 512")
    at.press("Enter")
    at.press("x")
    at.press("1")
    at.press("a")
    at.press("Enter")
    assert states(running)[EntryState.REJECTED] == 1
    assert states(running)[EntryState.CONFIRMED] > 20
    at.page.reload()
    at.settle()
    for _ in range(4):
        at.press("u")
    assert states(running) == start
    assert entry_of(running, "513").content["animal"] == "513"
    with running.database.reading() as session:
        kinds = dict(session.exec(select(Event.kind, func.count()).group_by(col(Event.kind))).all())
        assert session.exec(select(func.count()).select_from(Finding)).one() == 0
    assert kinds["undone"] == kinds["confirmed"] + kinds["rejected"] + kinds["amended"]


def test_what_was_learnt_reads_waiting_notes_again_but_never_confirmed_ones(
    running: Running, tab: Callable[..., Tab]
) -> None:
    """Teaching is undone by forgetting; entries that a person decided stay as they are."""
    at = tab()
    entry = entry_of(running, "601")
    at.open(f"/visits/{running.visit_id}/queue?entry={entry.id}")
    take(at, "“soul elsie” was sole ulcer")
    at.press("Enter")
    assert not at.page.locator(".offer").count(), "an offer never stands above a card"
    at.open("/learnt")
    at.press("l")
    at.page.wait_for_selector("text=Remembered")
    at.open("/learnt")
    at.shoot("learnt")
    assert "soul elsie" in at.page.inner_text("main")
    at.page.get_by_role("button", name="Forget").click()
    at.page.wait_for_selector("text=Forgotten")
    assert "sole ulcer" in str(entry_of(running, "601").content["findings"])
    with running.database.reading() as session:
        assert session.exec(select(Alias)).all() == []


def test_two_people_never_overwrite_each_other(running: Running, tab: Callable[..., Tab]) -> None:
    """The slower one is told, keeps what was typed, and nothing of the faster one is lost."""
    fast, slow = tab(), tab(allowed="409")
    for one in (fast, slow):
        begin(one)
    slow.press("f")
    assert "Fix cow 513" in slow.page.inner_text("h1")
    take(fast, "cow 512")
    slow.type("516")
    slow.press("Enter")
    assert "changed meanwhile" in slow.page.inner_text(".fault")
    assert slow.page.input_value("input[name=animal]") == "516"
    slow.shoot("conflict-in-fix")
    assert entry_of(running, "512").version == 2
    slow.open(f"/visits/{running.visit_id}/queue?entry={entry_of(running, '512').id}")
    fast.press("Enter")
    slow.press("Enter")
    assert "changed meanwhile" in slow.page.inner_text(".notice")
    slow.shoot("conflict-in-queue")
    assert entry_of(running, "512").version == 3


def test_a_note_is_split_in_two_and_put_together_again(
    running: Running, tab: Callable[..., Tab]
) -> None:
    at = tab()
    entry = entry_of(running, "118")
    at.open(f"/entries/{entry.id}/fix")
    at.page.get_by_label("block (rubber) left hind inner").check()
    at.page.get_by_label("Number of the other animal").fill("207")
    at.page.get_by_role("button", name="Split").click()
    at.page.wait_for_selector("#card-title")
    assert at.title == "Cow 207"
    assert not entry_of(running, "118").content["actions"]
    at.page.locator("body").click(position={"x": 5, "y": 5})
    at.press("b")
    at.settle()
    assert at.title == "Cow 118"
    assert entry_of(running, "118").content["actions"][0]["kind"] == "block"
    at.press("u")
    at.press("u")
    assert entry_of(running, "118").content == entry.content


def test_keys_can_be_turned_off_and_typing_is_never_taken_for_a_key(
    running: Running, tab: Callable[..., Tab]
) -> None:
    at = tab()
    begin(at)
    first = at.title
    at.press("?")
    at.page.get_by_label("Single keys off").check()
    at.page.locator("#card-title").focus()
    at.press("j")
    assert at.title == first
    at.page.get_by_label("Single keys off").uncheck()
    at.page.locator("#card-title").focus()
    at.press("f")
    at.type("u")
    assert "Fix" in at.page.inner_text("h1")


def test_a_number_that_is_not_offered_takes_three_keys(
    running: Running, tab: Callable[..., Tab]
) -> None:
    """N, the letter of one of the 26 likeliest, Enter; a digit that narrows the list is a key more."""
    at = tab()
    entry = entry_of(running, "513")
    at.open(f"/visits/{running.visit_id}/queue?entry={entry.id}")
    offered = at.choices()
    at.press("n")
    listed = at.choices()
    assert len(listed) == 26
    assert not {*listed} & {*offered}
    assert at.page.locator(".choices button").nth(25).get_attribute("data-key") == "z"
    at.press("z")
    assert at.title.lower() == listed[25]
    at.press("Enter")
    assert at.keys == at.counted() == KEYS_FOR_A_NUMBER_MAX
    at.press("u")
    at.press("u")
    for key in ("n", "9", "9", "Enter"):
        at.press(key)
    assert at.title == "Cow 99"
    assert "not on the roster" in at.page.inner_text(".marks")


def test_words_are_put_right_in_place(running: Running, tab: Callable[..., Tab]) -> None:
    """W, letters and a digit pressed as fast as keys can be, Enter: read and confirmed."""
    at = tab()
    entry = entry_of(running, "601")
    at.open(f"/visits/{running.visit_id}/queue?entry={entry.id}")
    at.press("w")
    assert "soul" in at.page.inner_text(".word.now")
    at.shoot("words")
    at.type("sole u")
    at.page.locator("#offered-title", has_text="sole u").wait_for()
    offered = at.page.locator("#offered a").all_inner_texts()
    assert "sole ulcer" in offered[0]
    at.press("1")
    assert "soul" not in at.page.inner_text(".line")
    for _ in at.page.locator(".line .word").all():
        if "elsie" in at.page.inner_text(".word.now"):
            break
        at.press("ArrowRight")
    at.press("Delete")
    assert "601: right hind outer sole ulcer, zone 4" in at.page.inner_text(".card .sentence")
    at.press("Enter")
    done = entry_of(running, "601")
    assert done.state == EntryState.CONFIRMED
    assert done.content["findings"][0]["lesion"] == "sole ulcer"
    at.press("u")
    assert entry_of(running, "601").content == entry.content


def test_a_digit_pressed_before_the_list_has_come_takes_from_the_new_list(
    running: Running, tab: Callable[..., Tab]
) -> None:
    at = tab()
    entry = entry_of(running, "601")
    at.open(f"/entries/{entry.id}/words")
    at.settle()
    at.page.route("**/offered*", lambda route: (at.page.wait_for_timeout(300), route.continue_()))
    at.type("wrapp")
    at.page.keyboard.press("1")
    at.page.locator(".line", has_text="wrapped").wait_for()
    at.page.unroute_all(behavior="wait")
    at.press("End")
    at.type("remark quibble")
    at.press("Enter")
    at.page.locator(".line", has_text="quibble").wait_for()
    assert entry_of(running, "601").content == entry.content, "nothing was written"


def test_a_number_by_digit_and_letter_is_confirmed_at_once(
    running: Running, tab: Callable[..., Tab]
) -> None:
    """Three keys also where the number is neither among the choices nor in the first list."""
    at = tab()
    entry = entry_of(running, "513")
    at.open(f"/visits/{running.visit_id}/queue?entry={entry.id}")
    at.press("n")
    at.press("7")
    key = at.page.locator("button", has_text="confirm as cow 703").get_attribute("data-key")
    at.press(key)
    assert at.keys == at.counted() == KEYS_FOR_A_NUMBER_MAX
    assert entry_of(running, "703").state == EntryState.CONFIRMED


def test_what_is_typed_the_moment_a_page_comes_is_not_lost(
    running: Running, tab: Callable[..., Tab]
) -> None:
    """Once keys count again, the field that is to take them has the focus."""
    at = tab()
    with running.database.reading() as session:
        entries = session.exec(select(Entry)).all()
    unknown = next(entry for entry in entries if entry.content["animal"] is None)
    at.open(f"/visits/{running.visit_id}/queue?entry={unknown.id}")
    at.page.evaluate(
        "addEventListener('htmx:afterRequest', () => { window.focused = document.activeElement.id; })"
    )
    at.press("t")
    assert at.page.evaluate("window.focused") == "typed"


def test_foot_claw_zone_and_lesion_change_by_one_key_and_one_choice(
    running: Running, tab: Callable[..., Tab]
) -> None:
    """Also by a click on the claw map; what was said of the animal stays."""
    at = tab()
    entry = entry_of(running, "118")
    at.open(f"/visits/{running.visit_id}/queue?entry={entry.id}")
    assert entry.content["findings"][0]["foot"] == "LH"
    for keys, slot, value in [("h4", "foot", "RH"), ("c2", "claw", "inner"), ("z6", "zone", 6)]:
        before = at.keys
        for key in keys:
            at.press(key)
        assert entry_of(running, "118").content["findings"][0][slot] == value
        assert at.keys - before == 2
    at.press("e")
    wanted = at.page.locator(".ask[open] button", has_text="bulb ulcer").get_attribute("data-key")
    at.press(wanted)
    assert entry_of(running, "118").content["findings"][0]["lesion"] == "bulb ulcer"
    at.press("h")
    at.press("7")
    assert entry_of(running, "118").content["actions"][0]["foot"] == "LH", (
        "the block, by its own keys"
    )
    at.page.locator('.claw-map [data-foot="LF"][data-claw="outer"][data-zone="5"]').click()
    at.settle()
    found = entry_of(running, "118").content["findings"][0]
    assert (found["foot"], found["claw"], found["zone"]) == ("LF", "outer", 5)


def test_an_animal_that_the_roster_lacks_takes_another_key(
    running: Running, tab: Callable[..., Tab]
) -> None:
    at = tab()
    begin(at)
    assert at.title == "Cow 513"
    for key in ("Enter", "Enter"):
        at.press(key)
    assert entry_of(running, "513").state == EntryState.WAITING
    at.press("y")
    assert entry_of(running, "513").state == EntryState.CONFIRMED


def test_the_list_to_confirm_together_is_read_listened_to_and_ticked(
    running: Running, tab: Callable[..., Tab]
) -> None:
    """What was changed a moment ago stands first and says so; what is unticked stays."""
    at = tab()
    entry = entry_of(running, "118")
    at.open(f"/visits/{running.visit_id}/queue?entry={entry.id}")
    for key in "c2z3a":
        at.press(key)
    first = at.page.locator(".together li").first
    if entry_of(running, "118").content["marks"]:
        assert "118" not in at.page.inner_text(".together"), "marked now: not in this list"
    else:
        assert "changed by you" in first.inner_text()
    assert "cow" in first.locator(".said").inner_text()
    at.press("j")
    at.press("p")
    at.page.wait_for_function("document.querySelector('audio[data-one]').src.includes('/clips/')")
    left = first.locator("input").get_attribute("value").split(":")[0]
    at.press(" ")
    at.press("Enter")
    at.page.wait_for_selector("text=together")
    with running.database.reading() as session:
        assert session.get_one(Entry, int(left)).state == EntryState.WAITING
        how = session.exec(select(Entry).where(Entry.confirmed_how == "unmarked")).all()
    assert len(how) > 20


def test_the_card_fits_a_small_laptop_and_a_phone(
    running: Running, tab: Callable[..., Tab]
) -> None:
    """Reading, map, marks, choices, heard words and Confirm are on the screen without scrolling."""
    at = tab(viewport={"width": 1366, "height": 768})
    for animal in ("118", "538", "612"):
        at.open(f"/visits/{running.visit_id}/queue?entry={entry_of(running, animal).id}")
        for part in (".sentence", ".heard", ".slots", ".claw-map", ".decide > .act button", *([".marks", ".choices"] if animal == "538" else [])):  # fmt: skip
            box = at.page.locator(part).first.bounding_box()
            assert box["y"] >= 0, (animal, part)
            assert box["y"] + box["height"] <= 768, (animal, part, box)
    phone = tab(viewport={"width": 390, "height": 844}, has_touch=True)
    phone.open(f"/visits/{running.visit_id}/queue?entry={entry_of(running, '118').id}")
    box = phone.page.locator(".decide > .act button").first.bounding_box()
    assert box["y"] > 700
    assert box["y"] + box["height"] <= 844
    assert box["height"] >= 44


def test_a_second_enter_or_click_confirms_no_card_that_nobody_read(
    running: Running, tab: Callable[..., Tab]
) -> None:
    """The page's clock is held, so that the second one always comes too soon."""
    at = tab()
    at.open(f"/visits/{running.visit_id}/queue?entry={entry_of(running, '118').id}")
    confirm = at.page.get_by_role("button", name="Confirm", exact=True)
    for count, hour, act in (
        (1, 1e6, lambda: at.page.keyboard.press("Enter")),
        (2, 2e6, confirm.click),
    ):
        at.page.evaluate("now => { performance.now = () => now; }", hour)
        act()
        at.page.wait_for_selector(".notice >> text=Confirmed")
        at.settle()
        before = at.title
        act()
        at.page.wait_for_timeout(200)
        at.settle()
        assert at.title == before
        assert states(running)[EntryState.CONFIRMED] == count
