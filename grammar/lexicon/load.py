"""Reading the lexicon: TOML rows checked on load and flattened into terms that can be looked up."""

import gc
import hashlib
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError

from grammar.errors import LexiconError
from grammar.lexicon.faults import find_faults
from grammar.lexicon.lexicon import REPAIRABLE, TAGS, Lexicon, Term, stand_in
from grammar.lexicon.schema import FILES, ConfusionRow, CueRow, Numbers, PlainRow, RiskRow, Row
from grammar.records import How
from grammar.say.templates import TemplateError, expand, plural

LEXICON_FOLDER = Path(__file__).parent


def _read_files(folder: Path) -> tuple[dict[str, Any], list[str]]:
    files: dict[str, Any] = {}
    faults: list[str] = []
    for name, model in FILES.items():
        path = folder / f"{name}.toml"
        try:
            files[name] = model.model_validate(tomllib.loads(path.read_text(encoding="utf-8")))
        except OSError as error:
            faults.append(f"{path.name}: cannot be read ({error.strerror}); restore the file")
        except ValidationError as error:
            faults += [
                f"{path.name}: {'.'.join(str(part) for part in fault['loc'])}: {fault['msg']}"
                for fault in error.errors()
            ]
        except (ValueError, RecursionError) as error:  # tomllib and UTF-8 raise both
            faults.append(f"{path.name}: is not TOML ({error}); correct the line")
    return files, faults


def _rows(files: Mapping[str, BaseModel]) -> Iterator[tuple[str, str, Row]]:
    for name, file in files.items():
        for section in type(file).model_fields:
            if section in TAGS:
                for row in getattr(file, section):
                    yield name, section, row


def _row_terms(section: str, row: Any) -> Iterator[Term]:
    tag, column = TAGS[section]
    value = (row.side or row.end) if section == "half" else getattr(row, column)
    if tag == "CUE":
        tag = value.upper().replace(" ", "")
    elif getattr(row, "as_said", False):
        tag = "MEDICINE" if row.medicine else "TOLD"
    unsure = getattr(row, "unsure", {})
    for source, templates in row.says.items():
        for phrase in (phrase for template in templates for phrase in expand(template)):
            many = plural(phrase) if tag == "LESION" else None
            for said in (phrase, many) if many else (phrase,):
                how = How.EXACT if phrase == value else How.ALIAS
                others = tuple(unsure.get(phrase, ()))
                yield Term(tag, value, said, how, row, source, "", others)


def _terms(files: Mapping[str, BaseModel]) -> tuple[dict[str, Term], list[str]]:
    terms: dict[str, Term] = {}
    faults: list[str] = []
    for name, section, row in _rows(files):
        try:
            for term in _row_terms(section, row):
                other = terms.setdefault(term.phrase, term)
                if other.tag != term.tag or other.value != term.value:
                    faults.append(
                        f"{name}.toml: {term.phrase!r} is {term.id!r} and already {other.id!r}; "
                        "take it out of one row"
                    )
        except TemplateError as error:
            faults.append(f"{name}.toml: {section}: {error}")
    return terms, faults


def _confused(terms: Mapping[str, Term], files: Any) -> Iterator[tuple[Term, ConfusionRow]]:
    """Yield, for each confusion, the phrases as the recogniser may write them."""
    rows = files["confusions"].confusion
    wanted = {row.meant.split()[0] for row in rows}
    having: dict[str, list[tuple[str, Term]]] = {word: [] for word in wanted}
    for phrase, term in terms.items():
        if term.tag in REPAIRABLE:
            for word in wanted.intersection(phrase.split()):
                having[word].append((f" {phrase} ", term))
    for row in rows:
        heard, meant = f" {row.heard} ", f" {row.meant} "
        for phrase, term in having[row.meant.split()[0]]:
            if meant in phrase:
                yield stand_in(term, phrase.replace(meant, heard).strip(), How.REPAIRED), row


def _with_confusions(
    terms: Mapping[str, Term], files: Any
) -> tuple[dict[str, Term], dict[str, tuple[tuple[Term, int], ...]]]:
    """Return all phrases, and those that hold only where a note does not add up."""
    repaired: dict[str, Term] = {}
    in_doubt: dict[str, tuple[tuple[Term, int], ...]] = {}
    for term, row in _confused(terms, files):
        if row.only_in_doubt:
            in_doubt[term.phrase] = (*in_doubt.get(term.phrase, ()), (term, row.times))
        elif term.phrase not in terms:
            repaired.setdefault(term.phrase, term)
    return {**terms, **repaired}, in_doubt


def _number_words(numbers: Numbers) -> frozenset[str]:
    tables = (
        numbers.digits, numbers.identifier_digits, numbers.quantity_digits, numbers.teens,
        numbers.tens, numbers.scales, numbers.repeats, numbers.fractions,
    )  # fmt: skip
    return frozenset(word for table in tables for word in table) | frozenset(numbers.points.words)


def _vocabulary(terms: Mapping[str, Term], fillers: frozenset[str], numbers: Numbers) -> set[str]:
    dates = (numbers.ordinals, numbers.months, numbers.weekdays, numbers.units, numbers.time_units)
    words: set[str] = set()
    for phrase, term in terms.items():
        if not (isinstance(term.row, CueRow) and term.row.talk):
            words.update(phrase.split())
    return words | fillers | _number_words(numbers) | {word for table in dates for word in table}


def _plain_words(
    rows: Sequence[PlainRow],
) -> dict[str, tuple[tuple[frozenset[str], frozenset[str]], ...]]:
    found: dict[str, tuple[tuple[frozenset[str], frozenset[str]], ...]] = {}
    for row in rows:
        beside = frozenset(row.after.split()), frozenset(row.before.split())
        for word in dict.fromkeys(row.words):
            found[word] = (*found.get(word, ()), beside)
    return found


def _everyday(files: Mapping[str, Any], known: AbstractSet[str]) -> frozenset[str]:
    plain = (word for row in files["plain"].plain for word in row.words)
    return frozenset((*known, *plain, *files["plain"].things, *files["everyday"].words))


def _risk_words(rows: Sequence[RiskRow], talk: frozenset[str]) -> dict[str, tuple[RiskRow, ...]]:
    found: dict[str, tuple[RiskRow, ...]] = {}
    for row in rows:
        cues = [f"{cue.replace(' ', '')}: {cue}" for cue in row.cues]
        words = [phrase for template in row.words for phrase in expand(template)]
        words += sorted(talk.difference(row.talk_but)) if row.talk_but else []
        for word in dict.fromkeys((*words, *cues)):
            found[word] = (*found.get(word, ()), row)
    return found


@contextmanager
def _nothing_collected() -> Iterator[None]:
    """All that is made here stays, so looking through it for rubbish again and again finds none."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


@lru_cache(maxsize=4)
@_nothing_collected()
def load_lexicon(folder: Path = LEXICON_FOLDER) -> Lexicon:
    """Read and check the lexicon.

    Raises LexiconError with every fault of every file at once.
    """
    files, faults = _read_files(folder)
    if faults:
        raise LexiconError(tuple(faults))
    light = frozenset(files["commands"].filler.words)
    linking = light | frozenset(files["commands"].filler.loose)
    fillers = linking | frozenset(files["commands"].filler.talk)
    numbers: Numbers = files["numbers"]
    terms, faults = _terms(files)
    faults += find_faults(files, list(_rows(files)), _number_words(numbers), terms)
    if faults:
        raise LexiconError(tuple(faults))
    all_terms, in_doubt = _with_confusions(terms, files)
    risk_words = _risk_words(files["risks"].risk, fillers - linking)
    known = _vocabulary(terms, linking, numbers)
    everyday = _everyday(files, known | fillers)
    content = b"".join((folder / f"{name}.toml").read_bytes() for name in FILES)
    return Lexicon(
        version=hashlib.sha256(content).hexdigest()[:12],
        terms=all_terms,
        in_doubt=in_doubt,
        lesions={row.name: row for row in files["lesions"].lesion},
        refines=files["sites"].refine,
        rules=files["rules"].rule,
        odd_words=files["odd_words"].odd,
        clauses=files["clauses"],
        compared=files["compared"],
        corrections=files["corrections"],
        denials=files["denials"],
        plain=_plain_words(files["plain"].plain),
        plain_endings=files["plain"].endings,
        not_plain=frozenset(files["plain"].not_so),
        plain_things=frozenset(files["plain"].things),
        everyday=everyday,
        risk_words=risk_words,
        risk_begins=frozenset(words.split()[0] for words in risk_words),
        files=files,
        fillers=fillers,
        short_forms=files["commands"].short_forms,
        light=light,
        talk=fillers - linking,
        odd_talk=(fillers - linking).difference(files["odd_words"].anywhere),
        numbers=numbers,
        number_words=_number_words(numbers),
        sources=files["sources"].sources,
        vocabulary=frozenset(known) - frozenset(files["unheard"].words),
    )


def vocabulary() -> frozenset[str]:
    """Return every single word (lower case, a to z and apostrophe) that some rule can take."""
    return load_lexicon().vocabulary
