"""The lexicon's data: loads, reports every fault at once, and covers the published vocabulary."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from grammar import load_lexicon, parse, split_text, vocabulary
from grammar.errors import LexiconError
from grammar.lexicon.load import LEXICON_FOLDER
from grammar.lexicon.reference import PAGES
from grammar.say.templates import TemplateError, expand

ROOT = Path(__file__).parents[2]


@pytest.fixture
def folder(tmp_path):
    """A copy of the lexicon that a test may spoil."""
    return Path(shutil.copytree(LEXICON_FOLDER, tmp_path / "lexicon"))


def append(folder, name, text):
    with (folder / f"{name}.toml").open("a", encoding="utf-8") as file:
        file.write(text)


def test_every_fault_is_reported_at_once(folder):
    """Faults of three files are all named, each with its file."""
    append(
        folder, "details", '\n[[severity]]\nvalue = "awful"\nsource = "CP"\nsayz.CP = ["awful"]\n'
    )
    append(folder, "sites", '\n[[claw]]\nclaw = "middle"\nsource = "CP"\nsays.CP = ["middle"]\n')
    (folder / "numbers.toml").unlink()

    with pytest.raises(LexiconError) as caught:
        load_lexicon(folder)

    files = {fault.split(":")[0] for fault in caught.value.faults}
    assert {"details.toml", "sites.toml", "numbers.toml"} <= files


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("lesions", '\n[[lesion]]\nname = "x"\ngroup = "horn"\non = "horn"\nzones = []\nsource = "??"\nsays.CP = ["xyz"]\n', "'??' is not in sources.toml"),
        ("details", '\n[[severity]]\nvalue = "x"\nsource = "CP"\nsays.CP = ["sole ulcer"]\n', "already 'lesion: sole ulcer'"),
        ("details", '\n[[severity]]\nvalue = "x"\nsource = "CP"\nsays.CP = ["(a|b"]\n', "missing ')'"),
        ("confusions", '\n[[confusion]]\nheard = "for"\nmeant = "four"\nsource = "CP"\n', "numbers are never repaired"),
        ("confusions", '\n[[confusion]]\nheard = "zebra"\nmeant = "quagga"\nsource = "CP"\n', "no phrase holds 'quagga'"),
        ("sites", '\n[[refine]]\nheard = ["ulcer"]\nregion = "tail"\nlesion = "sole ulcer"\nsource = "CP"\n', "no region 'tail'"),
        ("details", '\n[[severity]]\nvalue = "x"\nsource = "CP"\nsays.CP = ["s\u043ele"]\n', "should match pattern"),
        ("risks", '\n[[risk]]\nname = "x"\ncues = ["maybe so"]\nthreatens = ["lesion"]\nstands = "before"\nreach = 1\nask = "{thing}?"\nexample = "x"\n', "no cue 'maybe so'"),
        ("risks", '\n[[risk]]\nname = "x"\nwords = ["zig"]\nthreatens = ["lesion"]\nstands = "before"\nreach = 1\nask = "what?"\nexample = "x"\n', "must name {thing} once"),
        ("risks", '\n[[risk]]\nname = "x"\nwords = ["[zig]"]\nthreatens = ["lesion"]\nstands = "before"\nreach = 1\nask = "{thing}?"\nexample = "x"\n', "may stand for no word at all"),
        ("risks", '\n[[risk]]\nname = "x"\nwords = ["(zig"]\nthreatens = ["lesion"]\nstands = "before"\nreach = 1\nask = "{thing}?"\nexample = "x"\n', "missing ')'"),
        ("confusions", '\n[[confusion]]\nheard = "zebra"\nmeant = " "\nsource = "CP"\n', "one has no word"),
    ],
)  # fmt: skip
def test_faults_a_reader_would_miss(folder, name, text, said):
    """Unknown sources, doubled phrases, open brackets, numbers, dangling names, look-alike letters."""
    append(folder, name, text)

    with pytest.raises(LexiconError, match="."):
        load_lexicon(folder)
    try:
        load_lexicon(folder)
    except LexiconError as error:
        assert any(said in fault for fault in error.faults), error.faults


def test_every_phrase_is_taken_whole():
    """Each phrase of the lexicon, said alone after a foot, leaves no word over."""
    lexicon = load_lexicon()
    left = [
        phrase
        for phrase, term in lexicon.terms.items()
        if term.tag
        not in ("REMARK", "ENDING", "ZONE", "M", "GRADE", "LOCOMOTION", "SCORE", "OUTOF")
        and parse(["cow", "four", "left", "hind", *phrase.split()]).leftover
    ]
    assert [] == left


def test_vocabulary_is_plain_words():
    """Every word is lower case letters and apostrophes; the recogniser's filler is none."""
    words = vocabulary()

    assert all(
        word.replace("'", "").isalpha() and word == word.lower() and word.isascii()
        for word in words
    )
    assert "[unk]" not in words
    assert {"cow", "ulcer", "four", "fortnight", "march", "millimetres", "remark"} <= words


def test_unverified_codes_are_never_shown_as_the_standards():
    """Only the codes that a published text confirms are marked so (facts: DD, HHE, SH, SU, TU, WL)."""
    shown = {row.code for row in load_lexicon().lesions.values() if row.code_verified}

    assert {"DD", "HHE", "SH", "SU", "TU", "WL"} == shown


def test_grammar_never_imports_dictate():
    """The grammar stands alone."""
    code = (
        "import sys, grammar, grammar.best, grammar.say.phrases, grammar.lexicon.reference;"
        "assert not [m for m in sys.modules if m.split('.')[0] in ('dictate', 'vosk', 'sqlmodel', 'kaldifst', 'sounddevice')]"
    )
    subprocess.run([sys.executable, "-c", code], check=True, cwd=ROOT)
    for path in (ROOT / "grammar").rglob("*.py"):
        assert "import dictate" not in path.read_text(encoding="utf-8"), path
        assert "from dictate" not in path.read_text(encoding="utf-8"), path


@pytest.mark.parametrize("name", PAGES)
def test_reference_pages_are_fresh(name):
    """docs/reference holds what the grammar says of itself today."""
    page = (ROOT / "docs" / "reference" / name).read_text(encoding="utf-8")

    assert PAGES[name]() == page, "run: python -m grammar.lexicon.reference docs/reference"


@pytest.mark.parametrize(
    ("template", "phrases"),
    [
        ("a (b|c) d", ("a b d", "a c d")),
        ("a [b|c] d", ("a b d", "a c d", "a d")),
        ("[a (b|c)] d", ("a b d", "a c d", "d")),
        ("remove[d] it", ("removed it", "remove it")),
    ],
)
def test_templates(template, phrases):
    """Round brackets choose, square ones may be left out."""
    assert phrases == expand(template)


@pytest.mark.parametrize("template", ["(a", "a)", "[a|b", "a]"])
def test_templates_with_open_brackets(template):
    """A bracket without its partner is a fault."""
    with pytest.raises(TemplateError):
        expand(template)


@pytest.mark.parametrize("template", ["(" * 3000, "[" * 30 + "a" + "]" * 30, "(a|b)" * 40])
def test_templates_that_stand_for_too_much(template):
    """What would fill the memory, or nest without end, is a fault."""
    with pytest.raises(TemplateError, match="too many|more than"):
        expand(template)


def test_typed_text_is_split_into_words():
    """Typing gives the words that speaking gives."""
    assert ["cow", "412", "m", "4", "point", "1", "half", "inch"] == [
        word.text for word in split_text("Cow 412, M4.1; ½ inch")
    ]
