"""Sentences of the layers below the page, and readings, in a language made here: whole, and nothing else changed."""

import re
from collections.abc import Iterator
from functools import cache

import pytest

from dictate import texts
from dictate.entry.read import values_of
from dictate.entry.values import EntryValues
from dictate.entry.wording import say_entry
from dictate.texts.below import told
from dictate.texts.collect import collected
from dictate.texts.sentences import sentences
from grammar import Roster, load_lexicon, parse
from grammar.checks import CHECKS
from tests.grammar.test_cases import CASES
from tests.spoken import OPEN, SHUT, Pseudo

_HEARD = re.compile(r"""(?<!\w)(['"]).*?\1(?!\w)|“[^”]*”""")
"""Heard words stand in quotes, in Python's way or in ours."""
LEXICON = {str(term.value) for term in load_lexicon().terms.values()}
AS_THE_TIME_WAS_SAID = ("either-or", "follow-up-past")
"""Their candidates may be times, which stay in the speaker's own words."""


@pytest.fixture(autouse=True)
def _a_language_of_brackets() -> Iterator[None]:
    texts.speak("de", Pseudo())
    yield
    texts.choose(texts.SOURCE)


@cache
def entries() -> list[tuple[list[str], EntryValues]]:
    """What every hand-written case heard and reads as, with its marks."""
    return [
        (case["heard"].split(), values_of(entry))
        for case in CASES
        for entry in parse(
            case["heard"].split(),
            roster=Roster(numbers=tuple(case["roster"])) if case.get("roster") else None,
            on=case.get("date"),
        ).entries
    ]


def outside(text: str) -> str:
    """What of a text stands in no brackets."""
    return re.sub(f"{OPEN}[^{SHUT}]*{SHUT}", "", text)


def english(text: str) -> str:
    return text.replace(OPEN, "").replace(SHUT, "")


def test_every_mark_is_said_in_the_language_with_its_values() -> None:
    said = {
        (mark.id, text, " ".join(heard[mark.first : mark.last]) if mark.first >= 0 else "")
        for heard, values in entries()
        for mark in values.mark_details
        for text in (mark.what, mark.why, mark.clear)
    }
    assert len({check for check, *_ in said}) > 30

    other = {text for _, text, _ in said if english(told(text)) != text}
    assert other == set(), "a sentence with other words or values than the English one"
    bare = {
        told(text)
        for check, text, heard in said
        if check not in AS_THE_TIME_WAS_SAID
        if re.search(r"[a-z]{2}", _HEARD.sub("", outside(told(text)).replace(heard or "-", "")))
    }
    assert bare == set(), "English words outside the catalogue"


def test_a_reading_is_said_in_the_language_but_for_what_a_person_said() -> None:
    for _, values in entries():
        reading = say_entry(values)
        own = [one.material for one in values.actions] + [one.when for one in values.follow_ups]
        own += [one.object for one in values.findings] + [one.unit for one in values.measures]
        own += [one for one in values.status if one not in LEXICON]
        # "size of a golf ball": looks stay in the speaker's words.
        own += [one for found in values.findings for one in found.tissue if one not in LEXICON]
        left = outside(reading)
        for words in (*own, values.animal, values.remark):
            left = left.replace(words or "-", "")
        assert not re.search(r"[a-z]{2}", left), reading


@pytest.mark.parametrize("check", CHECKS.values(), ids=CHECKS)
def test_why_and_how_of_every_check_are_texts(check) -> None:
    assert told(check.why) == f"{OPEN}{check.why}{SHUT}"
    assert told(check.clear) == f"{OPEN}{check.clear}{SHUT}"


@pytest.mark.parametrize(
    ("sentence", "said"),
    [
        ("no foot for sole ulcer", "⟦no foot for ⟧⟦sole ulcer⟧⟦⟧"),
        ("block on left hind: which claw?", "⟦block on ⟧⟦left hind⟧⟦: which claw?⟧"),
        ("zone: 4 or 5", "⟦zone⟧: 4⟦ or ⟧5"),
        ("'wart' was taken as 'digital dermatitis'", "⟦⟧'wart'⟦ was taken as ⟧'⟦digital dermatitis⟧'⟦⟧"),
        ("line 4: has 3 cells under 2 headings", "⟦line ⟧4⟦: ⟧⟦has ⟧3⟦ cells under ⟧2⟦ headings⟧⟦⟧"),
        ("a sentence that nobody wrote", "a sentence that nobody wrote"),
        ("", ""),
    ],
)  # fmt: skip
def test_a_sentence_is_found_by_its_shape(sentence: str, said: str) -> None:
    assert told(sentence) == said


def test_values_go_where_the_translation_wants_them(tmp_path) -> None:
    class Turned(Pseudo):
        def gettext(self, message: str) -> str:
            return {
                "%(stage)s with %(lesion)s": "%(lesion)s, Stadium %(stage)s",
                "sole ulcer": "Sohlengeschwür",
            }.get(message, message)

    texts.speak("de", Turned())
    assert told("M2 with sole ulcer") == "Sohlengeschwür, Stadium M2"


def test_english_is_said_as_it_stands() -> None:
    texts.choose(texts.SOURCE)

    assert told("no foot for sole ulcer") == "no foot for sole ulcer"


def test_sentences_are_read_out_of_a_source() -> None:
    source = """
def one(entry):
    what = f"{entry.animal.value} is not on the roster"
    yield mark("id-of-it", what, entry.animal)
    yield mark("other", "the words fit " + ", ".join(found.fits), 1)
    raise StoreError(f"{name!r} is 5 % off", where=path, remedy="Try again" if easy else "Ask")
    raise ReviewError(gettext("is in the catalogue already"))
    key = f"{one} of two"
"""
    assert sorted(sentences(source)) == [
        "%(animal)s is not on the roster",
        "%(name)s is 5 %% off",
        "Try again",
        "the words fit %(fits)s",
    ]


def test_no_text_of_the_catalogue_is_a_value_alone() -> None:
    """Such a one would be found in every sentence."""
    alone = [one.id for one in collected() if re.fullmatch(r"(\W|%\(\w+\)s)*", str(one.id or "x"))]

    assert [one for one in alone if "%(" in str(one)] == []
