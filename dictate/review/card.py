"""What the queue shows of one entry: heard words, doubts, choices; pure, from plain values."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rapidfuzz.distance import Levenshtein

from dictate.entry.checking import LEFT_BEHIND
from dictate.entry.terms import CLAWS, FOOT_NAMES, NO_LESION, SCALES
from dictate.entry.values import EntryValues, MarkValues
from dictate.hearing.agreement import FIRST_LISTENER, SECOND_LISTENER
from dictate.hearing.passed_over import UNSURE_WORD
from dictate.hearing.remarks import REMARK_SPOKEN
from dictate.hearing.talk import MAY_BE_TALK
from dictate.review.changes import slots_of
from dictate.review.likely import OF_THE_ANIMAL
from dictate.review.suggesting import Meant
from dictate.texts import gettext, noted, translated
from dictate.texts.below import told
from grammar.hear.words import UNKNOWN

TEXT = "text"
"""In place of a slot: the value is the whole note, to be read anew."""
UNCLEAR = noted("(unclear)")
"""Shown for a word that the recogniser knows is none of its own."""
_UNSURE = 0.5
"""Below this the engine's own confidence is worth showing; it decides nothing."""
_HEARINGS = 3
"""How many other hearings are compared; later ones differ in everything."""
_MOST = 9
"""Choices have the keys 1 to 9."""
_ANSWERS = {
    "foot-missing": tuple(FOOT_NAMES), "action-foot-missing": tuple(FOOT_NAMES), "block-claw-unsaid": CLAWS,
}  # fmt: skip
"""What may stand in the slot that a check found empty."""
_SLOTS = ("lesion", "stage", "severity", "course", "object")
"""Slots of a finding that a check may offer other values for."""


_PATHS = {MAY_BE_TALK: TEXT, SECOND_LISTENER: TEXT, FIRST_LISTENER: TEXT, REMARK_SPOKEN: "remark"}
"""Checks whose candidates are words, with what these are put in place of."""
_WHOLE = (SECOND_LISTENER, FIRST_LISTENER)
_LABELS = {
    MAY_BE_TALK: noted("a note: “%(words)s”"),
    SECOND_LISTENER: noted("second listener: “%(words)s”"),
    FIRST_LISTENER: noted("first listener: “%(words)s”"),
    REMARK_SPOKEN: noted("remark “%(words)s”"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class HeardWord:
    """One heard word."""

    text: str
    start: float | None
    """Seconds from the start of the clip."""
    doubt: str = ""
    """Why it is uncertain, in words; empty when it is not."""
    unused: bool = False
    """The reading left it out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One answer to a doubt, given with one key."""

    key: str
    label: str
    path: str
    """Slots that it sets, with commas between; or `text`."""
    value: str


def heard_words(
    words: Sequence[Mapping[str, Any]],
    alternatives: Sequence[Sequence[Mapping[str, Any]]],
    *,
    leftover: Iterable[int] = (),
    marks: Sequence[MarkValues] = (),
) -> list[HeardWord]:
    """The heard words, each with why it is uncertain.

    A word is uncertain when the reading left it out, a check points at it, the engine's other
    hearings have something else there, or the engine itself gave it little confidence.
    """
    doubts: dict[int, list[str]] = {}
    unused = set(leftover)
    for at in unused:
        doubts.setdefault(at, []).append(gettext("not used in the reading"))
    for mark in marks:
        for at in range(max(mark.first, 0), mark.last):
            doubts.setdefault(at, []).append(told(mark.what))
    for at, other in _heard_otherwise(words, alternatives):
        doubts.setdefault(at, []).append(gettext("perhaps “%(words)s”", words=other))
    for at, word in enumerate(words):
        confidence = word.get("confidence")
        if confidence is not None and confidence < _UNSURE:
            doubts.setdefault(at, []).append(gettext("heard with little confidence"))
    return [
        HeardWord(
            text=UNCLEAR if word["text"] == UNKNOWN else word["text"],
            start=word.get("start"),
            doubt="; ".join(dict.fromkeys(doubts.get(at, ()))),
            unused=at in unused,
        )
        for at, word in enumerate(words)
    ]


def text_to_type(words: Sequence[HeardWord]) -> tuple[str, int, int]:
    """The heard words as one line for typing, and what typing is to replace there.

    That is the first stretch that found no use: its first letter and one past its last. Unclear words
    are left out, with room for others; where every word found its use the place is the end.
    """
    first = next((at for at, word in enumerate(words) if _is_gap(word)), len(words))
    last = next((at for at in range(first, len(words)) if not _is_gap(words[at])), len(words))
    before, inside, after = (
        " ".join(word.text for word in part if word.text != UNCLEAR)
        for part in (words[:first], words[first:last], words[last:])
    )
    start = f"{before} ".lstrip()
    text = f"{start}{inside} {after}".rstrip() if inside or after else start
    return text, len(start), len(start + inside)


def _is_gap(word: HeardWord) -> bool:
    return word.unused or word.text == UNCLEAR


def choices_for(
    values: EntryValues, animals: Sequence[str], instead: Sequence[Meant] = ()
) -> list[Choice]:
    """The one-key answers, by question: those of the checks, then mis-heard terms, then likely animals."""
    offered: dict[tuple[str, str], str] = {}
    # What a second listener heard is the whole note: it comes before answers to single doubts.
    for mark in sorted(values.mark_details, key=lambda mark: mark.id not in _WHOLE):
        path = ",".join(paths_of(mark, values))
        for candidate in _candidates(mark) if path else ():
            words = _LABELS.get(mark.id)
            label = gettext(words, words=candidate) if words else _label(path, candidate)
            offered.setdefault((path, candidate), label)
    for meant in instead:
        offered.setdefault(
            (TEXT, meant.text),
            gettext("“%(heard)s” was %(term)s", heard=meant.heard, term=meant.term),
        )
    for number in animals:
        offered.setdefault(("animal", number), _label("animal", number))
    now = [(path, value) for path, value in offered if _value_at(values, path) != value][:_MOST]
    # What answers one question stands together, and the keys count on as they are read.
    asked = list(dict.fromkeys(path for path, _ in now))
    now.sort(key=lambda choice: asked.index(choice[0]))
    return [
        Choice(key=str(at), label=offered[path, value], path=path, value=value)
        for at, (path, value) in enumerate(now, start=1)
    ]


def _candidates(mark: MarkValues) -> Sequence[str]:
    return _ANSWERS.get(mark.id, mark.candidates)


def paths_of(mark: MarkValues, values: EntryValues) -> list[str]:
    """The slots that a mark's candidates are values of; none when they are words for a person."""
    if mark.id.startswith(OF_THE_ANIMAL):
        return ["animal"]
    if mark.id == UNSURE_WORD:
        return []
    if mark.id in _PATHS:
        return [_PATHS[mark.id]]
    if mark.id == LEFT_BEHIND:
        held = {one.foot for one in values.findings}
        return [
            f"actions.{at}.foot"
            for at, one in enumerate(values.actions)
            if one.foot and one.foot not in held and "foot" not in one.by_hand
        ]
    if mark.id == "foot-missing":
        lesions = enumerate(values.findings)
        return [
            f"findings.{at}.foot" for at, one in lesions if not one.foot and one.lesion != NO_LESION
        ]
    if mark.id in ("action-foot-missing", "block-claw-unsaid"):
        return _of_actions(mark.id, values)
    if values.locomotion and mark.candidates and set(mark.candidates) <= set(SCALES):
        return ["locomotion.scale"]
    named = [
        f"findings.{at}.{slot}"
        for at, finding in enumerate(values.findings)
        for slot in _SLOTS
        if getattr(finding, slot) in mark.candidates
    ]
    return named or [
        path for path in slots_of(values, mark) if _may_hold(path.rpartition(".")[2], mark)
    ]


def _of_actions(check: str, values: EntryValues) -> list[str]:
    """The slots of actions that are empty where they should not be."""
    slot, kinds = ("foot", ("block", "wrap")) if "foot" in check else ("claw", ("block",))
    return [
        f"actions.{at}.{slot}"
        for at, one in enumerate(values.actions)
        if one.kind in kinds and getattr(one, slot) is None and (slot == "foot" or one.foot)
    ]


def _may_hold(slot: str, mark: MarkValues) -> bool:
    """Whether all candidates of a mark are values of a slot."""
    known = {"foot": set(FOOT_NAMES), "claw": {"outer", "inner"}, "zone": set(map(str, range(13)))}
    return bool(mark.candidates) and set(mark.candidates) <= known.get(slot, set())


def _label(path: str, value: str) -> str:
    if path == "animal":
        return gettext("cow %(number)s", number=value)
    if path.endswith(".foot"):
        return translated(FOOT_NAMES[value])
    if path.endswith(".zone"):
        return gettext("zone %(zone)s", zone=value)
    if path.endswith(".claw"):
        return gettext("outer claw") if value == "outer" else gettext("inner claw")
    return gettext("scale %(scale)s", scale=value) if path == "locomotion.scale" else told(value)


def _value_at(values: EntryValues, paths: str) -> Any:
    path = paths.partition(",")[0]
    if path == TEXT:
        return None
    here: Any = values.model_dump(mode="json")
    for step in path.split("."):
        if here is None:
            return None
        here = here[int(step)] if isinstance(here, list) else here.get(step)
    return None if here is None else str(here)


def _heard_otherwise(
    words: Sequence[Mapping[str, Any]], alternatives: Sequence[Sequence[Mapping[str, Any]]]
) -> Iterable[tuple[int, str]]:
    texts = [word["text"] for word in words]
    for other in alternatives[:_HEARINGS]:
        there = [word["text"] for word in other]
        for change in Levenshtein.opcodes(texts, there):
            if change.tag in ("replace", "delete"):
                instead = " ".join(there[change.dest_start : change.dest_end])
                for at in range(change.src_start, change.src_end):
                    yield at, instead or gettext("nothing")
