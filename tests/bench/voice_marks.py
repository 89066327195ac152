"""Whether marks stay honest with a learnt voice: of the wrong slots, how many carry no mark.

    python tests/bench/voice_marks.py FOLDER... --model DIR [--model DIR]

Each folder holds sound that trained nothing and a transcripts.tsv.  Every slot that a model heard
is right or wrong by what the grammar reads from the words said (whether an animal, finding or
action was left out altogether is not counted here, `dictate model measure` counts that).  Prints a
line a model: slots, wrong ones, wrong ones without a mark on the slot, right ones with a mark.
"""

import argparse
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from heard_rows import heard_rows

from dictate.hearing.certainty import is_unsure, rank_of, rivals_of, slot_certainties
from grammar import Word, parse, parse_best


def slots_in(folders: Sequence[Path], model: Path) -> Counter[tuple[bool, bool]]:
    """Count slots by whether they are right and whether they are marked."""
    found: Counter[tuple[bool, bool]] = Counter()
    for _, row, heard in heard_rows(folders, model):
        hearings = heard.hearings
        reading = parse_best(hearings)
        rivals = rivals_of(rank_of(reading.words, hearings), hearings)
        others = [parse(hearings[rank]).entries for rank in rivals]
        sure = [Word(text=word, confidence=1.0) for word in row.words]
        wanted = {
            (_name(slot.slot), slot.value)
            for entry in parse(sure).entries
            for slot in slot_certainties(entry, sure)
        }
        for at, entry in enumerate(reading.entries):
            same = [some[at] if at < len(some) else None for some in others]
            for slot in slot_certainties(entry, reading.words, None, others=same):
                found[(_name(slot.slot), slot.value) in wanted, is_unsure(slot)] += 1
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
        slots, wrong = found.total(), found[False, False] + found[False, True]
        print(
            f"{model.name}: {slots} slots, {wrong} wrong, {found[False, False]} of them without a "
            f"mark ({found[False, False] / max(slots, 1):.2%} of slots, "
            f"{found[False, False] / max(wrong, 1):.0%} of wrong ones), "
            f"{found[True, True] / max(found[True, True] + found[True, False], 1):.0%} of right "
            "ones marked",
            flush=True,
        )


if __name__ == "__main__":
    main()
