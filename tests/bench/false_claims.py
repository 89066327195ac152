"""What other people's speech becomes: clips that make a claim about an animal, by what marks they carry.

    dictate hear FOLDER --json | python tests/bench/false_claims.py

For sound in which nobody says a note: requests, wake words, read English. A claim is an entry with a finding,
work, a score or what is due. Prints a row a folder: minutes, clips, clips with a claim, of these without the mark
`may-be-talk` and without any; clips whose entry names an animal and nothing else, and of these without a mark;
then what was heard in each clip with a claim.
"""

import json
import sys
from collections import defaultdict
from collections.abc import Iterable
from pathlib import Path
from typing import Any

CLAIMS = ("findings", "actions", "locomotion", "follow_ups")


def main() -> None:
    folders: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for line in sys.stdin:
        clip = json.loads(line)
        folders[Path(clip["file"]).parent.name].append(clip)
    if not folders:
        sys.exit(
            "Nothing came in: pipe the lines of `dictate hear FOLDER --json` into this script."
        )
    for folder, clips in folders.items():
        claims = [(clip, found) for clip in clips if (found := _claims(clip))]
        named = [found for clip in clips if not _claims(clip) and (found := _named(clip))]
        print(
            f"{folder}: {sum(clip['seconds_audio'] for clip in clips) / 60:.1f} min, {len(clips)} clips, "
            f"{len(claims)} with a claim, {_lacking((found for _, found in claims), 'may-be-talk')} of these not marked as talk, "
            f"{_lacking(found for _, found in claims)} without a mark; "
            f"{len(named)} with an animal alone, {_lacking(named)} without a mark"
        )
        for clip, found in claims:
            print(f"    {Path(clip['file']).name}: {clip['text']!r} {found}")


def _claims(clip: dict[str, Any]) -> list[list[str]]:
    """Return the marks of each entry that claims something."""
    return [entry["marks"] for entry in _entries(clip) if any(entry[claim] for claim in CLAIMS)]


def _named(clip: dict[str, Any]) -> list[list[str]]:
    """Return the marks of each entry that names an animal."""
    return [entry["marks"] for entry in _entries(clip) if entry["animal"]]


def _entries(clip: dict[str, Any]) -> list[dict[str, Any]]:
    return clip["entries"] or []


def _lacking(found: Iterable[list[list[str]]], mark: str | None = None) -> int:
    """Count the clips of which an entry lacks the mark, or has none at all."""
    return sum(
        any(not marks if mark is None else mark not in marks for marks in one) for one in found
    )


if __name__ == "__main__":
    main()
