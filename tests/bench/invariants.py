"""Put ways of talking together and check what must hold of every note, whatever was said.

    python tests/bench/invariants.py [COUNT] [SEED]

correction × slot × place, denial × lesion, not done × action, or × slot, and number forms with
hesitations and words that sound alike.  For each note:

- a denied lesion is never recorded;
- an action that was not done is never recorded, for it would be billed;
- the animal stays, but for a correction that names one;
- what a roundabout way of talking says was not there, or was not put on today, is never recorded
  without a mark on it;
- where the same little words say that it is there, or was done, nothing is marked for them;
- either one or the other is marked;
- a deed that is taken back is never recorded without a mark;
- what is due is due, or marked, and nothing of it is done;
- of two animals in one note each has its entry, or the note is marked;
- a number with a hesitation or a sound-alike in it is right or marked;
- no number word is lost in silence.

The words are those of invariants.toml.  Prints the breaches by kind, a few of each with their words,
and exits with 1 where there are any.
"""

import random
import sys
import tomllib
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from grammar import as_json, load_lexicon, parse
from grammar.checks.net import ASKED
from grammar.records import Mark, Reading, Slot
from grammar.say.say_numbers import say_identifier

ON = date(2026, 3, 2)
SHOWN = 6
"""Breaches printed of one kind."""
_WORDS = tomllib.loads((Path(__file__).parent / "invariants.toml").read_text("utf-8"))
_SMALL = ("one", "two", "three", "four", "five")
_SOUNDS = {
    "four": ("for",), "two": ("to", "too"), "eight": ("ate",), "one": ("won",), "oh": ("owe",),
    "three": ("tree",),
}  # fmt: skip
_OF_THE_NET = frozenset({"word-unused", "animal-lost", "foot-shared"})
_PAUSES = ("um", "uh", "er", "erm")


@dataclass(frozen=True, slots=True, kw_only=True)
class Talk:
    """A note put together, and the fault that its reading has."""

    kind: str
    words: list[str]
    fault: Callable[[Reading], str]
    """What is wrong with a reading; empty where nothing is."""


def talks(rng: random.Random) -> Iterator[Talk]:
    """Yield notes without end, all kinds in turn."""
    makers = (_denied, _not_done, _corrected, _either, _number, _gone_lesion, _gone_work, _there,
              _taken_back, _due, _two_animals, _denied_elsewhere, _moved, _state_elsewhere,
              _due_foot)  # fmt: skip
    while True:
        for make in makers:
            yield make(rng)


def breach(talk: Talk) -> str:
    """Return what a note breaks; empty where all holds."""
    reading = parse(talk.words, on=ON)
    return talk.fault(reading) or _lost_number(talk, reading)


def _animal(rng: random.Random) -> str:
    return str(rng.randint(10, 9999))


def _said(number: str, rng: random.Random) -> list[str]:
    return list(say_identifier(number, rng))


def _note(rng: random.Random, number: str, *parts: str) -> list[str]:
    words = [*rng.choice(_WORDS["starts"]).split(), *_said(number, rng)]
    return [*words, *" ".join(parts).split()]


def _site(rng: random.Random) -> str:
    claw = rng.choice(["", *_WORDS["claws"]])
    return f"{rng.choice(_WORDS['feet'])} {claw}".strip()


def _animals(reading: Reading) -> set[str | None]:
    return {entry.animal.value if entry.animal else None for entry in reading.entries}


def _marks(reading: Reading) -> set[str]:
    found = {mark.check for entry in reading.entries for mark in entry.marks}
    return found | {mark.check for mark in reading.marks}


def _strayed(reading: Reading, number: str) -> str:
    """Whether another animal than the one said is named with no mark of its number."""
    others = _animals(reading) - {number, None}
    marks = (mark for entry in reading.entries for mark in entry.marks)
    offered = any(number in mark.candidates for mark in marks)
    return f"animal became {', '.join(map(str, others))}" if others and not offered else ""


def _denied(rng: random.Random) -> Talk:
    number, (said, lesion) = _animal(rng), rng.choice(_WORDS["lesions"])
    how = rng.choice(_WORDS["denials"]).replace("X", said)
    words = _note(rng, number, _site(rng), how, rng.choice(_WORDS["tails"]))

    def fault(reading: Reading) -> str:
        for finding in (f for entry in reading.entries for f in entry.findings):
            healed = finding.course is not None and finding.course.value == "healed"
            if finding.lesion.value == lesion and not healed and not _marks(reading):
                return f"{lesion} was recorded"
        return _strayed(reading, number)

    return Talk(kind="denied", words=words, fault=fault)


def _denied_elsewhere(rng: random.Random) -> Talk:
    """ "No wart on the left hind, right hind foul": nothing was found on the left hind."""
    number, (said, _), (other, lesion) = _animal(rng), *rng.choices(_WORDS["lesions"], k=2)
    none, there = rng.sample(("left hind", "right hind", "left front", "right front"), 2)
    how = rng.choice(_WORDS["denials_of_site"]).replace("X", said)
    words = _note(rng, number, how, rng.choice(("", "on the", "in the")), none, there, other)

    def fault(reading: Reading) -> str:
        marked = bool(_marks(reading))
        for finding in (f for entry in reading.entries for f in entry.findings):
            foot = finding.foot.value if finding.foot else ""
            if finding.lesion.value == lesion and foot == _foot(none) and not marked:
                return f"{lesion} was recorded where another thing was denied"
        return _strayed(reading, number)

    return Talk(kind="denied elsewhere", words=words, fault=fault)


def _not_done(rng: random.Random) -> Talk:
    number, (said, kind) = _animal(rng), rng.choice(_WORDS["actions"])
    how = rng.choice(_WORDS["not_done"]).replace("X", said)
    lesion = rng.choice(_WORDS["lesions"])[0]
    words = _note(rng, number, _site(rng), lesion, how, rng.choice(_WORDS["tails"]))

    def fault(reading: Reading) -> str:
        done = {action.kind.value for entry in reading.entries for action in entry.actions}
        return f"{kind} was recorded as done" if kind in done else _strayed(reading, number)

    return Talk(kind="not done", words=words, fault=fault)


def _gone_lesion(rng: random.Random) -> Talk:
    number, (said, lesion) = _animal(rng), rng.choice(_WORDS["lesions"])
    how = rng.choice(_WORDS["gone_lesions"]).replace("X", said)
    words = _note(rng, number, rng.choice(_WORDS["feet"]), how)
    return Talk(kind="gone lesion", words=words, fault=lambda reading: _unasked(reading, lesion))


def _gone_work(rng: random.Random) -> Talk:
    number, (said, kind) = _animal(rng), rng.choice(_WORDS["actions"][:3])
    how = rng.choice(_WORDS["gone_work"]).replace("X", said)
    lesion = rng.choice(_WORDS["lesions"])[0]
    words = _note(rng, number, rng.choice(_WORDS["feet"]), lesion, how)
    return Talk(kind="gone work", words=words, fault=lambda reading: _unasked(reading, kind))


def _there(rng: random.Random) -> Talk:
    """With the same little words, of what is there or was done."""
    number, (said, _) = _animal(rng), rng.choice(_WORDS["lesions"])
    parts = [rng.choice(_WORDS["there_lesions"]).replace("X", said)]
    if rng.random() < 0.5:
        dressing = rng.choice(_WORDS["actions"][:3])[0]
        parts = [said, rng.choice(_WORDS["there_work"]).replace("X", dressing)]
    words = _note(rng, number, rng.choice(_WORDS["feet"]), *parts)

    def fault(reading: Reading) -> str:
        found = _marks(reading) & _OF_THE_NET
        return f"{', '.join(sorted(found))} was marked" if found else ""

    return Talk(kind="there", words=words, fault=fault)


def _taken_back(rng: random.Random) -> Talk:
    number, (done, kind) = _animal(rng), rng.choice(_WORDS["deeds"])
    how = rng.choice(_WORDS["taken_back"]).replace("X", done)
    lesion = rng.choice(_WORDS["lesions"])[0]
    words = _note(rng, number, rng.choice(_WORDS["feet"]), lesion, how)
    return Talk(kind="taken back", words=words, fault=lambda reading: _unasked(reading, kind))


def _due(rng: random.Random) -> Talk:
    number, (said, kind) = _animal(rng), rng.choice(_WORDS["dues"])
    when = rng.choice(_WORDS["whens"])
    lesion = rng.choice(_WORDS["lesions"])[0]
    words = _note(rng, number, rng.choice(_WORDS["feet"]), lesion, said, when)

    def fault(reading: Reading) -> str:
        due = {one.kind.value for entry in reading.entries for one in entry.follow_ups}
        done = {one.kind.value for entry in reading.entries for one in entry.actions}
        if done and not _marks(reading):
            return f"{', '.join(done)} was recorded as done"
        lost = kind not in due and not _marks(reading)
        return _strayed(reading, number) or (f"{kind} was lost" if lost else "")

    return Talk(kind="due", words=words, fault=fault)


def _two_animals(rng: random.Random) -> Talk:
    one, other = rng.sample(range(100, 2000), 2)
    between = rng.choice(_WORDS["betweens"])
    first, second = rng.sample(_WORDS["lesions"], 2)
    foot, foot2 = (rng.choice(_WORDS["feet"]) for _ in range(2))
    words = [
        *rng.choice(_WORDS["starts"]).split(), *_said(str(one), rng), *foot.split(), *first[0].split(),
        *between.split(), *_said(str(other), rng), *foot2.split(), *second[0].split(),
    ]  # fmt: skip

    def fault(reading: Reading) -> str:
        found = {
            (entry.animal.value if entry.animal else None, finding.lesion.value)
            for entry in reading.entries
            for finding in entry.findings
        }
        right = {(str(one), first[1]), (str(other), second[1])} == found
        return "" if right or _marks(reading) else f"read as {found}, unmarked"

    return Talk(kind="two animals", words=words, fault=fault)


def _unasked(reading: Reading, value: str) -> str:
    """Whether a value was recorded with no mark on it, and none of those that ask whether it is so."""
    for entry in reading.entries:
        heads = [one.kind for one in entry.actions]
        heads += [
            one.lesion for one in entry.findings if not one.course or one.course.value != "healed"
        ]
        for head in heads:
            if head.value == value and not any(_asks(mark, head) for mark in entry.marks):
                return f"{value} was recorded"
    return ""


def _asks(mark: Mark, head: Slot[str]) -> bool:
    if mark.check in ("said-unsure", "block-claw-unsaid", "foot-missing"):
        return False
    return mark.check in ASKED or (mark.first < head.last and head.first < mark.last)


def _corrected(rng: random.Random) -> Talk:
    """The slot takes the new value, or the note is marked; the animal changes only if it is named."""
    number = _animal(rng)
    foot, other = rng.sample(_WORDS["feet"][:4], 2)
    lesion = rng.choice(_WORDS["lesions"])[0]
    one, two = rng.sample(_SMALL, 2)
    first, second = _SMALL.index(one) + 1, _SMALL.index(two) + 1
    ways: dict[str, tuple[str, str, str, str]] = {
        "zone": (f"{foot} {lesion} zone {one}", rng.choice((two, f"zone {two}")), f"zone={first}", f"zone={second}"),
        "interval": (f"{foot} {lesion} look again in {one} weeks", rng.choice((two, f"{two} weeks")),
                     f"in_days={7 * first}", f"in_days={7 * second}"),
        "score": (f"locomotion {one} {foot} clean", f"locomotion {two}", f"score={first}", f"score={second}"),
        "foot": (f"{foot} {lesion}", other, f"foot={_foot(foot)}", f"foot={_foot(other)}"),
        "claw": (f"{foot} outer {lesion}", rng.choice(("inner", "the inner")), "claw=outer", "claw=inner"),
        "stage": (f"{foot} wart m {one}", rng.choice((two, f"m {two}")), f"stage=M{first}", f"stage=M{second}"),
        "measure": (f"{foot} {lesion} dorsal wall seventy millimetres", "eighty", "number=70", "number=80"),
        "material": (f"{foot} outer {lesion} rubber block on the inner", "wooden", "material=rubber", "material=wooden"),
    }  # fmt: skip
    slot = rng.choice(list(ways))
    said, new, was, now = ways[slot]
    words = _note(rng, number, said, rng.choice(_WORDS["corrections"]), new)

    def fault(reading: Reading) -> str:
        values = _values(reading)
        wrong = (was in values or now not in values) and not _marks(reading)
        return _strayed(reading, number) or (f"{was} did not become {now}" if wrong else "")

    return Talk(kind=f"corrected {slot}", words=words, fault=fault)


def _moved(rng: random.Random) -> Talk:
    """A correction that names a deed or a lesion moves that one alone, or the note is marked."""
    number, foot = _animal(rng), rng.choice(_WORDS["feet"][:4])
    lesion, name = rng.choice(_WORDS["lesions"])
    how = rng.choice(_WORDS["moved"])
    if rng.random() < 0.5:
        said = (f"{foot} {lesion} blocked the inner and wrapped", how.replace("X", "block"))
        wanted = {("block", "outer"), ("wrap", "")}
    else:
        said = (f"{foot} inner {lesion} trimmed", how.replace("X", lesion))
        wanted = {(name, "outer"), ("functional trim", "")}
    words = _note(rng, number, *(part.replace("Y", "outer") for part in said))

    def fault(reading: Reading) -> str:
        entries = as_json(reading)["entries"]
        deeds = [(row["kind"], row["claw"]) for entry in entries for row in entry["actions"]]
        found = [(row["lesion"], row["claw"]) for entry in entries for row in entry["findings"]]
        rows = [
            (what, claw or "")
            for what, claw in (*deeds, *found)
            if (what, claw or "") in wanted or what == "block"
        ]
        right = set(rows) == wanted and len(rows) == len(wanted)
        return _strayed(reading, number) or ("" if right or _marks(reading) else f"read as {rows}")

    return Talk(kind="moved", words=words, fault=fault)


def _state_elsewhere(rng: random.Random) -> Talk:
    """ "Lame on the right hind, left hind wart": nothing was found on the right hind."""
    number, (foot, other) = _animal(rng), rng.sample(_WORDS["feet"][:4], 2)
    lesion, name = rng.choice(_WORDS["lesions"])
    words = _note(rng, number, rng.choice(_WORDS["states"]).replace("X", foot), other, lesion)

    def fault(reading: Reading) -> str:
        there = {one.foot.value for entry in reading.entries for one in entry.findings if one.foot}
        wrong = _foot(foot) in there and not _marks(reading)
        return f"{name} was recorded on {foot}" if wrong else _strayed(reading, number)

    return Talk(kind="state elsewhere", words=words, fault=fault)


def _due_foot(rng: random.Random) -> Talk:
    """What is due of a foot keeps it, or the note is marked."""
    number, foot = _animal(rng), rng.choice(_WORDS["feet"][:4])
    how, when = rng.choice(_WORDS["due_feet"]), rng.choice(_WORDS["whens"])
    words = _note(rng, number, how.replace("X", foot), when)

    def fault(reading: Reading) -> str:
        due = [one for entry in reading.entries for one in entry.follow_ups]
        kept = [feet for one in due if (feet := [slot.value for slot in one.feet])] == [
            [_foot(foot)]
        ]
        done = any(entry.actions or entry.findings for entry in reading.entries)
        lost = (not kept or done) and not _marks(reading)
        return _strayed(reading, number) or (f"{foot} was lost, or work recorded" if lost else "")

    return Talk(kind="due foot", words=words, fault=fault)


def _foot(said: str) -> str:
    side, end = said.split()
    return side[0].upper() + ("H" if end == "hind" else "F")


def _values(reading: Reading) -> set[str]:
    """Every value of the entries as "slot=value"."""
    found: set[str] = set()
    for entry in as_json(reading)["entries"]:
        rows = (*entry["findings"], *entry["actions"], *entry["follow_ups"], *entry["measures"])
        for row in (*rows, *([entry["locomotion"]] if entry["locomotion"] else [])):
            found |= {f"{name}={value}" for name, value in row.items()}
    return found


def _either(rng: random.Random) -> Talk:
    number = _animal(rng)
    before, one, other, after = rng.choice(_WORDS["either"])
    words = _note(rng, number, before, one, rng.choice(_WORDS["ors"]), other, after)

    def fault(reading: Reading) -> str:
        return _strayed(reading, number) or ("" if _marks(reading) else "nothing was marked")

    return Talk(kind="either or", words=words, fault=fault)


def _number(rng: random.Random) -> Talk:
    """The number as said, or a mark that offers it."""
    number = _animal(rng)
    said = [
        rng.choice(_SOUNDS.get(w, (w,))) if rng.random() < 0.4 else w for w in _said(number, rng)
    ]
    if rng.random() < 0.5:
        said.insert(rng.randrange(1, len(said) + 1), rng.choice(_PAUSES))
    words = ["cow", *said, *_site(rng).split(), *rng.choice(_WORDS["lesions"])[0].split()]

    def fault(reading: Reading) -> str:
        right = _animals(reading) == {number}
        return "" if right or _marks(reading) else f"read as {_animals(reading)}, unmarked"

    return Talk(kind="number", words=words, fault=fault)


def _lost_number(talk: Talk, reading: Reading) -> str:
    """A number word that nothing took and that is not left over."""
    lexicon = load_lexicon()
    spans = [*reading.taken, *(c for entry in reading.entries for c in entry.corrections)]
    taken = {i for one in spans for i in range(one.first, one.last)}
    for i, word in enumerate(talk.words):
        if word in lexicon.number_words and i not in taken and i not in reading.leftover:
            return f"{word!r} was lost"
    return ""


def main() -> int:
    """Print the breaches of COUNT notes."""
    count, seed = (int(text) for text in (*sys.argv[1:], "20000", "1")[:2])
    found: Counter[tuple[str, str]] = Counter()
    shown: Counter[str] = Counter()
    made: Counter[str] = Counter()
    source = talks(random.Random(seed))
    for _ in range(count):
        talk = next(source)
        made[talk.kind] += 1
        fault = breach(talk)
        if fault:
            found[talk.kind, fault.split(" ")[0]] += 1
            shown[talk.kind] += 1
            if shown[talk.kind] <= SHOWN:
                print(f"{talk.kind}: {fault}: {' '.join(talk.words)}")
    kinds = Counter(kind for kind, _ in found.elements())
    for kind, number in sorted(made.items()):
        print(f"{kind:20} {number:7} notes {kinds[kind]:6} breaches")
    print(f"{count} notes, {sum(found.values())} breaches (seed {seed})")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
