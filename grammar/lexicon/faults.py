"""Faults that a schema cannot see: unknown sources, dangling names, look-alikes, numbers repaired."""

from collections.abc import Iterable, Mapping
from typing import Any

from grammar.say.templates import TemplateError, expand


def find_faults(
    files: Mapping[str, Any],
    rows: Iterable[tuple[str, str, Any]],
    number_words: frozenset[str],
    terms: Mapping[str, Any],
) -> list[str]:
    """Return one line for each fault: file, row, what is wrong and what to do."""
    return [
        *_unknown_sources(files, rows),
        *_confusion_faults(files, number_words, terms),
        *_dangling(files, terms),
        *_pair_faults(files, number_words),
        *_sound_faults(files, number_words),
        *_risk_faults(files),
    ]


def _unknown_sources(
    files: Mapping[str, Any], rows: Iterable[tuple[str, str, Any]]
) -> Iterable[str]:
    known = set(files["sources"].sources)
    used = [(f"{name}.toml: {section}", {row.source, *row.says}) for name, section, row in rows]
    used += [
        (f"lesions.toml: {row.name}", {row.zones_source})
        for row in files["lesions"].lesion
        if row.zones
    ]
    used += [("sites.toml: refine", {row.source}) for row in files["sites"].refine]
    used += [("confusions.toml", {row.source}) for row in files["confusions"].confusion]
    used += [("numbers.toml: pairs", {row.source}) for row in files["numbers"].pairs]
    for where, sources in used:
        for source in sorted(str(source) for source in sources - known):
            yield f"{where}: source {source!r} is not in sources.toml; add it there"


def _confusion_faults(
    files: Mapping[str, Any], number_words: frozenset[str], terms: Mapping[str, Any]
) -> Iterable[str]:
    said = {word for phrase in terms for word in phrase.split()}
    for row in files["confusions"].confusion:
        touched = set(f"{row.heard} {row.meant}".split()) & number_words
        if touched:
            yield (
                f"confusions.toml: {row.heard!r}: holds the number word {min(touched)!r}; "
                "numbers are never repaired, take the row out"
            )
        if not row.heard.strip() or not row.meant.strip():
            yield f"confusions.toml: {row.heard!r} for {row.meant!r}: one has no word; correct it"
        if not set(row.meant.split()) <= said:
            yield f"confusions.toml: {row.heard!r}: no phrase holds {row.meant!r}; correct it"


def _dangling(files: Mapping[str, Any], terms: Mapping[str, Any]) -> Iterable[str]:
    lesions = {row.name for row in files["lesions"].lesion}
    regions = {row.name for row in files["sites"].region}
    for row in files["sites"].region:
        if row.lesion_alone and row.lesion_alone not in lesions:
            yield f"sites.toml: region {row.name!r}: there is no lesion {row.lesion_alone!r}"
    for row in files["sites"].refine:
        named = {*row.lesions, *row.unsure, *([row.lesion] if row.lesion else [])}
        for name in sorted(named - lesions):
            yield f"sites.toml: refine: there is no lesion {name!r}"
        if row.region not in regions:
            yield f"sites.toml: refine: there is no region {row.region!r}"
    for row in files["lesions"].lesion:
        for phrase, others in row.unsure.items():
            if phrase not in terms:
                yield f"lesions.toml: {row.name}: unsure {phrase!r} is not among its says"
            for name in sorted(set(others) - lesions):
                yield f"lesions.toml: {row.name}: there is no lesion {name!r}"


def _sound_faults(files: Mapping[str, Any], number_words: frozenset[str]) -> Iterable[str]:
    numbers = files["numbers"]
    tables = (numbers.sounds, numbers.little_sounds, numbers.inner_sounds)
    for word, meant in (pair for table in tables for pair in table.items()):
        if meant not in number_words:
            yield f"numbers.toml: sounds: {word!r}: {meant!r} is no number word; correct it"
        if word in number_words:
            yield f"numbers.toml: sounds: {word!r} is a number word itself; take it out"


def _risk_faults(files: Mapping[str, Any]) -> Iterable[str]:
    cues = {row.cue for row in files["commands"].cue}
    for row in files["risks"].risk:
        for template in row.words:
            if says := _says_nothing(template):
                yield f"risks.toml: {row.name!r}: {template!r} {says}"
        for cue in sorted(set(row.cues) - cues):
            yield f"risks.toml: {row.name!r}: there is no cue {cue!r} in commands.toml"
        if row.ask.count("{thing}") != 1:
            yield f"risks.toml: {row.name!r}: the question must name {{thing}} once"


def _says_nothing(template: str) -> str:
    """Return what is wrong with a template that is no phrase, or may be none."""
    try:
        return "" if all(expand(template)) else "may stand for no word at all; correct it"
    except TemplateError as error:
        return f"cannot be read ({error}); correct it"


def _pair_faults(files: Mapping[str, Any], number_words: frozenset[str]) -> Iterable[str]:
    for pair in files["numbers"].pairs:
        if not {pair.a, pair.b} <= number_words:
            yield f"numbers.toml: pairs: {pair.a!r}/{pair.b!r} are not number words; correct them"
