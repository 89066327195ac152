"""Who is let in: the link, the pairing code used once, and the limit on guessing."""

import os

import pytest

from dictate.web.gate import CODE_MINUTES, Gate, TooManyTriesError
from dictate.web.sessions import Kept


def test_a_wrong_link_lets_nobody_in(gate: Gate) -> None:
    assert gate.enter("wrong") is None
    assert gate.enter("") is None


def test_the_link_gives_a_session_that_is_known_again(gate: Gate) -> None:
    cookie = gate.enter(gate.link_token)
    person = gate.person(cookie)
    assert person is not None
    assert person.name == "Robin Field"
    assert not person.paired


def test_no_code_holds_before_one_was_asked_for(gate: Gate) -> None:
    assert gate.pair("", "", "10.0.0.2") is None


def test_a_code_works_once(gate: Gate) -> None:
    code = gate.new_code()
    assert gate.pair(code, "Kim", "10.0.0.2") is not None
    assert gate.pair(code, "Kim", "10.0.0.3") is None


def test_a_code_may_be_typed_in_small_letters_with_a_gap(gate: Gate) -> None:
    code = gate.new_code()
    cookie = gate.pair(f" {code[:4].lower()} {code[4:].lower()} ", "Kim", "10.0.0.2")
    person = gate.person(cookie)
    assert person is not None
    assert (person.name, person.paired) == ("Kim", True)


def test_a_used_code_is_followed_by_a_new_one(gate: Gate) -> None:
    shown: list[str] = []
    gate.on_new_code = shown.append
    code = gate.new_code()
    gate.pair(code, "Kim", "10.0.0.2")
    assert len(shown) == 1
    assert shown[0] != code
    assert gate.pair(shown[0], "Jo", "10.0.0.3") is not None


def test_a_code_runs_out(gate: Gate, clock) -> None:
    code = gate.new_code()
    clock.now += CODE_MINUTES * 60 + 1
    assert gate.pair(code, "Kim", "10.0.0.2") is None


def test_five_wrong_codes_shut_an_address_out_even_with_the_right_one(gate: Gate, clock) -> None:
    code = gate.new_code()
    for _ in range(5):
        assert gate.pair("WRONGONE", "", "10.0.0.2") is None
    with pytest.raises(TooManyTriesError):
        gate.pair(code, "", "10.0.0.2")
    assert gate.pair(code, "", "10.0.0.3") is not None, "others are not shut out"
    clock.now += 601
    assert gate.pair("WRONGONE", "", "10.0.0.2") is None, "after a while it may try again"


def test_many_addresses_together_cannot_guess(gate: Gate) -> None:
    code = gate.new_code()
    shown: list[str] = []
    gate.on_new_code = shown.append
    for at in range(20):
        gate.pair("WRONGONE", "", f"10.0.1.{at}")
    with pytest.raises(TooManyTriesError):
        gate.pair(code, "", "10.0.0.3")
    assert shown, "the guessed-at code is thrown away"
    assert code not in shown


def test_a_session_that_was_not_used_ends(gate: Gate, clock) -> None:
    cookie = gate.enter(gate.link_token)
    clock.now += 17 * 3600
    assert gate.person(cookie) is None


def test_leaving_ends_the_session(gate: Gate) -> None:
    cookie = gate.enter(gate.link_token)
    gate.leave(cookie)
    assert gate.person(cookie) is None


def test_a_session_outlives_the_program_and_its_forms_too(tmp_path, clock) -> None:
    """A cookie that was let in is known after a restart, with the same token; a stranger's is not."""
    first = Gate("Robin Field", clock=clock, kept=Kept(tmp_path / "page.json"))
    cookie = first.enter(first.link_token)
    phone = first.pair(first.new_code(), "Kim", "10.0.0.2")
    token = first.person(cookie).csrf
    again = Gate("Robin Field", clock=clock, kept=Kept(tmp_path / "page.json"))
    assert again.person(cookie).csrf == token
    assert (again.person(phone).name, again.person(phone).paired) == ("Kim", True)
    assert again.person("another") is None
    assert again.enter(first.link_token) is None, "the link itself ends with the program"


def test_what_is_kept_of_sessions_lets_nobody_in(tmp_path, clock) -> None:
    """The file holds no cookie and no token, and is for its owner's eyes."""
    file = tmp_path / "page.json"
    gate = Gate("Robin Field", clock=clock, kept=Kept(file))
    cookie = gate.enter(gate.link_token)
    text = file.read_text()
    assert cookie not in text
    assert gate.person(cookie).csrf not in text
    assert os.name == "nt" or file.stat().st_mode & 0o077 == 0


def test_a_session_that_was_left_or_not_used_for_long_ends_over_a_restart(tmp_path, clock) -> None:
    file = tmp_path / "page.json"
    gate = Gate("Robin Field", clock=clock, kept=Kept(file))
    left, old = gate.enter(gate.link_token), gate.enter(gate.link_token)
    gate.leave(left)
    clock.now += 17 * 3600
    again = Gate("Robin Field", clock=clock, kept=Kept(file))
    assert again.person(left) is None
    assert again.person(old) is None


def test_a_damaged_file_of_sessions_lets_nobody_in_and_stops_nothing(tmp_path, clock) -> None:
    file = tmp_path / "page.json"
    file.write_text('{"port": "x"')
    gate = Gate("Robin Field", clock=clock, kept=Kept(file))
    assert gate.person(gate.enter(gate.link_token)) is not None
