"""Little words that turn what is said: "not her", "nah", "meant to", "no need", "left the backs"."""

from collections.abc import Sequence
from dataclasses import replace

from grammar.hear.identifiers import identifier_readings
from grammar.join.cursor import back, find_back, get, past, seek
from grammar.join.near import is_word, just_before, next_to, silent, words_before
from grammar.join.replacing import number_for, same_kinds
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    LINKS,
    ActionSaid,
    Again,
    AnimalSaid,
    Course,
    Dangling,
    Filler,
    FollowUpSaid,
    Foot,
    LeftUndone,
    Lesion,
    Material,
    MeasureSaid,
    No,
    Not,
    NotNeeded,
    Number,
    On,
    Past,
    Piece,
    SameCow,
    Score,
    Scratch,
    Severity,
    Stage,
    StatusSaid,
    TimeSaid,
    Tissue,
    Undone,
    WrongCow,
    Zone,
    is_side,
    turned,
)
from grammar.records import How

__all__ = [
    "HER",
    "NAH",
    "ONE",
    "TO_DO",
    "back_to",
    "feet_later",
    "feet_spared",
    "feet_to_do",
    "he_said_leave",
    "lame_for",
    "left_feet",
    "long_ago",
    "meant_to",
    "nah",
    "neither",
    "never_mind",
    "no_need",
    "not_her",
    "oh",
    "one_there",
    "other_value",
    "same_one",
    "since",
]

_THE = frozenset({"the", "her"})
HER = frozenset({"her", "him", "that one", "this one"})
_ALONE = frozenset({"alone", "be", "as", "for", "till", "until", "undone"})
_TO = frozenset({"to", "to do"})
_LEAVE = frozenset({"leave", "skip", "don't", "keep"})
NAH = frozenset({"nah", "naw", "nay"})
_SINCE = frozenset({"since"})
_TRIM = "functional trim"
_HEADS = (ActionSaid, *FINDINGS)
_DONE = frozenset({"done", "did", "were", "was"})
TO_DO = frozenset({"to do", "doing", "do"})
ONE = frozenset({"one", "another one"})
_THERE_IS = (["there", "is"], ["there", "was"])
_IN = frozenset({"in", "in the", "at"})
_HAS = frozenset({"has", "had", "has got", "got"})
_THERE = frozenset(
    {"there's", "there is", "there was", "and", "but", "another", "also", "plus", "got", "has"}
)
_SAYS_OF = frozenset({"has", "had", "have", "is", "was", "are", "were", "looks", "needs", "got"})
_NEEDS = frozenset({"need", "want", "needing", "wanting"})
_OR = frozenset({"or"})
_IN = frozenset({"in"})
_LEFT = frozenset({"left", "leave", "leaving"})
_IT = frozenset({"it", "doing", "them", "that", "much", "at", "yet", "today"})


def not_her(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Not her, eighteen eighty": another animal, and nothing is denied."""
    piece, cue, number = pieces[at], get(pieces, at - 1), next_to(pieces, at)
    if not is_word(piece, HER) or not isinstance(cue, Not) or cue.heard != "not":
        return None
    if not isinstance(number, (Number, AnimalSaid)):
        return None
    heard = f"{cue.heard} {piece.heard}"
    rule = "wrongcow: wrong cow"
    return [turned(piece, WrongCow, value="wrong cow", heard=heard, first=cue.first, rule=rule)]


def nah(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Wooden, nah, plastic": no, between two things of one kind."""
    piece, one, other = pieces[at], just_before(pieces, at), next_to(pieces, at)
    if not is_word(piece, NAH) or one is None or other is None:
        return None
    if isinstance(other, Material) and isinstance(one, ActionSaid):
        one = get(pieces, back(pieces, at - 1, (*LINKS, ActionSaid)))
    kinds = (*FEET, *CLAWS, Material, Stage, Severity, Number, TimeSaid)
    if not isinstance(one, kinds):
        return None
    same = isinstance(other, same_kinds(one)) or (isinstance(one, FEET) and is_side(other))
    return [turned(piece, No, value="no")] if same else None


def oh(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Oh and the right hind too": no figure, where none stands beside it."""
    numbers = (Number, AnimalSaid, Dangling)
    beside = (get(pieces, at - 1), get(pieces, at + 1))
    alone = (
        pieces[at].heard == "oh" and at > 0 and not any(isinstance(one, numbers) for one in beside)
    )
    return [silent(pieces[at])] if alone else None


def meant_to(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "I meant to do her fronts, and forgot": not done, and nothing is put right."""
    to = is_word(get(pieces, at + 1), _TO)
    meant = pieces[at].heard.endswith("meant")
    return [turned(pieces[at], Undone, value="undone", later=True)] if meant and to else None


def no_need(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Poultice on, vet no need": denies what was said before it."""
    need = pieces[at + 1].heard if at + 2 == len(pieces) else ""
    return [turned(pieces[at], NotNeeded, value="not needed")] if need == "need" else None


def neither(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Ulcer on both, wrapped neither" denies the wrap said before; "neither has pus" the pus."""
    piece, deed, after = pieces[at], just_before(pieces, at), get(pieces, at + 1)
    if piece.heard != "neither" or not isinstance(deed, (ActionSaid, Material)):
        return None
    if is_word(after, _SAYS_OF) or isinstance(next_to(pieces, at), (ActionSaid, Undone)):
        return None
    return [turned(piece, NotNeeded, value="not needed")]


def never_mind(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Never mind the vet": what is named is taken back."""
    cue, after = pieces[at], get(pieces, at + 1)
    minds = cue.heard == "never" and isinstance(after, Filler) and after.heard.startswith("mind")
    named = isinstance(next_to(pieces, at), (ActionSaid, FollowUpSaid))
    return [turned(cue, Scratch, value="scratch the", named=True)] if minds and named else None


def other_value(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Zone three or four", "m one or two", "five or six millimetres": a value of the same kind."""
    number = pieces[at]
    if not isinstance(number, Number):
        return None
    before, after = get(pieces, at - 1), get(pieces, at + 1)
    if is_word(before, _IN) and not isinstance(after, (Number, Dangling)):
        return _same_unit(pieces, at, number)
    like = get(pieces, at - 2) if is_word(before, _OR) else None
    if like is None and is_word(after, _OR):
        like = get(pieces, at + 2)
        like = like if isinstance(like, MeasureSaid) else None
    if not isinstance(like, (Zone, Stage, Score, Severity, MeasureSaid)):
        return None
    value = number_for(like, number)
    return [value] if value is not None else None


def _same_unit(pieces: Sequence[Piece], at: int, number: Number) -> list[Piece] | None:
    """ "Wrap off left hind in three days, right hind wrap off in five"."""
    last = find_back(pieces, at - 1, (TimeSaid,))
    due = [one for one in pieces[:at] if isinstance(one, (ActionSaid, FollowUpSaid))]
    dated = any(isinstance(one, FollowUpSaid) or one.if_dated for one in due)
    value = number_for(pieces[last], number) if last is not None and dated else None
    return [value] if value is not None else None


def back_to(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "I'll come back to the right front on tuesday": to be seen then."""
    foot = past(pieces, at + 1, LINKS)
    dated = isinstance(next_to(pieces, foot), TimeSaid)
    if (
        not pieces[at].heard.endswith("back to")
        or not isinstance(get(pieces, foot), FEET)
        or not dated
    ):
        return None
    return [turned(pieces[at], FollowUpSaid, value="look again", only_dated=True)]


def feet_spared(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Trimmed the hinds, fronts didn't need it": of those feet nothing was done."""
    piece = pieces[at]
    if isinstance(piece, Undone):
        no = get(pieces, at - 1)
        return [silent(piece)] if isinstance(no, Not) and feet_spared(pieces, at - 1, _) else None
    wants = get(pieces, at + 1)
    split = isinstance(wants, Undone) and wants.heard in _NEEDS
    verb = wants.heard if split and wants is not None else piece.heard.split()[-1]
    what = get(pieces, at + 1 + split)
    if verb not in _NEEDS or not isinstance(just_before(pieces, at), FEET):
        return None
    if what is not None and not is_word(what, _IT):
        return None
    return [turned(piece, LeftUndone, value="not done", heard="not done")]


def feet_later(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Trimmed the hinds, fronts another day": those feet are to be trimmed then."""
    time, foot = pieces[at], back(pieces, at - 1, LINKS)
    if not isinstance(time, TimeSaid) or not isinstance(get(pieces, foot), FEET):
        return None
    if time.value.in_days is not None and time.value.in_days <= 0:
        return None
    between = pieces[foot + 1 : at]
    if isinstance(next_to(pieces, at), _HEADS) or any(is_word(one, _DONE) for one in between):
        return None
    later = "for next time"
    put_off: list[Piece] = [
        turned(time, LeftUndone, value=later, heard=later, last=time.first),
        time,
    ]
    led = back(pieces, foot - 1, (Filler,)) + 1
    if any(is_word(one, _LEFT) for one in (*pieces[led:foot], *between)):
        return put_off  # "left the fronts till friday", "both fronts left till next time"
    last = back(pieces, foot - 1, LINKS)
    before = get(pieces, last)
    done = isinstance(before, ActionSaid) and isinstance(just_before(pieces, last), FEET)
    trimmed = any(isinstance(one, ActionSaid) and one.value == _TRIM for one in pieces[:foot])
    if not trimmed or not (done or isinstance(before, (*FEET, Lesion))):
        return None
    return put_off


def feet_to_do(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Hinds trimmed, fronts to do", "needs the fronts doing": those feet are still to be trimmed."""
    foot = isinstance(just_before(pieces, at), FEET) and pieces[at].heard in TO_DO
    if pieces[at].heard == "doing":
        foot = foot and isinstance(get(pieces, back(pieces, at - 1, (*LINKS, *FEET))), Undone)
    if pieces[at].heard == "do":  # "the fronts I'll do next time"
        will = isinstance(get(pieces, at - 1), Undone) and isinstance(get(pieces, at + 1), TimeSaid)
        foot = will and isinstance(just_before(pieces, at - 1), FEET)
    return [turned(pieces[at], LeftUndone, value="still to do", heard="to do")] if foot else None


def one_there(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "There's one on the right hind too", "the right hind has one": the same lesion there."""
    piece, on, foot = pieces[at], get(pieces, at + 1), past(pieces, at + 1, LINKS)
    if piece.heard not in ONE:
        return None
    another = piece.heard == "another one"
    has = is_word(get(pieces, at - 1), _HAS) and isinstance(just_before(pieces, at), FEET)
    named = isinstance(get(pieces, at - 1), Foot)  # "the right hind one is healed"
    own = has or (named and isinstance(next_to(pieces, at), (Course, Severity, Tissue)))
    at_foot = another or isinstance(on, On) or is_word(on, _IN)
    ahead = at_foot and isinstance(get(pieces, foot), FEET)
    if not own and not ahead:
        return None
    joined = another or own or words_before(pieces, at, 2) in _THERE_IS
    joined = joined or is_word(get(pieces, at - 1), _THERE)
    head = find_back(pieces, at - 1, (*FINDINGS, ActionSaid), (AnimalSaid,))
    lesion = pieces[head] if head is not None else None
    if not joined or not isinstance(lesion, Lesion) or lesion.value == "no lesion":
        return None
    after = past(pieces, foot + 1 if ahead else at + 1, (*LINKS, *CLAWS, Severity, Tissue, Course))
    if isinstance(get(pieces, after), (*FINDINGS, Stage)):
        return None
    return [replace(lesion, first=piece.first, last=piece.last, how=How.INFERRED, corrections=())]


def same_one(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "One twelve the same, one thirteen clean": the "one" is of the next animal's number."""
    same, number = get(pieces, at - 1), pieces[at]
    if not isinstance(same, SameCow) or not same.heard.endswith("same one"):
        return None
    if not isinstance(number, Number):
        return None
    words = ("one", *number.heard.split())
    readings = identifier_readings(words, lexicon.numbers)
    named = any(isinstance(one, (AnimalSaid, Number)) for one in pieces[: at - 1])
    if not named or not readings:
        return None
    end = same.last - 1
    again = turned(same, Again, value="same", heard="the same", last=end)
    own = {"first": end, "last": number.last, "heard": " ".join(words), "value": number.value}
    return [again, turned(number, Number, identifier=readings, quantity=None, **own)]


def he_said_leave(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "A block was wanted but he said leave it": it was not done."""
    piece, then = pieces[at], get(pieces, at + 1)
    if not piece.heard.endswith("said") or not isinstance(then, (Filler, Undone)):
        return None
    if then.heard.split()[0] not in _LEAVE or isinstance(next_to(pieces, at), TimeSaid):
        return None
    return [turned(piece, LeftUndone, value=piece.heard)]


def left_feet(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Trimmed the fronts, left the backs", "fronts trimmed and the backs left": not done."""
    piece, before = pieces[at], get(pieces, at - 1)
    deed = seek(pieces, 0, (ActionSaid,), at) is not None
    if piece.heard not in ("left", "left alone") or not deed:
        return None
    foot, behind = get(pieces, past(pieces, at + 1, (Filler,))), get(pieces, at + 1)
    if is_word(behind, _THE) and isinstance(foot, Foot) and len(foot.value) > 1:
        return [turned(piece, Undone, value="undone", heard="leave", passes_over=True)]
    pair = isinstance(before, Foot) and len(before.value) > 1
    if pair and (behind is None or is_word(behind, _ALONE)):
        return [turned(piece, LeftUndone, value="left undone", heard="left undone")]
    return None


def long_ago(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Weeks ago": how many is not said."""
    ago = get(pieces, at + 1)
    return [silent(pieces[at])] if isinstance(ago, Past) and ago.heard == "ago" else None


def lame_for(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "She was lame three days, vet today": how long, and no day to come."""
    before = just_before(pieces, at)
    lame = isinstance(before, StatusSaid) and "lame" in str(before.value)
    return [silent(pieces[at])] if lame and not pieces[at].heard.startswith("in ") else None


def since(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "On her since tuesday": a day that is over."""
    return [silent(pieces[at])] if is_word(get(pieces, at - 1), _SINCE) else None
