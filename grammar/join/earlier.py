"""What was so at another time, or is gone: "had a wart last time", "the ulcer is gone"."""

from collections.abc import Sequence
from dataclasses import replace

from grammar.join.cursor import back, get, past, seek
from grammar.join.mood_pieces import BETWEEN, Moods, ahead, behind, silence_own
from grammar.join.near import is_word
from grammar.join.replacing import half_foot, half_of
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    LINKS,
    MODIFIERS,
    ActionSaid,
    Break,
    Filler,
    Foot,
    Leftover,
    No,
    Not,
    Number,
    On,
    Past,
    Piece,
    Region,
    Severity,
    Stage,
    StatusSaid,
    TimeSaid,
    Tissue,
    Zone,
    is_side,
)
from grammar.records import How

__all__ = ["gone", "put_in_the_past"]

_GONE_TO = frozenset(
    {"to", "from", "through", "into", "down", "right", "over", "very", "really", "so"}
)
_WORN = ("block", "wrap")
"""How a status begins that is of a thing on the foot; every other one of the past is over."""
_NOW = frozenset({"now", "today", "this time"})
_IT_IS = frozenset({"it's", "it is", "but it's"})
_THAN = frozenset({"than"})
_WAS = frozenset({"was", "were", "been"})


def gone(moods: Moods, at: int) -> None:
    """ "the ulcer is gone"."""
    lesion = behind(moods.pieces, at, FINDINGS)
    if isinstance(get(moods.said, back(moods.said, at - 1, LINKS)), (No, Not)):
        return  # "ulcer not gone"
    if lesion is not None and not _went_bad(moods.pieces, at):
        if any(is_word(one, _THAN) for one in moods.pieces[lesion:at]):
            cue = moods.pieces[at].heard  # "… worse than the left's, that one's gone"
            moods.ask(at, "said-of-past", f"of what {cue!r} was said is not clear")
            return
        _leave_foot(moods, lesion, at)
        _let_go(moods, lesion, sure=moods.pieces[at].heard != "gone")


def _leave_foot(moods: Moods, lesion: int, at: int) -> None:
    """ "Warts gone on the near hind, off hind has M four": of the first foot nothing more is said."""
    pieces = moods.pieces
    on = any(isinstance(one, On) for one in pieces[at + 1 : past(pieces, at + 1, LINKS)])
    foot = past(pieces, at + 1, LINKS) if on else back(pieces, at - 1, LINKS)
    other = past(pieces, max(foot, at) + 1, LINKS)
    if (
        foot > lesion
        and isinstance(get(pieces, foot), FEET)
        and isinstance(get(pieces, other), FEET)
    ):
        moods.silence(foot)


def _went_bad(pieces: Sequence[Piece], at: int) -> bool:
    """ "gone septic", "gone to the bone"."""
    after = get(pieces, at + 1)
    if isinstance(get(pieces, past(pieces, at + 1, (On, Filler))), FEET):
        return False  # "the wart's gone on the right hind", "from the left front"
    bad = isinstance(after, (Leftover, Tissue, Severity, StatusSaid, Region, On))
    return bad or (isinstance(after, Filler) and after.value in _GONE_TO)


def _let_go(moods: Moods, at: int, *, sure: bool) -> None:
    """Deny a lesion that is gone; "gone" alone may also say that it went bad."""
    piece = moods.pieces[at]
    if not sure:
        moods.ask(at, "said-of-past", f"{piece.heard!r} was taken to be there no more")
    moods.deny(at)


def _is_then(pieces: Sequence[Piece], at: int) -> bool:
    """ "Last time she'd M four, today M one", "used to be terrible, perfect now": of no lesion behind."""
    first = past(pieces, at + 1, LINKS)
    lesion = isinstance(get(pieces, past(pieces, first + 1, LINKS)), FINDINGS)
    return isinstance(get(pieces, first), MODIFIERS) and not lesion


def _tell_now(moods: Moods, head: int, at: int) -> None:
    """ "Ulcer left hind last time, this time it's the right": the same lesion, on that foot alone."""
    pieces, lesion = moods.pieces, moods.pieces[head]
    old = seek(pieces, head + 1, (Foot,), at) or past(pieces, at + 1, LINKS)
    then = past(pieces, max(old, at) + 1, (*LINKS, TimeSaid))
    foot, new = get(pieces, old), get(pieces, then)
    if is_side(between := get(pieces, then - 1)):
        then, new = then - 1, between
    now = next((i for i in range(old + 1, then) if is_word(pieces[i], _NOW)), None)
    if not isinstance(lesion, FINDINGS) or not isinstance(foot, Foot) or now is None:
        return
    if new is not None and is_side(new):
        new = half_foot(new)
    new = half_of(new, foot) if new is not None else None
    if not isinstance(new, Foot):
        return
    moods.pieces[then] = new
    moods.silence(old)
    own = get(pieces, past(pieces, then + 1, (*LINKS, *CLAWS)))
    if not isinstance(own, (*FINDINGS, Stage)):
        first, last = pieces[now].first, pieces[now].last
        moods.pieces[now] = replace(lesion, first=first, last=last, how=How.INFERRED)


def _silence_feet(moods: Moods, deed: int, at: int) -> None:
    """ "Did her fronts in july, hinds trimmed", "left hind's the one that was blocked, right hind …"."""
    if not isinstance(moods.said[deed], ActionSaid):
        return
    did = moods.said[deed].heard == "did"
    own = back(moods.pieces, min(deed, at) - 1, LINKS)
    behind = past(moods.pieces, max(deed, at) + 1, LINKS)
    told = isinstance(get(moods.pieces, behind), FEET)
    for foot in (*range(deed + 1, at if did else 0), *([own] if told else [])):
        if isinstance(get(moods.pieces, foot), FEET):
            moods.silence(foot)


def _of_then(moods: Moods, at: int, time: int) -> int | None:
    """Return what was so at another time.  time: the last piece before the cue that is no link."""
    kinds, cue = (*FINDINGS, ActionSaid, StatusSaid), moods.pieces[at]
    said_behind = isinstance(cue, Past) and cue.behind
    named = isinstance(get(moods.pieces, at - 1), Break)  # "did the fronts of six nine three …"
    head = behind(moods.pieces, at - named, kinds) if said_behind else None
    said = said_behind and any(isinstance(one, kinds) for one in moods.said[:at])
    detail = time >= 0 and isinstance(moods.pieces[time], (*MODIFIERS, Zone))
    was = isinstance(verb := get(moods.pieces, time - 1), Filler) and verb.heard in _WAS
    if said_behind and detail and (was or head is None):
        head = time  # "was worse in the spring, slurry heel today"
    elif head is None and not said and _is_then(moods.pieces, at):
        head = past(moods.pieces, at + 1, LINKS)
    elif head is None and not said:  # "ulcer, same place as in the spring, block on the inside"
        head = ahead(moods.pieces, at, kinds)
        if any(is_word(one, _IT_IS) for one in moods.pieces[at + 1 : head]):
            head = None  # "he reckoned it was the left, it's the right hind, sole ulcer"
    thought = behind(moods.pieces, at, FINDINGS) if cue.heard.endswith("thought") else None
    if thought is not None and is_word(get(moods.pieces, at + 1), moods.words.is_):
        head = thought  # "sand crack i thought, it's a white line"
    if head is None and cue.heard.startswith("used"):
        head = behind(moods.pieces, at, FINDINGS)  # "warts used to be on both hinds"
    return head


def _had_elsewhere(moods: Moods, at: int) -> bool:
    """ "Left hind wart, and she had it last fall on the other one": the wart is of today, the other is not."""
    pieces, words = moods.pieces, moods.words
    end = back(pieces, at - 1, (*BETWEEN, Number))
    had = next(
        (
            i
            for i in range(end + 1, at - 1)
            if is_word(pieces[i], words.she_had) and pieces[i + 1].heard in words.the_same
        ),
        None,
    )
    if had is None or not isinstance(get(pieces, back(pieces, had - 1, BETWEEN)), FINDINGS):
        return False
    sites = [i for i in range(had, at) if isinstance(pieces[i], (*FEET, *CLAWS))]
    if not sites and isinstance(get(pieces, at + 1), On):
        behind_it = range(at + 1, past(pieces, at + 1, (*LINKS, *FEET, *CLAWS)))
        sites = [i for i in behind_it if isinstance(pieces[i], (*FEET, *CLAWS))][:2]
    for site in sites:
        moods.set_aside(site, "said-of-past", f"{pieces[site].heard!r} was said of an earlier time")
    if sites:
        moods.silence(had + 1)  # the "one"
    return bool(sites)


def put_in_the_past(moods: Moods, at: int) -> None:
    """ "Had an ulcer last time, clean now": what was before is no finding of today."""
    cue = moods.pieces[at]
    if isinstance(get(moods.said, back(moods.said, at - 1, LINKS)), Past):
        return  # "fell off last week, they said"
    if _had_elsewhere(moods, at):
        return
    time = back(moods.pieces, at - 1, LINKS)
    if cue.heard == "ago" and isinstance(get(moods.pieces, time), TimeSaid):
        moods.silence(time)
    head = _of_then(moods, at, time)
    if head is not None:
        piece = moods.pieces[head]
        _tell_now(moods, head, at)
        silence_own(moods, head)
        if isinstance(piece, StatusSaid) and not piece.medicine:
            if not piece.value.startswith(_WORN):  # "the block fell off last week" holds today
                moods.silence(head)
            return
        moods.set_aside(head, "said-of-past", f"{piece.heard!r} was said of an earlier time")
        _silence_feet(moods, head, at)
