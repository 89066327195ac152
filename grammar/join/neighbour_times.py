"""Times told by the words next to them: "did the left on monday", "right by the weekend", "three weeks in situ"."""

from collections.abc import Sequence

from grammar.join.cursor import back, find_back, get
from grammar.join.near import is_word, just_before, silent, words_before
from grammar.join.neighbour_states import SEASONS
from grammar.join.undone import is_told
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    CLAWS,
    FEET,
    LINKS,
    ActionSaid,
    FollowUpSaid,
    Leftover,
    LeftUndone,
    Material,
    Not,
    NotNeeded,
    On,
    Past,
    Piece,
    StatusSaid,
    TimeSaid,
    Undone,
    turned,
    value_of,
)

__all__ = [
    "again_then",
    "been_done",
    "done_then",
    "finish_then",
    "how_long_on",
    "leave_until",
    "not_today",
    "prognosis",
    "sprayed_today",
]

_SITES = (*FEET, *CLAWS)
_NEAR = 5
""" "I did the left hind on monday"."""


def been_done(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Been sprayed twice and it's gone to M four", "the one that was blocked": of earlier days."""
    deed, often = get(pieces, at + 1), get(pieces, at + 2)
    told = isinstance(deed, ActionSaid) and is_told(deed)
    was = is_word(get(pieces, at - 1), frozenset({"that"}))
    if pieces[at].heard == "was":
        return [turned(pieces[at], Past, value="past")] if told and was else None
    over = often is not None and not lexicon.clauses.often.isdisjoint(often.heard.split())
    return [turned(pieces[at], Past, value="past")] if told and over else None


def again_then(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Sawed them, again at christmas", "so again in two months": to be seen then."""
    before, time = get(pieces, at - 1), get(pieces, at + 1)
    season = isinstance(time, Past) and time.heard.startswith(SEASONS)
    dated = isinstance(time, TimeSaid) and (time.value.in_days or 1) > 0
    if not (season or dated) or isinstance(before, (FollowUpSaid, TimeSaid, On)):
        return None
    if isinstance(before, ActionSaid) and not is_told(before):
        return None  # "block her again in a week"
    if is_word(before, lexicon.clauses.pronouns):
        return None  # "… it again in two weeks": its verb was lost
    due = find_back(pieces, at - 1, (FollowUpSaid, TimeSaid)) is not None
    kind = "look again"
    return None if due else [turned(pieces[at], FollowUpSaid, value=kind, only_dated=True)]


def done_then(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Did her fronts in july", "the left on monday I did": of another day, and not due."""
    time, words = pieces[at], lexicon.clauses
    if not _is_named_day(time, lexicon):
        return None
    head = back(pieces, at - 1, (*LINKS, *_SITES, Leftover, LeftUndone))
    between = pieces[max(head + 1, at - _NEAR) : at]
    sites = sum(isinstance(one, FEET) for one in between)
    ours = sites < 2 and any(
        one.heard == "did" for one in between
    )  # "did the hinds, fronts on friday"
    deed, said = get(pieces, head), words_before(pieces, head, 2)
    who = isinstance(deed, ActionSaid) and is_told(deed) and not words.doers.isdisjoint(said)
    later = any(isinstance(one, Undone) for one in pieces[max(0, head - 2) : at])
    if later or not (ours or who):
        return None
    return [turned(time, Past, value="past", behind=True)]


def _is_named_day(time: Piece, lexicon: Lexicon) -> bool:
    """Whether a time is a month or a day of the week: "in july", "on monday"."""
    first, *rest = time.heard.removeprefix("in ").removeprefix("on ").split()
    return not rest and (first in lexicon.numbers.months or first in lexicon.numbers.weekdays)


def prognosis(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "She'll be right by the weekend", "should come right in a week": nothing is due then."""
    said = words_before(pieces, at, _NEAR)
    words = lexicon.clauses
    well = next((i for i, word in enumerate(said) if word in words.well), None)
    if well is None or words.becomes.isdisjoint(said[:well]):
        return None
    rest = said[well + 1 :]
    return [silent(pieces[at])] if words.well_behind.issuperset(rest) else None


def how_long_on(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Block removed, four weeks in situ", "… after six weeks on": how long it was on."""
    behind, ends = get(pieces, at + 1), at + 2 >= len(pieces)
    worn = find_back(pieces, at - 1, (ActionSaid, StatusSaid))
    deed = pieces[worn] if worn is not None else None
    if deed is None or not str(value_of(deed)).endswith((" removed", " lost")):
        return None
    on = isinstance(behind, On) and ends
    return [silent(pieces[at])] if on or is_word(behind, lexicon.clauses.in_place) else None


def leave_until(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Dry, leave it till autumn", "leave her alone eight weeks": to be seen then."""
    time, leave = pieces[at], get(pieces, at - 1)
    if not isinstance(time, TimeSaid) or not is_word(leave, lexicon.clauses.leaves_her):
        return None
    if any(not lexicon.clauses.worn.isdisjoint(one.heard.split()) for one in pieces[:at]):
        return None  # "wrapped, leave it four days"
    due = {"heard": leave.heard if leave else "", "first": time.first, "last": time.first}
    return [turned(time, FollowUpSaid, value="look again", only_dated=True, **due), time]


def finish_then(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Only got the one foot, finish her another day": trimmed then, and not culled."""
    finish = pieces[at].heard.startswith("finish ")
    dated = isinstance(get(pieces, at + 1), TimeSaid)
    return [turned(pieces[at], FollowUpSaid, value="trim")] if finish and dated else None


def not_today(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "We burn it not today, the vet cuts it at dry-off", "wrap it, not today": of what stands before."""
    no, time = (at - 1, at) if isinstance(pieces[at], TimeSaid) else (at, at + 1)
    today = get(pieces, time)
    cue = get(pieces, no)
    if not isinstance(cue, Not) or not isinstance(today, TimeSaid) or today.value.in_days != 0:
        return None
    deed = isinstance(just_before(pieces, no), (ActionSaid, FollowUpSaid)) and at == no
    return [turned(cue, NotNeeded, value="not needed") if deed else silent(pieces[at])]


def sprayed_today(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Spray today, spray again wednesday": the first is done."""
    time, deed, due = pieces[at], get(pieces, at - 1), get(pieces, at + 1)
    today = isinstance(time, TimeSaid) and time.value.in_days == 0
    done = isinstance(deed, Material) or (isinstance(deed, ActionSaid) and not deed.if_dated)
    again = isinstance(due, FollowUpSaid) and isinstance(get(pieces, at + 2), TimeSaid)
    return [silent(time)] if today and done and again else None
