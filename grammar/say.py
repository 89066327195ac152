"""The grammar run backwards: notes as a trimmer might say them, with the entries they must give.

Used to train the recogniser's language model, to print the phrase sheet and to prove that the
parser reads what the lexicon says can be said.
"""

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from grammar.animals import Roster
from grammar.lexicon import Term, load_lexicon
from grammar.records import How

__all__ = ["Said", "essence", "sample_note", "say_identifier", "say_quantity"]

_ONES = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_TEENS = ("ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen",
          "eighteen", "nineteen")  # fmt: skip
_TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_FEET = ("LH", "RH", "LF", "RF")
_STAGES = {"M0": "zero", "M1": "one", "M2": "two", "M3": "three", "M4": "four",
           "M4.1": "four point one"}  # fmt: skip
_ESSENCE = ("animal", "findings", "actions", "follow_ups", "locomotion", "measures", "status", "remark")


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A sampled note."""

    words: tuple[str, ...]
    entries: tuple[dict[str, Any], ...]
    """Expected entries, with the keys of `essence(as_json(...))`."""


def essence(entry: dict[str, Any]) -> dict[str, Any]:
    """Return the part of a plain entry that the words alone decide (no marks, no heard words)."""
    kept = {key: entry[key] for key in _ESSENCE}
    kept["findings"] = [
        {key: value for key, value in finding.items() if key != "heard"}
        for finding in entry["findings"]
    ]
    kept["follow_ups"] = [
        {key: follow_up[key] for key in ("kind", "in_days")} for follow_up in entry["follow_ups"]
    ]
    return kept


# --- numbers --------------------------------------------------------------------------------


def say_quantity(number: int) -> tuple[str, ...]:
    """Say a whole number below a million in full: 412 -> four hundred and twelve."""
    if number >= 1000:  # noqa: PLR2004
        head, tail = divmod(number, 1000)
        rest = () if not tail else (("and",) if tail < 100 else ()) + say_quantity(tail)  # noqa: PLR2004
        return (*say_quantity(head), "thousand", *rest)
    if number >= 100:  # noqa: PLR2004
        head, tail = divmod(number, 100)
        return (_ONES[head], "hundred", *(("and", *say_quantity(tail)) if tail else ()))
    return _two(number)


def _two(number: int) -> tuple[str, ...]:
    if number < 10:  # noqa: PLR2004
        return (_ONES[number],)
    if number < 20:  # noqa: PLR2004
        return (_TEENS[number - 10],)
    ten, unit = divmod(number, 10)
    return (_TENS[ten], _ONES[unit]) if unit else (_TENS[ten],)


def say_identifier(number: str, rng: random.Random) -> tuple[str, ...]:
    """Say a string of digits in one of the usual ways: singly, in pairs, in hundreds, doubled."""
    way = rng.choice(("digits", "digits", "pairs", "pairs", "hundreds"))
    if way == "hundreds" and len(number) == 3 and number[0] != "0":  # noqa: PLR2004
        return _hundreds(number, rng)
    if way == "pairs" and 2 <= len(number) <= 6:  # noqa: PLR2004
        return _pairs(number)
    return _singly(number, rng)


def _hundreds(number: str, rng: random.Random) -> tuple[str, ...]:
    rest = int(number[1:])
    if not rest:
        return (_ONES[int(number[0])], "hundred")
    return (_ONES[int(number[0])], "hundred", *(("and",) if rng.random() < 0.7 else ()), *_two(rest))


def _pairs(number: str) -> tuple[str, ...]:
    """The first digit alone where the count is odd; a pair with a zero in front digit by digit."""
    said: list[str] = []
    start = len(number) % 2
    if start:
        said.append(_ONES[int(number[0])])
    for at in range(start, len(number), 2):
        pair = number[at : at + 2]
        if pair[0] == "0":
            said += ["oh" if pair[1] != "0" else "zero", _ONES[int(pair[1])]]
        else:
            said += _two(int(pair))
    return tuple(said)


def _singly(number: str, rng: random.Random) -> tuple[str, ...]:
    said: list[str] = []
    at = 0
    while at < len(number):
        digit = number[at]
        name = "oh" if digit == "0" and rng.random() < 0.5 else _ONES[int(digit)]
        if number[at : at + 3] == digit * 3 and rng.random() < 0.3:
            said += ["treble", name]
            at += 3
        elif number[at : at + 2] == digit * 2 and rng.random() < 0.4:
            said += ["double", name]
            at += 2
        else:
            said.append(name)
            at += 1
    return tuple(said)


# --- phrases --------------------------------------------------------------------------------


@lru_cache(maxsize=1)
def _phrases() -> dict[tuple[str, Any], tuple[Term, ...]]:
    """Lexicon terms by tag and value; repaired ones are never said."""
    found: dict[tuple[str, Any], list[Term]] = {}
    for term in load_lexicon().terms.values():
        if term.how is not How.REPAIRED:
            found.setdefault((term.tag, term.value), []).append(term)
    return {key: tuple(terms) for key, terms in found.items()}


def _phrase(rng: random.Random, tag: str, value: Any) -> str:
    """Say a value: its own name half of the time, else any of its phrases."""
    terms = _phrases()[tag, value]
    if isinstance(value, str) and rng.random() < 0.5 and any(t.phrase == value for t in terms):
        return value
    return rng.choice(terms).phrase


def _claw_phrase(rng: random.Random, claw: str) -> str:
    """Say a claw without its own "on the", which would tie it to what stands before."""
    return rng.choice([t.phrase for t in _phrases()["CLAW", claw] if not t.phrase.startswith("on")])


def _values(tag: str) -> tuple[Any, ...]:
    return tuple(value for said, value in _phrases() if said == tag)


# --- notes ----------------------------------------------------------------------------------


@dataclass(slots=True)
class _Note:
    """A note in the making."""

    rng: random.Random
    words: list[str]
    entries: list[dict[str, Any]]
    foot: str | None = None
    claw: str | None = None
    clean: bool = False

    def say(self, *phrases: str) -> None:
        for phrase in phrases:
            self.words += phrase.split()

    @property
    def entry(self) -> dict[str, Any]:
        return self.entries[-1]


def sample_note(rng: random.Random, *, roster: Roster | None = None) -> Said:
    """Sample one note: usually one animal with one to three findings."""
    note = _Note(rng, [], [])
    for _ in range(rng.choices((1, 2), (12, 1))[0]):
        _animal(note, roster)
        for _ in range(rng.choices((1, 2, 3), (6, 3, 1))[0]):
            rng.choices(_BODIES, _BODY_WEIGHTS)[0](note)
        if rng.random() < 0.4:
            _follow_up(note)
    if rng.random() < 0.05:
        _remark(note)
    return Said(words=tuple(note.words), entries=tuple(note.entries))


def _animal(note: _Note, roster: Roster | None) -> None:
    rng = note.rng
    number = (
        rng.choice(roster.numbers)
        if roster is not None and roster.numbers
        else str(rng.choice((rng.randint(1, 99), rng.randint(100, 999), rng.randint(100, 999),
                             rng.randint(1000, 9999))))
    )  # fmt: skip
    note.entries.append(
        {"animal": number, "findings": [], "actions": [], "follow_ups": [], "locomotion": None,
         "measures": [], "status": [], "remark": None}
    )  # fmt: skip
    note.foot = note.claw = None
    cue = rng.choices(("cow", "cow number", "number", "heifer", "tag", "animal"), (12, 3, 3, 2, 1, 1))[0]
    note.say(cue, " ".join(say_identifier(number, rng)))


def _say_foot(note: _Note) -> str:
    foot = note.rng.choice(_FEET)
    note.say(_phrase(note.rng, "FOOT", (foot,)))
    note.foot, note.claw, note.clean = foot, None, False
    return foot


def _finding(note: _Note, lesion: str, **more: Any) -> dict[str, Any]:
    found = {
        "foot": note.foot, "claw": note.claw, "zone": None, "lesion": lesion, "stage": None,
        "severity": None, "object": None, "course": None, "tissue": [], "region": None, **more,
    }  # fmt: skip
    note.entry["findings"].append(found)
    return found


def _lesion_body(note: _Note) -> None:
    rng = note.rng
    new = note.foot is None or note.clean or rng.random() < 0.6
    foot = _say_foot(note) if new else note.foot
    # A claw said later would also reach back to lesions of this foot that had none.
    if rng.random() < 0.75 and (new or note.claw is not None):
        note.claw = rng.choice(("outer", "inner"))
        note.say(_claw_phrase(rng, note.claw))
    lesion = rng.choice([name for name in _values("LESION") if name not in ("no lesion", "other")])
    severity = rng.choice(("mild", "moderate", "severe")) if rng.random() < 0.2 else None
    if severity:
        note.say(severity)
    note.say(_phrase(rng, "LESION", lesion))
    found = _finding(note, lesion, severity=severity)
    if lesion == "digital dermatitis" and rng.random() < 0.6:
        found["stage"] = rng.choice(list(_STAGES))
        note.say(rng.choice(("m", "stage")), _STAGES[found["stage"]])
    if rng.random() < 0.4:
        found["zone"] = rng.randint(0, 12)
        note.say("zone", *say_quantity(found["zone"]))
    if rng.random() < 0.45:
        _action(note, foot)


def _clean_body(note: _Note) -> None:
    _say_foot(note)
    note.say(_phrase(note.rng, "LESION", "no lesion"))
    _finding(note, "no lesion")
    note.clean = True


def _action(note: _Note, foot: str | None) -> None:
    rng = note.rng
    kind = rng.choice(("block", "block", "block", "wrap", "topical", "therapeutic trim",
                       "horn removed", "drained", "referred"))  # fmt: skip
    made = {"kind": kind, "foot": foot, "claw": None, "material": None}
    if kind == "block":
        _block(note, made)
    elif kind == "topical":
        made["material"] = rng.choice([t.phrase for t in _phrases()["MATERIAL", "topical"]])
        note.say(made["material"])
    else:
        note.say(_phrase(rng, "ACTION", kind))
    note.entry["actions"].append(made)


def _block(note: _Note, made: dict[str, Any]) -> None:
    rng = note.rng
    if rng.random() < 0.6:
        made["material"] = rng.choice([t.phrase for t in _phrases()["MATERIAL", "block"]])
        note.say(made["material"])
    note.say(rng.choice(("block", "block", "blocked")))
    made["claw"] = rng.choice(("outer", "inner"))
    note.say("on the", _claw_phrase(rng, made["claw"]))


def _trim_body(note: _Note) -> None:
    note.say(_phrase(note.rng, "ACTION", "functional trim"))
    note.entry["actions"].append(
        {"kind": "functional trim", "foot": note.foot, "claw": None, "material": None}
    )


def _score_body(note: _Note) -> None:
    if note.entry["locomotion"] is not None:
        return
    score = note.rng.randint(1, 5)
    note.say("locomotion", _ONES[score])
    note.entry["locomotion"] = {"score": score, "scale": "1-5"}


def _status_body(note: _Note) -> None:
    value = note.rng.choice(_values("STATUS"))
    note.say(_phrase(note.rng, "STATUS", value))
    note.entry["status"].append(value)


def _follow_up(note: _Note) -> None:
    rng = note.rng
    kind = rng.choice(("look again", "look again", "wrap off", "block off", "vet", "trim"))
    count = rng.randint(1, 10)
    unit, days = rng.choice((("day", 1), ("week", 7), ("week", 7)))
    when = (*say_quantity(count), unit if count == 1 else f"{unit}s")
    note.say(_phrase(rng, "FOLLOWUP", kind), "in", *when)
    note.entry["follow_ups"].append({"kind": kind, "in_days": count * days})


def _remark(note: _Note) -> None:
    words = note.rng.sample(sorted(load_lexicon().fillers), 4)
    note.say("remark", *words)
    note.entry["remark"] = " ".join(words)


_BODIES: Sequence[Callable[[_Note], None]] = (
    _lesion_body, _clean_body, _trim_body, _score_body, _status_body,
)  # fmt: skip
_BODY_WEIGHTS = (12, 3, 1, 1, 1)
