"""The grammar run backwards: notes as a trimmer might say them, with the entries they must give.

Used to train the recogniser's language model and to prove that the parser reads what the lexicon
says can be said.  Where the specification leaves words open to two readings ("outer toe ulcer") the
sampler says something else.
"""

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from grammar.hear.animals import Roster
from grammar.lexicon.load import load_lexicon
from grammar.say.say_note import NoteInTheMaking, Plain, values_of
from grammar.say.say_numbers import ONES, say_identifier, say_quantity

_FEET = ("LH", "RH", "LF", "RF")
_TWO_FEET = (("LH", "RH"), ("LF", "RF"))
_PAIRS = (*_TWO_FEET, ("LF", "RF", "LH", "RH"))
_STAGES = {"M0": "zero", "M1": "one", "M2": "two", "M3": "three", "M4": "four",
           "M4.1": "four point one"}  # fmt: skip
_ESSENCE = ("animal", "findings", "actions", "follow_ups", "locomotion", "measures", "status",
            "denied", "remark")  # fmt: skip
_SIZES = {"half inch": "half inch", "two inch": "two inch", "an inch": "inch"}
_MEASURES = {"dorsal wall": "dorsal wall", "toe length": "dorsal wall", "heel height": "heel height",
             "sole thickness": "sole depth"}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A sampled note."""

    words: tuple[str, ...]
    entries: tuple[Plain, ...]
    """The entries it must give, with the keys of `essence`."""


def essence(entry: Plain) -> Plain:
    """Return the part of a plain entry that the words alone decide: no marks, no heard words."""
    kept = {key: entry[key] for key in _ESSENCE}
    kept["findings"] = [
        {key: value for key, value in finding.items() if key != "heard"}
        for finding in entry["findings"]
    ]
    kept["follow_ups"] = [
        {key: follow_up[key] for key in ("kind", "in_days")} for follow_up in entry["follow_ups"]
    ]
    return kept


def sample_note(rng: random.Random, *, roster: Roster | None = None) -> Said:
    """Sample one note: usually one animal with one to three findings."""
    note = NoteInTheMaking(rng=rng)
    for _ in range(rng.choices((1, 2), (12, 1))[0]):
        _animal(note, roster)
        if note.chance(0.08):
            _lesion_first(note)
        for _ in range(rng.choices((0, 1, 2, 3), (1, 12, 6, 2))[0]):
            rng.choices(_BODIES, _BODY_WEIGHTS)[0](note)
        if note.chance(0.4):
            _follow_up(note)
    if note.chance(0.04):
        _remark(note)
    for entry in note.entries:  # what is said twice is one finding, and one deed
        found, done = entry["findings"], entry["actions"]
        entry["findings"] = [
            one for at, one in enumerate(found) if one["object"] or one not in found[:at]
        ]
        entry["actions"] = [one for at, one in enumerate(done) if one not in done[:at]]
    return Said(words=tuple(note.words), entries=tuple(note.entries))


# --- animals and sites ------------------------------------------------------------------------


def _animal(note: NoteInTheMaking, roster: Roster | None) -> None:
    number = _number(note.rng, roster)
    if any(entry["animal"] == number for entry in note.entries):
        return
    note.entries.append(
        {"animal": number, "findings": [], "actions": [], "follow_ups": [], "locomotion": None,
         "measures": [], "status": [], "denied": [], "remark": None}
    )  # fmt: skip
    note.feet, note.claw = (), None
    cue = note.rng.choices(("cow", "cow number", "number", "heifer", "tag", "animal"), (12, 3, 3, 2, 1, 1))[0]  # fmt: skip
    if note.chance(0.02) and roster is None:
        wrong = _number(note.rng, None)
        if wrong != number:
            note.say(cue, *say_identifier(wrong, note.rng), note.rng.choice(("no", "sorry")))
    note.say(*(("then",) if note.blends(cue) else ()), cue, *say_identifier(number, note.rng))


def _number(rng: random.Random, roster: Roster | None) -> str:
    if roster is not None and roster.numbers:
        return rng.choice(roster.numbers)
    low, high = rng.choices(((1, 99), (100, 999), (1000, 9999)), (1, 3, 1))[0]
    return str(rng.randint(low, high))


def _say_foot(note: NoteInTheMaking) -> None:
    foot = note.rng.choice(_FEET)
    if note.chance(0.03):
        wrong = note.rng.choice([other for other in _FEET if other != foot])
        note.say_value("FOOT", (wrong,))
        note.say(note.rng.choice(("no", "correction", "i mean")))
    note.say_value("FOOT", (foot,))
    note.feet, note.claw, note.settled = (foot,), None, False


def _site(note: NoteInTheMaking) -> None:
    """Say foot and claw where they change.

    A claw said later than a lesion without one would reach back to it, so a foot's part either
    starts with a claw or has none.
    """
    new = note.foot is None or note.settled or note.chance(0.6)
    if new:
        _say_foot(note)
    if note.chance(0.75) and (new or note.claw is not None):
        note.claw = note.rng.choice(("outer", "inner"))
        note.say_value("CLAW", note.claw)


def _finding(note: NoteInTheMaking, lesion: str, **more: Any) -> Plain:
    found: Plain = {
        "foot": note.foot, "claw": note.claw, "zone": None, "lesion": lesion, "stage": None,
        "severity": None, "object": None, "course": None, "tissue": [], "region": None,
    }  # fmt: skip
    found |= more
    note.entry["findings"].append(found)
    return found


# --- bodies -----------------------------------------------------------------------------------


def _lesion_body(note: NoteInTheMaking) -> None:
    _site(note)
    severity = note.rng.choice(("mild", "moderate", "severe")) if note.chance(0.2) else None
    if severity:
        note.say(severity)
    found = _lesion(note, severity=severity)
    _details(note, found)
    if note.chance(0.45):
        _action(note)


def _lesion(note: NoteInTheMaking, **more: Any) -> Plain:
    barred = {"no lesion", "other", "foreign body", *(f["lesion"] for f in note.entry["findings"])}
    names = [name for name in values_of("LESION") if name not in barred]
    lesion = note.rng.choice(names)
    note.say_value("LESION", lesion)
    return _finding(note, lesion, **more)


def _details(note: NoteInTheMaking, found: Plain) -> None:
    if found["lesion"] == "digital dermatitis" and note.chance(0.6):
        found["stage"] = note.rng.choice(list(_STAGES))
        note.say(note.rng.choice(("m", "stage")), _STAGES[found["stage"]])
    if note.chance(0.4):
        _zone(note, found)
    if note.chance(0.08):
        found["tissue"] = [note.rng.choice(("bleeding", "pus", "corium exposed", "granulation"))]
        note.say_value("TISSUE", found["tissue"][0])
    if note.chance(0.05):
        found["course"] = note.rng.choice(
            [value for value in values_of("COURSE") if value != "new"]
        )
        note.say_value("COURSE", found["course"])


def _zone(note: NoteInTheMaking, found: Plain) -> None:
    found["zone"] = note.rng.randint(0, 12)
    if note.chance(0.05):
        wrong = note.rng.choice([zone for zone in range(13) if zone != found["zone"]])
        note.say("zone", *say_quantity(wrong), "make that")
    note.say("zone", *say_quantity(found["zone"]))


def _lesion_first(note: NoteInTheMaking) -> None:
    """ "sole ulcer zone four left hind outer": nothing was said before the lesion."""
    found = _lesion(note)
    if note.chance(0.4):
        _zone(note, found)
    _say_foot(note)
    found["foot"] = note.foot
    if note.chance(0.7):
        found["claw"] = note.claw = note.rng.choice(("outer", "inner"))
        note.say_value("CLAW", note.claw)
    note.settled = True


def _foreign_body(note: NoteInTheMaking) -> None:
    _site(note)
    kind = note.rng.choice(("stone", "nail", "screw", "wire", "glass"))
    size = note.rng.choice(list(_SIZES)) if note.chance(0.4) else ""
    note.say(size, kind)
    _finding(note, "foreign body", object=f"{_SIZES[size]} {kind}" if size else kind)
    if note.chance(0.4):
        _action(note)


def _clean_body(note: NoteInTheMaking) -> None:
    if note.chance(0.3):
        # Of "trimmed, all four clean" the trim is of the four, too.
        feet = note.rng.choice(_PAIRS if note.feet else _TWO_FEET)
        note.say_value("FOOT", feet)
        note.feet, note.claw = feet, None
    else:
        _say_foot(note)
    note.say_value("LESION", "no lesion")
    for foot in note.feet:
        _finding(note, "no lesion", foot=foot)
    note.settled = True


def _denied_body(note: NoteInTheMaking) -> None:
    _site(note)
    note.say("no")
    lesion = note.rng.choice(("sole ulcer", "digital dermatitis", "abscess", "foot rot"))
    note.say(lesion)
    note.entry["denied"].append("interdigital phlegmon" if lesion == "foot rot" else lesion)


def _trim_body(note: NoteInTheMaking) -> None:
    if any(action["kind"] == "functional trim" for action in note.entry["actions"]):
        return
    note.say_value("ACTION", "functional trim")
    _done(note, "functional trim")


def _score_body(note: NoteInTheMaking) -> None:
    if note.entry["locomotion"] is None:
        scale, cue = note.rng.choice(
            (("1-5", "locomotion"), ("1-5", "lameness score"), ("0-3", "mobility"))
        )
        score = note.rng.randint(1, 3 if scale == "0-3" else 5)
        note.say(cue, ONES[score])
        note.entry["locomotion"] = {"score": score, "scale": scale}


def _measure_body(note: NoteInTheMaking) -> None:
    said, what = note.rng.choice(list(_MEASURES.items()))
    number = note.rng.randint(5, 95)
    note.say(said, *say_quantity(number), note.rng.choice(("millimetres", "mil", "mils")))
    note.entry["measures"].append({"what": what, "number": str(number), "unit": "mm"})


def _status_body(note: NoteInTheMaking) -> None:
    value = note.rng.choice(values_of("STATUS"))
    note.say_value("STATUS", value)
    note.entry["status"].append(value)


# --- actions, follow-ups, remarks -------------------------------------------------------------


def _done(note: NoteInTheMaking, kind: str, **more: Any) -> None:
    note.entry["actions"] += [
        {"kind": kind, "foot": foot, "claw": None, "material": None} | more
        for foot in note.feet or (None,)
    ]


_ON_LESION = frozenset({"topical", "therapeutic trim", "horn removed", "drained"})
"""Done to the claw of the lesion said before."""


def _action(note: NoteInTheMaking) -> None:
    kind = note.rng.choice(("block", "block", "block", "wrap", "topical", "therapeutic trim",
                            "horn removed", "drained", "referred"))  # fmt: skip
    if kind == "block":
        _block(note)
    else:
        claw = note.entry["findings"][-1]["claw"] if kind in _ON_LESION else None
        if kind == "topical":
            _done(note, kind, claw=claw, material=note.say_value("MATERIAL", "topical"))
        else:
            said = note.say_value("ACTION", kind)
            found = note.entry["findings"][-1]
            _done(note, _meant(kind, said, found), claw=claw)
            if tissue := told_tissue(said):
                found["tissue"] = [*(one for one in found["tissue"] if one != tissue), tissue]


def _meant(kind: str, said: str, found: Plain) -> str:
    """Return the deed that words are at a lesion: a crack opened was pared, a long toe cut back trimmed."""
    lesion = str(found["lesion"])
    crack = lesion.endswith("fissure") and "pus" not in found["tissue"]
    if kind == "drained" and crack and said.startswith("open") and kind not in said:
        return "therapeutic trim"
    shaped = load_lexicon().lesions[lesion].group == "shape"
    if kind == "therapeutic trim" and shaped and "back" in said.split():
        return "functional trim"
    return kind


def told_tissue(said: str) -> str | None:
    """Return what a deed's phrase, without its article, tells of the lesion: "let the pus out"."""
    terms = load_lexicon().terms
    tissue: str | None = (terms.get(said) or terms[f"the {said}"]).row.tissue
    return tissue


def _block(note: NoteInTheMaking) -> None:
    material = note.say_value("MATERIAL", "block") if note.chance(0.6) else None
    claw = note.rng.choice(("outer", "inner"))
    note.say(note.rng.choice(("block", "block", "blocked")))
    note.say_value("CLAW", claw, before="on the")
    _done(note, "block", claw=claw, material=material)


def _follow_up(note: NoteInTheMaking) -> None:
    kind = note.rng.choice(("look again", "look again", "wrap off", "block off", "vet", "trim"))
    note.say_value("FOLLOWUP", kind)
    unit, days = note.rng.choice((("day", 1), ("week", 7), ("week", 7), ("fortnight", 14)))
    count = 1 if unit == "fortnight" else note.rng.randint(1, 10)
    said = ("a",) if unit == "fortnight" else say_quantity(count)
    note.say("in", *said, unit if count == 1 else f"{unit}s")
    note.entry["follow_ups"].append({"kind": kind, "in_days": count * days})


def _remark(note: NoteInTheMaking) -> None:
    words = note.rng.sample(sorted(load_lexicon().fillers & load_lexicon().vocabulary), 4)
    note.say("remark", *words)
    note.entry["remark"] = " ".join(words)


_BODIES: Sequence[Callable[[NoteInTheMaking], None]] = (
    _lesion_body, _clean_body, _trim_body, _score_body, _status_body, _foreign_body, _measure_body,
    _denied_body,
)  # fmt: skip
_BODY_WEIGHTS = (24, 6, 2, 2, 2, 2, 1, 1)
