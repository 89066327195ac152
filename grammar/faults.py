"""Faults that a schema cannot see: unknown sources, look-alike letters, numbers in confusions."""

from collections.abc import Iterable, Mapping

from pydantic import BaseModel

__all__ = ["find_faults"]


def find_faults(
    files: Mapping[str, BaseModel],
    rows: Iterable[tuple[str, str, BaseModel]],
    number_words: frozenset[str],
) -> list[str]:
    """Return one line for each fault: file, row, what is wrong and what to do."""
    known = set(files["sources"].sources)  # type: ignore[attr-defined]
    faults: list[str] = []
    for name, section, row in rows:
        used = {row.source, *row.says}  # type: ignore[attr-defined]
        used |= {source for source in (getattr(row, "zones_source", None),) if source}
        faults += [
            f"{name}.toml: {section}: source {source!r} is not in sources.toml; add it there"
            for source in sorted(used - known)
        ]
    for confusion in files["confusions"].confusion:  # type: ignore[attr-defined]
        touched = set(f"{confusion.heard} {confusion.meant}".split()) & number_words
        if touched:
            faults.append(
                f"confusions.toml: {confusion.heard!r}: holds the number word "
                f"{min(touched)!r}; numbers are never repaired, take the row out"
            )
    lesions = {row.name for row in files["lesions"].lesion}  # type: ignore[attr-defined]
    for row in files["sites"].region:  # type: ignore[attr-defined]
        if row.lesion_alone and row.lesion_alone not in lesions:
            faults.append(f"sites.toml: region {row.name!r}: no lesion {row.lesion_alone!r}")
    for pair in files["numbers"].pairs:  # type: ignore[attr-defined]
        if not {pair.a, pair.b} <= number_words:
            faults.append(f"numbers.toml: pairs: {pair.a!r}/{pair.b!r} are not number words")
    return faults
