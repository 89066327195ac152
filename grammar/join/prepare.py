"""One animal's pieces made ready: denials taken out, what belongs together joined."""

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import replace

from grammar.join.denials import take_denied
from grammar.join.narrowing import said_first
from grammar.join.pieces import (
    CLAW_KINDS,
    COPULAS,
    FOOT_KINDS,
    LINKS,
    MODIFIERS,
    UNTAKEN,
    Piece,
    half_foot,
    is_linked,
)
from grammar.join.work import Work
from grammar.lexicon.lexicon import Lexicon
from grammar.records import How

__all__ = ["leads_to_lesion", "prepare"]

_LINK_WORDS = frozenset({"to", "under", "onto", "in", "at"})
_OF_A_FOOT = frozenset({"lesion", "stage", "claw"})
_PRONOUNS = frozenset({"it", "her", "him", "them", "this", "that", "there"})


def prepare(pieces: Sequence[Piece], lexicon: Lexicon) -> Work:
    """Drop fillers (remembering where "on" stood), take out denials, join what belongs together."""
    kept: list[Piece] = []
    link: list[bool] = []
    fillers: list[str] = []
    linked = False
    before = ""
    for piece in _bare_sides(pieces):
        if piece.kind in LINKS:
            linked = _links_on(piece, linked)
            before = f"{before} {piece.heard}".strip()
            continue
        if piece.kind in UNTAKEN:
            continue
        kept.append(piece)
        link.append(linked or is_linked(piece))
        fillers.append(before)
        linked, before = False, ""
    work = Work(pieces=kept, link=link, before=fillers, lexicon=lexicon)
    for step in (
        _take_exceptions,
        _take_denied,
        _join_foreign_bodies,
        _join_feet,
        _stages_alone,
        _regions_alone,
    ):
        step(work)
    return work


def _bare_sides(pieces: Sequence[Piece]) -> Iterator[Piece]:
    """ "both hinds, left M2, right is worse, wrapped left": a bare side that is half a foot.

    Only after a foot, whose end completes it; elsewhere "left" and "right" say nothing.
    """
    foot: Piece | None = None
    before = ""
    for i, piece in enumerate(pieces):
        if piece.kind in FOOT_KINDS:
            foot = piece
        side = piece.kind == "fill" and piece.value in ("left", "right")
        if side and foot is not None and _is_foot(pieces[i + 1 :], foot, before):
            yield half_foot(piece)
        else:
            yield piece
        if piece.kind not in LINKS:
            before = piece.kind


def _is_foot(following: Sequence[Piece], foot: Piece, before: str) -> bool:
    """Whether a bare side names a foot: by what follows, and after a pair by what is said of it."""
    after = following[0] if following else None
    if after is not None and after.kind in _OF_A_FOOT:
        return True
    if foot.kind != "foot" or len(foot.value) == 1:
        return False
    if after is None or after.value == "and":
        return before in ("action", "material")
    if after.value in COPULAS and len(following) > 1:
        after = following[1]
    return after.kind in MODIFIERS


def _links_on(piece: Piece, linked: bool) -> bool:
    """ "on the outer" links; "on it, right hind …" does not: the pronoun has taken the "on"."""
    if piece.value in _PRONOUNS:
        return False
    return linked or piece.kind != "fill" or piece.value in _LINK_WORDS


def _keep(work: Work, gone: set[int]) -> None:
    positions = [i for i in range(len(work.pieces)) if i not in gone]
    work.link = [work.link[i] for i in positions]
    work.before = [work.before[i] for i in positions]
    work.pieces = [work.pieces[i] for i in positions]


def _take_exceptions(work: Work) -> None:
    """ "all four clean except the left hind": the left hind is taken out of the four."""
    gone = set(work.at("except"))
    for i in sorted(gone):
        if i + 1 >= len(work.pieces) or work.pieces[i + 1].kind != "foot":
            continue
        left_out = work.pieces[i + 1].value
        pair = next((j for j in range(i - 1, -1, -1) if work.pieces[j].kind == "foot"), None)
        if pair is not None and len(work.pieces[pair].value) > 1:
            rest = tuple(foot for foot in work.pieces[pair].value if foot not in left_out)
            work.pieces[pair] = replace(work.pieces[pair], value=rest or left_out)
    _keep(work, gone)


def _take_denied(work: Work) -> None:
    """ "no ulcer there": the denied piece is kept as denied and makes no finding or action."""
    found = take_denied(work.pieces, work.before)
    work.pieces = found.pieces
    _keep(work, found.gone)
    work.denied = tuple(found.slots)


def _join_foreign_bodies(work: Work) -> None:
    """ "half inch screw" and "foreign body, a screw" are one foreign body."""
    gone: set[int] = set()
    for i in work.at("object"):
        piece = work.pieces[i]
        parts = [str(piece.value)]
        first, corrections = piece.first, piece.corrections
        before = i - 1
        if before >= 0 and work.pieces[before].kind == "measure" and not work.pieces[before].more:
            size = work.pieces[before]
            parts.insert(0, size.heard.removeprefix("a ").removeprefix("an "))
            first, corrections = size.first, size.corrections + corrections
            gone.add(before)
            before -= 1
        if before >= 0 and _is_plain_foreign_body(work.pieces[before]):
            first = work.pieces[before].first
            gone.add(before)
        work.pieces[i] = replace(
            piece, kind="lesion", value="foreign body", first=first, heard=" ".join(parts),
            more={"object": " ".join(parts)}, corrections=corrections,
        )  # fmt: skip
    _keep(work, gone)


def _is_plain_foreign_body(piece: Piece) -> bool:
    return piece.value == "foreign body" and not isinstance(piece.more, dict)


def _join_feet(work: Work) -> None:
    """ "left hind and right hind" is a pair, unless each has its own lesion."""
    gone: set[int] = set()
    for i in work.at("foot"):
        after = i + 1
        if after >= len(work.pieces) or work.pieces[after].kind != "foot" or i in gone:
            continue
        lesion_before = i > 0 and work.pieces[i - 1].kind in ("lesion", *MODIFIERS, "zone")
        lesion_after = leads_to_lesion(work.pieces, after + 1)
        if lesion_before and lesion_after:
            continue
        first, second = work.pieces[i], work.pieces[after]
        if set(second.value) < set(first.value):
            continue  # "all four trimmed, left hind …" picks one out, and adds none
        gone.add(i)
        work.pieces[after] = replace(
            second, value=tuple(dict.fromkeys((*first.value, *second.value))), first=first.first,
            heard=f"{first.heard} {second.heard}", corrections=first.corrections + second.corrections,
        )  # fmt: skip
        work.link[after] = work.link[i]
    _keep(work, gone)


def leads_to_lesion(pieces: Sequence[Piece], at: int) -> bool:
    """Whether a lesion follows at once, past its claw, zone and severity."""
    while at < len(pieces) and pieces[at].kind in CLAW_KINDS | {"severity", "zone", "tissue"}:
        at += 1
    return at < len(pieces) and pieces[at].kind in ("lesion", "stage", "denied")


def _stages_alone(work: Work) -> None:
    """A stage in a foot's part without any lesion stands for digital dermatitis."""
    edges = [-1, *work.at(*FOOT_KINDS), len(work.pieces)]
    of_a_part = said_first(work)
    lesion_first = False
    for start, end in itertools.pairwise(edges):
        inside = range(start + 1, end)
        lesions = [
            i
            for i in inside
            if work.pieces[i].kind == "lesion" and work.pieces[i].value != "no lesion"
        ]
        stages = [i for i in inside if work.pieces[i].kind == "stage" and i not in of_a_part]
        if start == -1 and lesions:
            lesion_first = True
            continue
        if stages and not lesions and (not lesion_first or _goes_on(work, stages[0])):
            i = stages[0]
            work.pieces[i] = _as_dermatitis(work.pieces[i])
        lesion_first = False


def _goes_on(work: Work, stage: int) -> bool:
    """ "digi m two on the hinds and m one on the fronts": a stage that a foot of its own follows."""
    kinds = [piece.kind for piece in work.pieces[stage - 2 : stage + 2]]
    pairs = len(kinds) == 4 and kinds[0] == "stage" and {kinds[1], kinds[3]} <= FOOT_KINDS
    return pairs and work.link[stage - 1] and work.link[stage + 1]


def _as_dermatitis(stage: Piece) -> Piece:
    return replace(
        stage, kind="lesion", value="digital dermatitis", how=How.INFERRED, rejected=(),
        more={"stage": stage},
    )  # fmt: skip


def _regions_alone(work: Work) -> None:
    """ "white line at the toe" without a lesion beside it is white line disease there."""
    skip = CLAW_KINDS | {"severity", "tissue", "stage"}
    for i in work.at("region"):
        piece = work.pieces[i]
        if not piece.more.lesion_alone:
            continue
        before = next((p for p in work.pieces[max(0, i - 3) : i][::-1] if p.kind not in skip), None)
        after = next((p for p in work.pieces[i + 1 : i + 4] if p.kind not in skip), None)
        if not any(p is not None and p.kind in ("lesion", "action") for p in (before, after)):
            work.pieces[i] = replace(
                piece, kind="lesion", value=piece.more.lesion_alone, how=How.ALIAS,
                more={"zone": piece.more.zone, "region": piece.value},
            )  # fmt: skip
