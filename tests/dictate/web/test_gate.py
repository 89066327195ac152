"""Who is let in: the link, the pairing code used once, and the limit on guessing."""

import pytest

from dictate.web.gate import CODE_MINUTES, Gate, TooManyTriesError


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
