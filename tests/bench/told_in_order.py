"""Notes that tell several lesions in one order: each detail must stand on its own lesion.

    python tests/bench/told_in_order.py [--each 4] [--seed 1]

A trimmer who says "sole ulcer left hind severe, white line right hind mild" tells both in one order, and so
with every order of foot, claw, lesion, zone, severity, course and deed, whether two feet are told of or three.
All orders in which the claw stands beside the foot or the lesion are said; words are drawn at random. Feet that
have one lesion, two, one on each claw, none, or one that is denied are put together in every way, too, each foot
said before what is told of it, or each behind. Prints, for each kind of note, how many are read exactly, wrong with a mark and wrong without, and one example of each order
that is wrong.
"""

import argparse
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import permutations, product

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
    deeds: tuple[tuple[str | None, ...], ...] = ()
    """What was done to which foot, of a block with its claw, sorted."""
    denied: tuple[str, ...] = ()
    """Lesions said not to be there, sorted."""


APART = ("one", "two", "claws", "clean", "denied")
"""What may be told of a foot: a lesion, two, one on each claw, that it is clean, that one is not there."""
TOLD_APART = {"two feet, each its own": 2, "three feet, each its own": 3}
"""Kind of note -> number of feet."""


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
    deeds: list[tuple[str | None, ...]] = [
        (one[DEED], one[FOOT], None) for one in told if DEED in one
    ]
    deeds += [("block", one[FOOT], one[BLOCK]) for one in told if BLOCK in one]
    return Note(
        order=order,
        said=f"cow four twelve {said}",
        findings=_sorted(tuple(map(one.get, "FKLZSC")) for one in told),
        deeds=_sorted(deeds),
    )


def apart(kind: str, each: int, rng: random.Random) -> Iterator[Note]:
    """Yield some notes of every way in which so many feet can each have something told of them."""
    for told in product(APART, repeat=TOLD_APART[kind]):
        for foot_first in (True, False):
            for _ in range(each):
                yield _told_apart(told, foot_first=foot_first, rng=rng)


def _told_apart(told: Sequence[str], *, foot_first: bool, rng: random.Random) -> Note:
    feet = rng.sample(sorted(WORDS[FOOT]), len(told))
    lesions = iter(rng.sample(sorted(WORDS[LESION]) * 2, len(WORDS[LESION]) * 2))
    parts: list[str] = []
    findings: list[tuple[str | None, ...]] = []
    denied: list[str] = []
    for what, foot in zip(told, feet, strict=True):
        one, other = next(lesions), next(lesions)
        while other == one:
            other = next(lesions)
        claws = ("outer", "inner") if what == "claws" else (None, None)
        said = {
            "one": one,
            "two": f"{one} and {other}",
            "claws": f"outer {one} inner {other}" if foot_first else f"{one} outer {other} inner",
            "clean": rng.choice(("clean", "fine", "no lesions", "all clear")),
            "denied": f"no {one}",
        }[what]
        parts.append(f"{foot} {said}" if foot_first else f"{said} {foot}")
        found = {"one": (one,), "clean": (), "denied": ()}.get(what, (one, other))
        findings += [
            (WORDS[FOOT][foot], claw, WORDS[LESION][lesion], None, None, None)
            for lesion, claw in zip(found, claws, strict=False)
        ]
        if what == "clean":
            findings.append((WORDS[FOOT][foot], None, "no lesion", None, None, None))
        if what == "denied":
            denied.append(WORDS[LESION][one])
    return Note(
        order="/".join((*told, "foot first" if foot_first else "foot last")),
        said=f"cow four twelve {' '.join(parts)}",
        findings=_sorted(findings),
        denied=tuple(sorted(denied)),
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
    denied = tuple(sorted(str(one.value) for entry in entries for one in entry.denied))
    told = (note.findings, note.deeds, note.denied)
    right = len(entries) == 1 and (findings, deeds, denied) == told
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
    for kind in (*KINDS, *TOLD_APART):
        rng = random.Random(f"{options.seed}/{kind}")
        said, marked, silent = 0, 0, 0
        examples: dict[str, str] = {}
        for note in (notes if kind in KINDS else apart)(kind, options.each, rng):
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
