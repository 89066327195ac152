"""Notes that tell several lesions in one order: each detail must stand on its own lesion.

    python tests/bench/told_in_order.py [--each 4] [--seed 1]

A trimmer who says "sole ulcer left hind severe, white line right hind mild" tells both in one order, and so
with every order of foot, claw, lesion, zone, severity, course and deed, whether two feet are told of or three.
All orders in which the claw stands beside the foot or the lesion are said; words are drawn at random. Prints, for
each kind of note, how many are read exactly, wrong with a mark and wrong without, and one example of each order
that is wrong.
"""

import argparse
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import permutations

from grammar import parse
from grammar.records import Entry

FOOT, CLAW, LESION, ZONE, SEVERITY, COURSE, DEED, BLOCK = "FKLZSCAB"
WORDS: dict[str, dict[str, str]] = {
    FOOT: {"left hind": "LH", "right hind": "RH", "left front": "LF", "right front": "RF"},
    CLAW: {"outer": "outer", "inner": "inner"},
    LESION: {
        "sole ulcer": "sole ulcer", "white line": "white line disease", "toe ulcer": "toe ulcer",
        "double sole": "double sole", "heel erosion": "heel horn erosion", "thin sole": "thin sole",
        "sole bruise": "sole haemorrhage",
    },
    ZONE: {"zone four": "4", "zone two": "2", "zone six": "6"},
    SEVERITY: {"severe": "severe", "mild": "mild", "moderate": "moderate"},
    COURSE: {"healing": "healing", "worse": "worse", "new": "new"},
    DEED: {"sprayed": "topical", "wrapped it up": "wrap", "pared out": "therapeutic trim", "drained": "drained"},
    BLOCK: {"blocked the inner": "inner", "blocked the outer": "outer", "block on the inner": "inner"},
}  # fmt: skip
"""Words of each kind -> what they stand for."""
ONCE = (FOOT, LESION)
"""Kinds of which no two parts of a note have the same."""
KINDS = {
    "two lesions": (2, ("", "S", "C", "Z", "K", "KS", "KC", "KZ", "SZ", "CS", "KSZ")),
    "three lesions": (3, ("", "S", "C", "Z", "K", "KS", "KZ")),
    "two lesions, each with a deed": (2, ("A", "KA", "SA", "ZA")),
    "two lesions, each with a block": (2, ("B", "KB", "KZB")),
    "one lesion with a deed": (1, ("A", "B", "KA", "KB", "SA", "KSZA")),
}
"""Kind of note -> how many parts it has, and what each tells besides foot and lesion."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """What is said, and the findings and deeds that it tells."""

    order: str
    said: str
    findings: tuple[tuple[str | None, ...], ...]
    """Foot, claw, lesion, zone, severity and course of each, sorted."""
    deeds: tuple[tuple[str | None, ...], ...]
    """What was done to which foot, of a block with its claw, sorted."""


def orders(further: str) -> Iterator[str]:
    """Yield the orders of foot, lesion and what else is told, the claw beside one of the two."""
    for told in permutations(FOOT + LESION + further):
        at = told.index
        if CLAW not in told or 1 in (
            abs(at(CLAW) - at(FOOT)),
            abs(at(CLAW) - at(LESION)),
        ):
            yield "".join(told)


def notes(kind: str, each: int, rng: random.Random) -> Iterator[Note]:
    """Yield some notes of every order of a kind."""
    parts, furthers = KINDS[kind]
    for further in furthers:
        for order in orders(further):
            for _ in range(each):
                yield _note(order, parts, rng)


def _note(order: str, parts: int, rng: random.Random) -> Note:
    drawn = {
        kind: rng.sample(sorted(WORDS[kind]), parts)
        if kind in ONCE
        else rng.choices(sorted(WORDS[kind]), k=parts)
        for kind in order
    }
    told = [
        {kind: WORDS[kind][words[part]] for kind, words in drawn.items()} for part in range(parts)
    ]
    said = " ".join(drawn[kind][part] for part in range(parts) for kind in order)
    deeds = [(one[DEED], one[FOOT], None) for one in told if DEED in one]
    deeds += [("block", one[FOOT], one[BLOCK]) for one in told if BLOCK in one]
    return Note(
        order=order,
        said=f"cow four twelve {said}",
        findings=_sorted(tuple(map(one.get, "FKLZSC")) for one in told),
        deeds=_sorted(deeds),
    )


def wrong(note: Note) -> tuple[Entry, ...] | None:
    """Return the entries of a note that is not read as it was told."""
    entries = tuple(parse(note.said.split()).entries)
    findings = _sorted(
        tuple(
            str(slot.value) if slot is not None else None
            for slot in (one.foot, one.claw, one.lesion, one.zone, one.severity, one.course)
        )
        for entry in entries
        for one in entry.findings
    )
    deeds = _sorted(
        (
            one.kind.value,
            one.foot.value if one.foot else None,
            one.claw.value if one.claw and one.kind.value == "block" else None,
        )
        for entry in entries
        for one in entry.actions
    )
    right = len(entries) == 1 and findings == note.findings and deeds == note.deeds
    return None if right else entries


def _sorted(
    rows: Iterator[tuple[str | None, ...]] | Sequence[tuple[str | None, ...]],
) -> tuple[tuple[str | None, ...], ...]:
    return tuple(sorted(rows, key=str))


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--each", type=int, default=4, help="notes of each order")
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    for kind in KINDS:
        rng = random.Random(f"{options.seed}/{kind}")
        said, marked, silent = 0, 0, 0
        examples: dict[str, str] = {}
        for note in notes(kind, options.each, rng):
            said += 1
            entries = wrong(note)
            if entries is None:
                continue
            marks = sorted({mark.check for entry in entries for mark in entry.marks})
            marked, silent = marked + bool(marks), silent + (not marks)
            examples.setdefault(note.order, f"    {note.order} {note.said}: {marks or 'no mark'}")
        print(
            f"{kind}: {said} notes, {said - marked - silent} exact, {marked} wrong with a mark, {silent} without"
        )
        print(*examples.values(), sep="\n", end="\n" if examples else "")


if __name__ == "__main__":
    main()
