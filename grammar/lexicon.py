"""The lexicon: TOML rows checked on load and flattened into terms that can be looked up."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

from pydantic import BaseModel, ValidationError

from grammar.errors import LexiconError
from grammar.faults import find_faults
from grammar.records import How
from grammar.schema import FILES, Numbers, Row
from grammar.templates import TemplateError, expand, plural

__all__ = ["LEXICON_FOLDER", "Lexicon", "Term", "load_lexicon"]

LEXICON_FOLDER = Path(__file__).parent / "lexicon"


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """One phrase that can be said, and what it means."""

    tag: str
    """What the phrase is, as rules.toml names it: LESION, FOOT, ACTION …"""
    value: str | tuple[str, ...]
    """The canonical value."""
    phrase: str
    how: How
    row: Row
    source: str
    meant: str = ""
    """For a repaired term: the phrase it stands for."""

    @property
    def id(self) -> str:
        value = self.value if isinstance(self.value, str) else "+".join(self.value)
        return f"{self.tag.lower()}: {value}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Lexicon:
    """Everything that can be said, ready for look-up."""

    terms: Mapping[str, Term]
    """Phrase -> term; a phrase means one thing only."""
    files: Mapping[str, BaseModel]
    fillers: frozenset[str]
    numbers: Numbers
    sources: Mapping[str, str]
    number_words: frozenset[str]
    vocabulary: frozenset[str]
    """Every single word the grammar can take."""
    lesions: Mapping[str, Row] = field(default_factory=dict)
    """Lesion name -> its row."""


_TAGS = {
    "lesion": ("LESION", "name"),
    "foot": ("FOOT", "feet"),
    "half": ("HALF", "half"),
    "foot_word": ("FOOTWORD", "means"),
    "claw": ("CLAW", "claw"),
    "claw_word": ("CLAWWORD", "means"),
    "region": ("REGION", "name"),
    "severity": ("SEVERITY", "value"),
    "stage_word": ("STAGEWORD", "value"),
    "tissue": ("TISSUE", "value"),
    "course": ("COURSE", "value"),
    "object": ("OBJECT", "value"),
    "status": ("STATUS", "value"),
    "action": ("ACTION", "kind"),
    "material": ("MATERIAL", "for_"),
    "follow_up": ("FOLLOWUP", "kind"),
    "when": ("WHEN", "value"),
    "command": ("COMMAND", "kind"),
    "cue": ("CUE", "cue"),
}
_PLURAL_TAGS = frozenset({"LESION"})


def _value(row: Row, attribute: str) -> str | tuple[str, ...]:
    if attribute == "half":
        return getattr(row, "side", None) or getattr(row, "end", None) or ""
    value = getattr(row, attribute)
    return tuple(value) if isinstance(value, (list, tuple)) else value


def _row_terms(section: str, row: Row) -> Iterator[Term]:
    tag, attribute = _TAGS[section]
    value = _value(row, attribute)
    if tag == "CUE":
        tag = str(value).upper().replace(" ", "")
    for source, templates in row.says.items():
        for template in templates:
            for phrase in expand(template):
                how = How.EXACT if phrase == value else How.ALIAS
                yield Term(tag=tag, value=value, phrase=phrase, how=how, row=row, source=source)
                many = plural(phrase) if tag in _PLURAL_TAGS else None
                if many:
                    yield Term(tag=tag, value=value, phrase=many, how=how, row=row, source=source)


def _read_files(folder: Path) -> tuple[dict[str, BaseModel], list[str]]:
    files: dict[str, BaseModel] = {}
    faults: list[str] = []
    for name, model in FILES.items():
        path = folder / f"{name}.toml"
        try:
            files[name] = model.model_validate(tomllib.loads(path.read_text(encoding="utf-8")))
        except OSError as error:
            faults.append(f"{path.name}: cannot be read ({error.strerror}); restore the file")
        except tomllib.TOMLDecodeError as error:
            faults.append(f"{path.name}: is not TOML ({error}); correct the line")
        except ValidationError as error:
            faults += [
                f"{path.name}: {'.'.join(str(part) for part in fault['loc'])}: {fault['msg']}"
                for fault in error.errors()
            ]
    return files, faults


def _rows(files: Mapping[str, BaseModel]) -> Iterator[tuple[str, str, Row]]:
    for name, file in files.items():
        for section in type(file).model_fields:
            if section in _TAGS:
                for row in getattr(file, section):
                    yield name, section, row


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


def _with_confusions(terms: dict[str, Term], files: Mapping[str, BaseModel]) -> dict[str, Term]:
    """Add, for each confusion, the phrases as the recogniser may write them."""
    repaired: dict[str, Term] = {}
    for confusion in files["confusions"].confusion:  # type: ignore[attr-defined]
        heard, meant = f" {confusion.heard} ", f" {confusion.meant} "
        for phrase, term in terms.items():
            padded = f" {phrase} "
            if meant not in padded:
                continue
            variant = padded.replace(meant, heard).strip()
            if variant not in terms and variant not in repaired:
                repaired[variant] = Term(
                    tag=term.tag, value=term.value, phrase=variant, how=How.REPAIRED,
                    row=term.row, source=confusion.source, meant=phrase,
                )  # fmt: skip
    return terms | repaired


def _number_words(numbers: Numbers) -> frozenset[str]:
    tables = (
        numbers.digits, numbers.identifier_digits, numbers.quantity_digits, numbers.teens,
        numbers.tens, numbers.scales, numbers.repeats, numbers.fractions,
    )  # fmt: skip
    return frozenset(word for table in tables for word in table) | frozenset(numbers.points.words)


@lru_cache(maxsize=4)
def load_lexicon(folder: Path = LEXICON_FOLDER) -> Lexicon:
    """Read and check the lexicon.

    Raises LexiconError with every fault of every file at once.
    """
    files, faults = _read_files(folder)
    if faults:
        raise LexiconError(tuple(faults))
    terms, faults = _terms(files)
    numbers: Numbers = files["numbers"]  # type: ignore[assignment]
    number_words = _number_words(numbers)
    sources = files["sources"].sources  # type: ignore[attr-defined]
    faults += find_faults(files, list(_rows(files)), number_words)
    if faults:
        raise LexiconError(tuple(faults))
    fillers = frozenset(files["commands"].filler.words)  # type: ignore[attr-defined]
    dates = (numbers.ordinals, numbers.months, numbers.weekdays, numbers.units, numbers.time_units)
    vocabulary = (
        frozenset(word for phrase in terms for word in phrase.split())
        | fillers
        | number_words
        | frozenset(word for table in dates for word in table)
        | frozenset({"couple", "next", "this", "following", "week"})
    )
    return Lexicon(
        terms=_with_confusions(terms, files),
        files=files,
        fillers=fillers,
        numbers=numbers,
        sources=sources,
        number_words=number_words,
        vocabulary=vocabulary,
        lesions={row.name: row for row in files["lesions"].lesion},  # type: ignore[attr-defined]
    )
