"""Whether marks stay honest with a learnt voice: of the wrong slots, how many carry no mark.

    python tests/bench/voice_marks.py FOLDER... --model DIR [--model DIR]

Each folder holds sound that trained nothing and a transcripts.tsv.  Every slot that a model heard
is right or wrong by what the grammar reads from the words said (whether an animal, finding or
action was left out altogether is not counted here, `dictate model measure` counts that).  Prints a
line a model: slots, wrong ones, wrong ones without a mark on the slot for how surely it was heard,
those of them in an entry that has no mark of any kind, right ones with a mark on the slot.
"""

import argparse
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from heard_rows import heard_rows

from dictate.hearing.certainty import is_unsure, rank_of, rivals_of, slot_certainties
from dictate.hearing.unsure import doubts_of
from grammar import Word, parse, parse_best


@dataclass(frozen=True, slots=True)
class Kind:
    """What a slot was, to be counted."""

    right: bool
    marked: bool
    """For how surely it was heard."""
    silent: bool
    """Its entry has no mark at all, also none of the grammar's."""


def slots_in(folders: Sequence[Path], model: Path) -> Counter[Kind]:
    """Count slots by whether they are right and marked."""
    found: Counter[Kind] = Counter()
    for _, row, heard in heard_rows(folders, model):
        hearings = heard.hearings
        reading = parse_best(hearings)
        rivals = rivals_of(rank_of(reading.words, hearings), hearings)
        others = [parse(hearings[rank]).entries for rank in rivals]
        doubts = doubts_of(reading, heard, roster=None, aliases=None)
        sure = [Word(text=word, confidence=1.0) for word in row.words]
        wanted = {
            (_name(slot.slot), slot.value)
            for entry in parse(sure).entries
            for slot in slot_certainties(entry, sure)
        }
        for at, entry in enumerate(reading.entries):
            same = [some[at] if at < len(some) else None for some in others]
            told = any(mark.check not in doubts[at].settled for mark in entry.marks)
            silent = not (told or doubts[at].marks)
            for slot in slot_certainties(
                entry, reading.words, None, others=same, voice=heard.voice
            ):
                right = (_name(slot.slot), slot.value) in wanted
                found[Kind(right, is_unsure(slot), silent)] += 1
    return found


def _name(slot: str) -> str:
    return slot.rpartition(".")[2]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--model", type=Path, action="append", required=True)
    asked = parser.parse_args()
    for model in asked.model:
        found = slots_in(asked.folders, model)
        slots = found.total()
        wrong = sum(count for kind, count in found.items() if not kind.right)
        unmarked = sum(n for kind, n in found.items() if not (kind.right or kind.marked))
        silent = sum(n for kind, n in found.items() if kind.silent and not kind.right)
        for_nothing = sum(n for kind, n in found.items() if kind.right and kind.marked)
        print(
            f"{model.name}: {slots} slots, {wrong} wrong, {unmarked} of them without a mark "
            f"({unmarked / max(slots, 1):.2%} of slots, {unmarked / max(wrong, 1):.0%} of wrong "
            f"ones), {silent} in an entry without any mark ({silent / max(wrong, 1):.0%}), "
            f"{for_nothing / max(slots - wrong, 1):.0%} of right ones marked",
            flush=True,
        )


if __name__ == "__main__":
    main()
