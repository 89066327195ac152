"""Whether feet and claws stand together as they were said."""

from collections.abc import Iterator, Sequence
from itertools import pairwise, zip_longest

from grammar.checks.table import Facts, check, mark
from grammar.join.bare_sides import bare_sides
from grammar.join.beside import leads_to_lesion
from grammar.join.cursor import get
from grammar.join.near import is_word, just_before
from grammar.pieces import (
    CLAWS,
    FEET,
    SIDES,
    ActionSaid,
    Claw,
    Except,
    Filler,
    Foot,
    Gone,
    HalfFoot,
    LeftUndone,
    Lesion,
    MeasureSaid,
    No,
    Not,
    NotNeeded,
    On,
    OtherClaw,
    Past,
    Piece,
    TimeSaid,
    Undone,
    is_clean,
)
from grammar.records import Action, Entry, Finding, Mark, Slot

_COMPARED = frozenset({"over", "than", "under"})
"""Words that set one claw beside the other, and say nothing of it."""
_TAKE_OUT = (No, Not, Undone, LeftUndone, Past, Gone, NotNeeded, Except)
_BESIDE = 4
"""Words between a site and the denial that it is of, at most."""
_SAID_TWICE = 6
"""Words between a claw and the same said again: "inner claw, ulcer inner"."""
_ENDS = {"hind": "H", "front": "F"}


@check(
    "foot-half",
    what="Half a foot was said, and no other words complete it.",
    why="“Hind” or “right side” alone leaves open which foot it is; the other half was likely misheard.",
    clear="Give the foot.",
    example="cow four twelve hind foot clean",
)
def _foot_half(entry: Entry, facts: Facts) -> Iterator[Mark]:
    several = any(isinstance(p, Foot) and len(p.value) > 1 for p in facts.pieces)
    if several or entry.corrections or not (entry.findings or entry.actions or facts.loose):
        return  # "both hinds, worse on the left" picks one out
    pieces = list(bare_sides(facts.pieces))
    for piece, after in zip_longest(pieces, pieces[1:]):
        if not isinstance(piece, HalfFoot) or piece.rejected or _is_of_none(pieces, piece):
            continue
        said: tuple[Finding | Action, ...] = (*entry.findings, *entry.actions)
        of_it = [one for one in said if _is_at(one.foot, piece)]
        due = any(_is_at(foot, piece) for one in entry.follow_ups for foot in one.feet)
        lesion = any(isinstance(o, Finding) and o.lesion.value != "no lesion" for o in of_it)
        feet = {one.foot.value for one in of_it if one.foot is not None}
        both = after is not None and "both" in after.heard.split()
        told = (of_it or due) and (not lesion or len(feet) <= 1 or both)
        if not told and not is_asked(piece, facts):
            yield mark("foot-half", f"{piece.heard!r}: which foot?", piece, _feet(piece))


def _is_of_none(pieces: Sequence[Piece], half: HalfFoot) -> bool:
    """ "Wrap left hind, none on the right": that foot has nothing."""
    before = just_before(pieces, pieces.index(half))
    return isinstance(before, NotNeeded) and before.heard == "none"


def is_asked(piece: Piece, facts: Facts) -> bool:
    """Whether the foot is one of two that are asked for already, or of another time."""
    return any(
        one.check in ("either-or", "said-of-past")
        and one.first <= piece.first
        and piece.last <= one.last
        for one in facts.questions
    )


def _is_at(foot: Slot[str] | None, piece: Piece) -> bool:
    return foot is not None and foot.first <= piece.first < foot.last


def _feet(piece: HalfFoot) -> tuple[str, ...]:
    if piece.is_end:
        return tuple(side + _ENDS[piece.value] for side in "LR")
    return tuple(SIDES.get(piece.value, "") + end for end in "HF")


def two_sides(facts: Facts) -> Iterator[Mark]:
    """ "right rear left", "off side fore left": one side is wrong, or "leg" was heard as "left"."""
    yield from _one_in_many(facts)
    pieces = facts.pieces
    for at, (before, after) in enumerate(pairwise(pieces)):
        if after.heard == "off" and isinstance(get(pieces, at + 2), TimeSaid):
            continue  # "wrapped left hind, off friday"
        if before.heard == "off" and is_word(get(pieces, at - 1), facts.lexicon.clauses.pronouns):
            continue  # "took it off, left hind"
        word, foot = (before, after) if isinstance(after, Foot) else (after, before)
        if not isinstance(foot, Foot) or len(foot.value) != 1 or before.last != after.first:
            continue
        yield from _two_ends(word, foot)
        side = _side(word)
        if side is None:
            continue
        both = side == "" and word is after
        if not both and side != foot.value[0][0]:
            said = f"{before.heard} {after.heard}"
            values = tuple(side + foot.value[0][1] for side in "LR")
            yield mark("two-values", f"foot: {said!r} names two sides", foot, values)


def _one_in_many(facts: Facts) -> Iterator[Mark]:
    """ "near hind all feet fine": of the one foot or of all?"""
    for at, (one, many) in enumerate(pairwise(facts.pieces)):
        if not isinstance(one, Foot) or not isinstance(many, Foot) or one.last != many.first:
            continue
        before, after = get(facts.pieces, at - 1), get(facts.pieces, at + 2)
        if after is not None and after.first == many.first:
            continue  # "hock sore on the left, feet are fine": all four, of the words for clean
        if set(one.value) < set(many.value) and not isinstance(before, (Lesion, ActionSaid)):
            what = f"foot: {one.heard!r} and {many.heard!r}"
            yield mark("two-values", what, many, (*one.value, "+".join(many.value)))


def _two_ends(word: Piece, foot: Foot) -> Iterator[Mark]:
    """ "left fore hind"."""
    end = foot.value[0][1]
    if isinstance(word, HalfFoot) and word.is_end and _ENDS[word.value] != end and not foot.place:
        values = tuple(foot.value[0][0] + end for end in "HF")
        yield mark("two-values", f"foot: {foot.heard!r} and {word.heard!r}", foot, values)


def _side(piece: Piece) -> str | None:
    """Return the side that a bare word or half a foot names; empty for both."""
    if isinstance(piece, Filler) or (isinstance(piece, HalfFoot) and not piece.is_end):
        return SIDES.get(piece.value)
    return None


@check(
    "claw-alone",
    what="A claw of which nothing was said.",
    why="What was found there may not have been heard.",
    clear="Add what was found there, or take the claw out.",
    example="cow four twelve left hind inner look again in two weeks",
)
def _claw_alone(entry: Entry, facts: Facts) -> Iterator[Mark]:
    measured = any(isinstance(piece, MeasureSaid) for piece in facts.pieces)
    if measured or entry.corrections or facts.copied is not None:
        return
    said: tuple[Finding | Action, ...] = (*entry.findings, *entry.actions)
    held = [one.claw for one in (*said, *entry.follow_ups) if one.claw is not None]
    explained = _explained(entry, facts)
    marked = {first for first, _, _ in facts.leftover} | {one.first for one in facts.loose}
    for at, piece in enumerate(facts.pieces):
        if isinstance(piece, OtherClaw) and not _is_placed(piece, entry, explained):
            yield mark("claw-alone", f"nothing was said of {piece.heard!r}", piece)
        if not isinstance(piece, Claw) or (piece.value == "both" and not _widens(facts, at)):
            continue
        leads = {one.heard.split(" ")[-1] for one in facts.pieces[max(0, at - 2) : at]}
        if not leads.isdisjoint(_COMPARED):
            continue  # "crossing over the inner"
        if piece.last in marked or piece.first in explained:
            continue  # what was found there has its mark already, or was denied
        near = 0 if piece.value == "both" else _SAID_TWICE
        again = [claw for claw in held if piece.value in (claw.value, "both")]
        if not any(abs(claw.first - piece.first) <= near for claw in again):
            yield mark("claw-alone", f"nothing was said of {piece.heard!r}", piece)


def _is_placed(other: OtherClaw, entry: Entry, explained: set[int]) -> bool:
    """Whether "the other claw" came to a claw, or a block that bears its own mark has none.

    "The bad claw" and "same claw" add nothing to the lesion's.
    """
    if other.value != "sound":
        return True
    said: tuple[Finding | Action, ...] = (*entry.findings, *entry.actions)
    held = any(one.claw is not None and one.claw.first == other.first for one in said)
    block = any(
        isinstance(one, Action)
        and one.claw is None
        and one.kind.value == "block"
        and abs(one.kind.first - other.first) <= _SAID_TWICE
        for one in said
    )
    return held or block or other.first in explained


def _widens(facts: Facts, at: int) -> bool:
    """ "Right hind inner thin sole, both claws": whether it is told of a lesion that has one claw already."""
    lesion, site = (facts.pieces[at - 1], facts.pieces[at - 2]) if at > 1 else (None, None)
    one = isinstance(site, Claw) and site.value != "both"
    return one and isinstance(lesion, Lesion) and not is_clean(lesion)


def _explained(entry: Entry, facts: Facts) -> set[int]:
    """Return the words beside what was denied, asked for or said of another time."""
    of_other = [piece for piece in facts.pieces if isinstance(piece, _TAKE_OUT)]
    told = (*entry.denied, *facts.questions, *of_other)
    beside = {word for one in told for word in range(one.first - _BESIDE, one.last + _BESIDE)}
    return beside | _of_undone(facts)


def _of_undone(facts: Facts) -> set[int]:
    """Return the words of the site of a deed not done: "needs a block on the right hind inner"."""
    due = {one.last for one in facts.questions if one.check == "action-not-done"}
    site: set[int] = set()
    last = 0
    for piece in facts.pieces:
        if piece.first in due:
            last = piece.first
        if piece.first != last or not isinstance(piece, (*FEET, *CLAWS, On, Filler)):
            continue
        site.update(range(piece.first, piece.last))
        last = piece.last
    return site


_SIGNS = frozenset({"swollen", "swelling"})
"""Words for a lesion that are signs of the one named before them: "foul, swollen and hot"."""


@check(
    "lesions-together",
    what="Two lesions stand side by side with no word between them.",
    why="One of the two may be a misheard word: “toe ulcer” for “zone four”, “digital” for “digit”.",
    clear="Confirm both lesions, or take one out.",
    example="cow four twelve left hind swollen bulb toe ulcer",
)
def _lesions_together(entry: Entry, facts: Facts) -> Iterator[Mark]:
    pieces = facts.pieces
    for at, (one, other) in enumerate(pairwise(pieces)):
        if not isinstance(one, Lesion) or not isinstance(other, Lesion) or one.last != other.first:
            continue
        denied = isinstance(get(pieces, at - 1), (No, Not))
        goes_on = _is_of_next_foot(pieces, at + 2)
        plain = "no lesion" not in (one.value, other.value) and one.value != other.value
        shapes = all(
            facts.lexicon.lesions[lesion.value].group == "shape" for lesion in (one, other)
        )
        sign = other.heard in _SIGNS or shapes  # "overgrown, corkscrewed"
        if plain and not denied and not goes_on and not sign:
            what = f"{one.heard!r} and {other.heard!r} side by side"
            yield mark("lesions-together", what, other)


def _is_of_next_foot(pieces: Sequence[Piece], at: int) -> bool:
    """ "left hind ulcer, wart right hind": the foot has no lesion of its own."""
    return isinstance(get(pieces, at), FEET) and not leads_to_lesion(pieces, at + 1)
