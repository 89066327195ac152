"""The evening in the terminal does all that the page does, through the same functions."""

import io

import pytest
from sqlmodel import select

from dictate.cli.deciding import go_through
from dictate.cli.evening import Evening
from dictate.store.tables import Alias, Animal, Entry, Visit


class Person:
    """Presses keys and types lines as they are asked for, and reads what is shown."""

    def __init__(self, database, settings, visit_id=None) -> None:
        self.todo: list[str] = []
        self.shown: list[str] = []
        self.evening = Evening(
            database,
            settings,
            "Kim",
            visit_id,
            self.next,
            lambda asked, _: self.next(asked),
            self.read,
        )

    def next(self, asked: str) -> str:
        self.shown.append(asked)
        return self.todo.pop(0) if self.todo else "q"

    def read(self, what: object) -> None:
        parts = getattr(what, "renderables", [what])
        self.shown += [getattr(part, "plain", str(part)) for part in parts]

    def does(self, *keys: str) -> str:
        self.todo, self.shown = list(keys), []
        go_through(self.evening)
        assert not self.todo, f"not asked for: {self.todo}"
        return "\n".join(self.shown)


@pytest.fixture
def person(database, settings) -> Person:
    return Person(database, settings)


def entries(database) -> list[tuple[str, str | None, list[str]]]:
    with database.reading() as session:
        found = session.exec(select(Entry).order_by(Entry.id)).all()
        return [
            (one.state, one.content["animal"], [f"{f['foot']} {f['lesion']}" for f in one.content["findings"]])
            for one in found
        ]  # fmt: skip


ULCER = {
    "animal": "412",
    "findings": [{"foot": "LH", "lesion": "sole ulcer", "heard": "soul elsa"}],
}
CLEAN = {"animal": "413", "findings": [{"foot": "RH", "lesion": "no lesion"}]}
DOUBT = {"marks": ["x"], "mark_details": [{"id": "x", "what": "a doubt"}]}


def test_confirm_skip_and_confirm_the_rest_together(database, queue, person) -> None:
    queue(CLEAN, ULCER | DOUBT, CLEAN | {"animal": "7"})
    said = person.does("", "a", "")
    assert "a doubt" in said
    assert "2 confirmed together" in said
    assert {state for state, *_ in entries(database)} == {"confirmed"}
    person.does("u")
    assert [state for state, *_ in entries(database)] == ["waiting", "confirmed", "waiting"]


def test_every_fix_and_its_undo(database, queue, person) -> None:
    """Slots, another foot, same cow, split, discard: each changes what it says, and `u` takes each back."""
    queue(CLEAN, {**ULCER, **DOUBT, "actions": [{"kind": "wrap", "foot": "LH"}]})
    start = entries(database)
    person.does("f", "zone=4 lesion=toe ulcer")
    assert entries(database)[1][2] == ["LH toe ulcer"]
    person.does("m", "rh")
    assert entries(database)[1][2] == ["RH toe ulcer"]
    person.does("b")
    assert entries(database)[1][1] == "413"
    person.does("s", "2", "77")
    assert entries(database)[2][:2] == ("waiting", "77")
    person.does("x", "2")
    assert [state for state, *_ in entries(database)].count("rejected") == 1
    person.does("u", "u", "u", "u", "u")
    assert entries(database)[:2] == start


def test_a_wrong_number_takes_three_keys_or_its_digits(database, queue, person) -> None:
    """The list holds what the card does not offer; digits narrow it; Enter takes them as they are."""
    (entry,) = queue(ULCER | DOUBT)
    numbers = ["413", "555", "556", "700", "20"]
    with database.writing() as session:
        farm = session.get_one(Visit, session.get_one(Entry, entry).visit_id).farm_id
        session.add_all(Animal(farm_id=farm, number=one, on_roster=True) for one in numbers)
    said = person.does("n", "c")
    listed = next(line for line in said.splitlines() if line.startswith("a "))
    assert entries(database)[0][1] == dict(pair.split() for pair in listed.split("  "))["c"]
    person.does("n", "2", "a")
    assert entries(database)[0][1] == "20"
    person.does("n", "9", "9", "")
    assert entries(database)[0][1] == "99"


def test_typing_offers_to_learn_and_rereads(database, queue, person) -> None:
    queue(ULCER | DOUBT)
    said = person.does("t", "cow four twelve left hind toe ulcer next cow four thirteen all good")
    assert [one[1] for one in entries(database)] == ["412", "413"]
    person.does("u")
    assert entries(database)[1][0] == "rejected"
    said = person.does("f", "lesion=toe ulcer", "", "l")
    assert "l remembers: “soul elsa” means toe ulcer" in said.split("Nothing waits.")[1]
    with database.reading() as session:
        assert session.exec(select(Alias.heard)).one() == "soul elsa"


def test_faults_are_told_and_change_nothing(database, queue, person) -> None:
    queue({"findings": [{"lesion": "sole ulcer"}]})
    before = entries(database)
    for keys in (
        [""],
        ["f", "nonsense=1"],
        ["m"],
        ["b"],
        ["l"],
        ["u"],
        ["z"],
        ["s", "1", "9"],
        ["a"],
        ["x", ""],
    ):
        assert person.does(*keys)
        assert entries(database) == before


def test_the_command_takes_keys_from_a_pipe(dictate, clip, monkeypatch) -> None:
    dictate("take-in", clip("one.opus", "cow four twelve all good"), "--date", "2026-03-02")
    monkeypatch.setattr("sys.stdin", io.StringIO("?\no\n\n"))
    done = dictate("queue", "--decide")
    assert done.code == 0
    assert "same cow as before" in done.out
    assert "Nothing waits." in done.out


def test_words_are_put_right_one_by_one(database, queue, person) -> None:
    """The keys of the page, or signs that any keyboard and a file have."""
    queue(CLEAN | DOUBT, heard="cow four one three left hind")
    said = person.does("w", "$", "c", "l", "e", "a", "n", "", "", "q")
    assert ">…<" in said
    assert "reads  413: left hind no lesion" in said
    assert entries(database) == [("confirmed", "413", ["LH no lesion"])]
    person.does("u", "w", "<", "-", "_", ".", "q")
    assert entries(database)[0][0] == "waiting"
