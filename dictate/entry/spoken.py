"""Entries as a short line for the ear, in the trimmer's own words."""

import re
from collections.abc import Iterator, Sequence

from dictate.entry.terms import FOOT_NAMES
from dictate.entry.values import EntryValues, FollowUpValues

_ASK = {
    "animal-missing": "say the number again",
    "animal-ambiguous": "say the number again",
    "foot-missing": "say the foot again",
    "locomotion-scale-open": "score out of three or five?",
}
"""Checks that the speaker can clear at once, and the question that does it."""

_TELL = {
    "animal-not-on-roster": "not on the list",
    "number-sounds-alike": "check the number",
    "number-or-count": "check the number",
    "number-by-sound": "check the number",
    "animal-carried": "same cow",
    "corrected-after": "changed",
}


def spoken_line(entries: Sequence[EntryValues]) -> str:
    """Say what was understood and ask for what is missing; "say it again" when nothing was.

    E.g. "four twelve, left hind outer, sole ulcer, zone 4, block inner; look again 2 weeks".
    Digits stay digits where a voice reads them well.
    """
    lines = [line for line in map(_entry, entries) if line]
    return ". ".join(lines) or "say it again"


def taken_back_line(entries: Sequence[EntryValues]) -> str:
    """Say whose note was taken back, e.g. "taken back, 4 12"."""
    animals = dict.fromkeys(say_number(entry.animal) for entry in entries if entry.animal)
    return ", ".join(("taken back", *animals))


def say_number(number: str) -> str:
    """Read an animal number the way it is said: 412 "4 12", 207 "2 oh 7", 4100 "41 hundred".

    Up to two digits are one number, three or four are said in twos, longer ones digit by digit.
    """
    if not re.fullmatch(r"\d{3,4}", number):
        return number if len(number) < 3 else " ".join(number)
    front, back = number[:-2], number[-2:]
    if back == "00":
        return f"{front} hundred"
    return f"{front} oh {back[1]}" if back[0] == "0" else f"{front} {back}"


def _entry(values: EntryValues) -> str:
    if not (values.animal or values.findings or values.actions):
        return ""
    told = [_TELL[mark] for mark in values.marks if mark in _TELL]
    asked = [_ASK[mark] for mark in values.marks if mark in _ASK]
    animal = [say_number(values.animal)] if values.animal else []
    now = ", ".join([*animal, *told, *_found(values)])
    then = ", ".join(map(_follow_up, values.follow_ups))
    return "; ".join(filter(None, (now, then, *asked)))


def _found(values: EntryValues) -> Iterator[str]:
    site = ""
    for finding in values.findings:
        here = " ".join(filter(None, (FOOT_NAMES.get(finding.foot or ""), finding.claw)))
        if here and here != site:
            yield here
        site = here
        yield finding.lesion
        if finding.stage:
            yield finding.stage
        if finding.zone is not None:
            yield f"zone {finding.zone}"
    for action in values.actions:
        yield " ".join(filter(None, (action.kind, action.claw)))
    if values.locomotion:
        yield f"locomotion {values.locomotion.score}"
    if values.remark_to_tell:
        yield "remark kept"


def _follow_up(follow_up: FollowUpValues) -> str:
    days = follow_up.in_days
    feet = " and ".join(FOOT_NAMES[foot] for foot in follow_up.feet)
    what = " ".join(filter(None, (follow_up.kind, feet, follow_up.claw)))
    if days is None:
        return f"{what} {follow_up.when}".strip()
    if days and days % 7 == 0:
        return f"{what} {days // 7} week{'s' if days > 7 else ''}"
    return f"{what} {days} day{'s' if days != 1 else ''}"
