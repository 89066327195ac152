"""A reading for a person: each word, a caret line under it, and the rule that took it.

cow four twelve left hind banana sole ulcer
^^^^^^^^^^^^^^^ ^^^^^^^^^ ?????? ^^^^^^^^^^
1               2                3
1  animal by number    412
…
?  left over: banana
"""

from collections.abc import Sequence

from grammar.explain import as_json
from grammar.records import Reading, Taken

_WIDTH = 96
"""Columns before the words go on in the next line."""


def as_text(reading: Reading) -> str:
    """Return the words with a caret line, the rules, what was left over, and the entries."""
    words = [word.text for word in reading.words]
    numbered = [taken for taken in reading.taken if taken.rule != "filler word"]
    lines: list[str] = []
    for first, last in _lines(words):
        lines += _block(words, first, last, numbered, set(reading.leftover))
    lines += [_rule(number, taken, words) for number, taken in enumerate(numbered, start=1)]
    if reading.leftover:
        lines.append(" ?  left over: " + " ".join(words[i] for i in reading.leftover))
    lines += ["", *_entries(reading)]
    return "\n".join(lines).rstrip() + "\n"


def _lines(words: Sequence[str]) -> list[tuple[int, int]]:
    """Cut the words into lines that are no wider."""
    lines: list[tuple[int, int]] = []
    first, used = 0, 0
    for i, word in enumerate(words):
        if used and used + len(word) + 1 > _WIDTH:
            lines.append((first, i))
            first, used = i, 0
        used += len(word) + 1
    return [*lines, (first, len(words))] if words else []


def _block(
    words: Sequence[str], first: int, last: int, numbered: Sequence[Taken], left: set[int]
) -> list[str]:
    """One line of words, its carets and the numbers of the rules."""
    starts = {taken.first: number for number, taken in enumerate(numbered, start=1)}
    carets, numbers = "", ""
    for i in range(first, last):
        taken = next((t for t in numbered if t.first <= i < t.last), None)
        sign = "?" if i in left else "^" if taken else " "
        inside = taken is not None and i + 1 < min(taken.last, last)
        carets += sign * len(words[i]) + ("^" if inside else " ")
        label = str(starts[i]) if i in starts else ""
        numbers += label.ljust(len(words[i]) + 1)
    return [" ".join(words[first:last]), carets.rstrip(), numbers.rstrip()]


def _rule(number: int, taken: Taken, words: Sequence[str]) -> str:
    said = " ".join(words[taken.first : taken.last])
    value = f" -> {taken.value}" if taken.value and taken.value != said else ""
    return f"{number:>2}  {said}{value}   [{taken.rule}]"


def _entries(reading: Reading) -> list[str]:
    """The entries in words, with their marks."""
    lines: list[str] = []
    plain = as_json(reading)
    for entry in plain["entries"]:
        lines.append(f"animal {entry['animal'] or '?'}")
        for name in ("findings", "actions", "follow_ups", "measures"):
            lines += [f"  {name[:-1].replace('_', '-')}: {_pairs(item)}" for item in entry[name]]
        if entry["locomotion"]:
            lines.append(f"  locomotion: {_pairs(entry['locomotion'])}")
        lines += [
            f"  {name}: {', '.join(entry[name])}" for name in ("status", "denied") if entry[name]
        ]
        lines += [
            f"  corrected: {c['slot']}: {c['was']} -> {c['now'] or 'taken back'}"
            for c in entry["corrections"]
        ]
        if entry["remark"]:
            lines.append(f"  remark: {entry['remark']}")
        lines += [f"  ! {m['id']}: {m['what']}. {m['clear']}" for m in entry["mark_details"]]
    lines += [f"! {m['id']}: {m['what']}. {m['clear']}" for m in plain["mark_details"]]
    return lines


def _pairs(item: dict[str, object]) -> str:
    kept = (
        f"{key} {value}"
        for key, value in item.items()
        if value not in (None, "", [], ()) and key != "heard"
    )
    return ", ".join(kept)
