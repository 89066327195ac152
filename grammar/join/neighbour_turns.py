"""Little words that turn what is said: "not her", "nah", "meant to", "no need", "left the backs"."""

from collections.abc import Sequence
from dataclasses import replace

from grammar.hear.identifiers import identifier_readings
from grammar.join.cursor import back, find_back, get, past
from grammar.join.near import is_word, just_before, next_to, silent, words_before
from grammar.join.replacing import same_kinds
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
    HalfFoot,
    LeftUndone,
    Lesion,
    Material,
    No,
    Not,
    NotNeeded,
    Number,
    On,
    Past,
    Piece,
    SameCow,
    Scratch,
    Severity,
    Stage,
    StatusSaid,
    TimeSaid,
    Tissue,
    Undone,
    WrongCow,
    is_clean,
    is_side,
    turned,
)
from grammar.records import How

__all__ = [
    "HER",
    "IT",
    "NAH",
    "ONE",
    "he_said_leave",
    "it_is_on",
    "lame_for",
    "long_ago",
    "meant_to",
    "nah",
    "neither",
    "never_mind",
    "new_one",
    "no_need",
    "not_her",
    "oh",
    "one_there",
    "same_one",
    "since",
    "time_back",
]

HER = frozenset({"her", "him", "that one", "this one"})
_TO = frozenset({"to", "to do"})
_LEAVE = frozenset({"leave", "skip", "don't", "keep"})
NAH = frozenset({"nah", "naw", "nay"})
_TOLD = frozenset(
    {"was", "were", "had", "we", "i", "they", "we had", "i had", "that we", "that i", "that was"}
)
_LED = 2
"""Words between "had" and the lesion: "had some foot rot"."""
_THAN = frozenset({"than"})
_SINCE = frozenset({"since", "started", "began"})
ONE = frozenset({"one", "another one"})
IT = frozenset({"it"})
_THERE_IS = (["there", "is"], ["there", "was"])
_IN = frozenset({"in", "in the", "at"})
_HAS = frozenset({"has", "had", "has got", "got", "have", "does have"})
_THERE = frozenset(
    {"there's", "there is", "there was", "and", "but", "another", "also", "plus", "got", "has"}
)
_SAYS_OF = frozenset({"has", "had", "have", "is", "was", "are", "were", "looks", "needs", "got"})


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
    alone = pieces[at].heard == "oh" and not any(isinstance(one, numbers) for one in beside)
    return [silent(pieces[at])] if alone else None


def meant_to(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "I meant to do her fronts, and forgot": not done, and nothing is put right."""
    to = is_word(get(pieces, at + 1), _TO)
    meant = pieces[at].heard.endswith("meant")
    return [turned(pieces[at], Undone, value="undone", later=True)] if meant and to else None


def no_need(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Poultice on, vet no need", "block inner, bandage no": denies what was said before it."""
    need = pieces[at + 1].heard if at + 2 == len(pieces) else ""
    ends = at + 1 == len(pieces) and isinstance(get(pieces, at - 1), ActionSaid)
    return [turned(pieces[at], NotNeeded, value="not needed")] if ends or need == "need" else None


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


def one_there(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "There's one on the right hind too", "the right hind has one": the same lesion there."""
    piece, on, foot = pieces[at], get(pieces, at + 1), past(pieces, at + 1, LINKS)
    it = is_word(piece, IT)
    if piece.heard not in ONE and not it:
        return None
    another = piece.heard == "another one"
    foot_before = back(pieces, at - 1, (*LINKS, *CLAWS))
    has = is_word(get(pieces, at - 1), _HAS) and isinstance(get(pieces, foot_before), FEET)
    named = isinstance(get(pieces, at - 1), Foot)  # "the right hind one is healed"
    if it and not has:
        return None  # "off hind has it, M four" is the lesion; "it's" is not
    own = has or (named and isinstance(next_to(pieces, at), (Course, Severity, Tissue)))
    at_foot = another or isinstance(on, On) or is_word(on, _IN)
    ahead = at_foot and isinstance(get(pieces, foot), FEET)
    if not own and not ahead:
        return None
    joined = another or own or words_before(pieces, at, 2) in _THERE_IS
    joined = joined or is_word(get(pieces, at - 1), _THERE)
    head = find_back(pieces, at - 1, (*FINDINGS, ActionSaid), (AnimalSaid,))
    if has:
        head = _denied_elsewhere(pieces, foot_before) or head
    lesion = pieces[head] if head is not None else None
    if not joined or not isinstance(lesion, Lesion) or lesion.value == "no lesion":
        return None
    after = past(pieces, foot + 1 if ahead else at + 1, (*LINKS, *CLAWS, Severity, Tissue, Course))
    if isinstance(get(pieces, after), FINDINGS if it else (*FINDINGS, Stage)):
        return None
    return [replace(lesion, first=piece.first, last=piece.last, how=How.INFERRED, corrections=())]


def new_one(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Outer ulcer gone, inner has a new one", "a new one on the right hind": the same lesion there."""
    new, head = pieces[at], find_back(pieces, at - 1, FINDINGS)
    site, before = (*CLAWS, *FEET), just_before(pieces, at)
    sited = isinstance(next_to(pieces, at), site) or is_word(get(pieces, at - 1), _HAS)
    lesion = pieces[head] if head is not None else None
    if not new.heard.endswith("new one") or not sited or isinstance(before, ActionSaid):
        return None
    if not isinstance(lesion, Lesion) or is_clean(lesion):
        return None
    words = {"first": new.last - 1, "last": new.last}
    one = replace(
        lesion, first=words["first"], last=words["last"], how=How.INFERRED, corrections=()
    )
    return [replace(new, last=new.last - 1, heard=new.heard.removesuffix(" one")), one]


def it_is_on(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "No ulcer on the right, it's all on the left hind": what was denied there is here."""
    place = past(pieces, at + 1, (Filler,))
    head = _denied_elsewhere(pieces, at)
    foot = get(pieces, past(pieces, place, LINKS))
    if head is None or not isinstance(get(pieces, place), On) or not isinstance(foot, FEET):
        return None
    if find_back(pieces, at - 1, (Foot, HalfFoot)) is None or place > at + 2:
        return None
    it = pieces[at]
    return [replace(pieces[head], first=it.first, last=it.last, how=How.INFERRED, corrections=())]


def _denied_elsewhere(pieces: Sequence[Piece], at: int) -> int | None:
    """Return the lesion of "no ulcer on the left hind, clean; the right hind has one"."""
    no = find_back(pieces, at - 1, (No, Not))
    lesion = past(pieces, no + 1, LINKS) if no is not None else at
    return lesion if isinstance(get(pieces, lesion), FINDINGS) and lesion < at else None


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


def long_ago(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Weeks ago": how many is not said."""
    ago = get(pieces, at + 1)
    return [silent(pieces[at])] if isinstance(ago, Past) and ago.heard == "ago" else None


def time_back(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "That we wrapped two weeks back": so long ago; "two weeks, back in four" is seen again."""
    said, time = pieces[at], get(pieces, at - 1)
    ago = said.heard == "back" and isinstance(time, TimeSaid) and time.last == said.first
    if not ago or isinstance(next_to(pieces, at), TimeSaid):
        return None
    if is_word(get(pieces, at - 2), _THAN):
        return [silent(said)]  # "better than a fortnight back"
    told = _is_told(pieces[:at])
    if find_back(pieces, at - 2, (FollowUpSaid,)) is not None or not told:
        return None
    return [turned(said, Past, value="past", heard="ago", behind=True)]


def _is_told(pieces: Sequence[Piece]) -> bool:
    """Whether what is said last is told in the words of what is over: "was wrapped", "had some foul"."""
    head = find_back(pieces, len(pieces) - 1, (ActionSaid, *FINDINGS))
    if head is None:
        return False
    led = back(pieces, head - 1, (Filler,)) + 1
    words = pieces[max(led, head - _LED) : head] if isinstance(pieces[head], Lesion) else []
    return any(is_word(one, _TOLD) for one in (get(pieces, head - 1), *words) if one is not None)


def lame_for(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "She was lame three days, vet today": how long, and no day to come."""
    before = just_before(pieces, at)
    lame = isinstance(before, StatusSaid) and "lame" in str(before.value)
    return [silent(pieces[at])] if lame and not pieces[at].heard.startswith("in ") else None


def since(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "On her since tuesday", "five weeks since blocking": a day or a deed that is over."""
    before = get(pieces, at - 1)
    over = before is not None and before.heard in _SINCE
    after = get(pieces, at + 1)
    over = over or (is_word(before, _THAN) and after is not None and after.heard == "back")
    counted = isinstance(pieces[at], TimeSaid) and is_word(get(pieces, at + 1), _SINCE)
    return [silent(pieces[at])] if over or counted else None
