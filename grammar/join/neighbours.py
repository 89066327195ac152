"""Words that the piece next to them gives another meaning, before any correction.

"Trimmed, back in six months" is no "trimmed back"; "fronts done" is a trim; "cut it right back" names
no right hind.  Each rule looks at one kind of piece and says what stands in its place.
"""

from collections.abc import Callable, Sequence

from grammar.join.cracks import said_of_crack, way_of_crack
from grammar.join.cursor import back, get, past, seek
from grammar.join.feet import ALL_FEET
from grammar.join.near import is_word, just_before, next_to, silent, untaken, words_before
from grammar.join.neighbour_deeds import (
    another_of_kind,
    another_one,
    cut_away,
    did_feet,
    feet_done,
    kept_on,
    leave_on,
    of_business,
    put_back,
    still_good,
    the_other,
    today,
    without_back,
    wrapped_and_off,
)
from grammar.join.replacing import same_kinds
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    LINKS,
    MODIFIERS,
    ActionSaid,
    AnimalSaid,
    Claw,
    CorrectionCue,
    Course,
    Dangling,
    Except,
    Filler,
    FollowUpSaid,
    Foot,
    HalfFoot,
    Leftover,
    LeftUndone,
    Lesion,
    Material,
    No,
    Not,
    NotNeeded,
    Number,
    On,
    OtherClaw,
    OtherFeet,
    Past,
    Piece,
    Region,
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

__all__ = ["read_neighbours"]

_COUNTED = frozenset({"feet", "legs"})
_ALL_BUT_ONE = 3
_COUNT_MAX = 4
_OF_A_LESION = (Severity, Tissue, Course)
_OF_LONG = (*FEET, *CLAWS, Region)
"""What "long" alone is said of."""
_DRY = frozenset({"dry", "is dry"})
_BETWEEN_CLAWS = frozenset({"interdigital hyperplasia", "interdigital phlegmon"})
_IS = frozenset({"is", "now"})
_BACK_LEFT = 2
"""Words of "back left"."""
_NEXT_TRIM = frozenset({"next trim", "at next trim", "next herd trim"})
_MORE = frozenset({"more"})
_FAR = 8
_ALL_OF = frozenset({"all", "every", "everything", "four"})
_THE = frozenset({"the", "her"})
_US = frozenset({"you", "you're", "we", "we're", "i", "i'm", "they", "they're"})
_WHO = _US | {"she", "she's", "her", "it", "it's", "cow", "this", "he", "him"}
_NEAR = 3
_ENDS = {"front": "F", "fore": "F", "rear": "H", "hind": "H"}
_WORN_ON_ALL = frozenset({"wraps", "bandages", "blocks", "shoes"})
_HER = frozenset({"her", "him", "that one", "this one"})
_ALONE = frozenset({"alone", "be", "as", "for", "till", "until", "undone"})
_TO = frozenset({"to", "to do"})
_LEAVE = frozenset({"leave", "skip", "don't", "keep"})
_NAH = frozenset({"nah", "naw", "nay"})
_SINCE = frozenset({"since"})
_SOMETHING = frozenset({"something", "odd", "ish"})
_NOTHING_MUCH = frozenset({"nothing much", "nothing special", "nothing serious", "not much"})
_POINTING = frozenset(
    {"a", "the", "that", "this", "another", "each", "every", "only", "new", "fresh", "old", "other"}
    | {"false", "real", "big", "wee", "small", "little", "she'd", "same", "first", "last", "not"}
)
"""Words behind which "one" stands for what was named."""
_CUTS = (
    "cut",
    "pared",
    "trimmed",
    "took",
    "taken",
    "dug",
    "opened",
    "stripped",
    "peeled",
    "ground",
)
"""Verbs behind which "right back" says how far."""

Rule = Callable[[Sequence[Piece], int, Lexicon], list[Piece] | None]


def read_neighbours(pieces: Sequence[Piece], lexicon: Lexicon) -> list[Piece]:
    """Return the pieces with those changed that their neighbours tell apart."""
    result: list[Piece] = []
    for at, piece in enumerate(pieces):
        found = (rule(pieces, at, lexicon) for rule in _RULES.get(type(piece), ()))
        said = next((one for one in found if one is not None), [piece])
        if result and said and said[0].first < result[-1].last:
            result.pop()  # "left one" takes the "left" with it
        result += said
    return result


# --- counts -----------------------------------------------------------------------------------


def _counted(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Three feet clean, right hind a bruise": a count is no animal; three feet are the rest."""
    piece = pieces[at]
    if not isinstance(piece, Number) or piece.quantity is None or piece.quantity > _COUNT_MAX:
        return None
    thing = get(pieces, at + 1)
    if isinstance(thing, Claw) and thing.of_both_feet:
        return [silent(piece)]  # "blocks on the two inners"
    if is_word(thing, _COUNTED):
        if isinstance(next_to(pieces, at + 1), FEET):
            return [silent(piece)]  # "warts on three feet, both rears and left front"
        if (others := _but_one(pieces, at + 2)) is not None:
            return [turned(piece, Foot, value=others)]
        if piece.quantity == _ALL_BUT_ONE and seek(pieces, 0, FEET) is not None:
            return [turned(piece, OtherFeet, value="rest")]
        return [untaken(piece)]
    return None


def _in_talk(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Nine dollars forty", "three more": no animal."""
    before = get(pieces, at - 1)
    money = isinstance(before, Filler) and before.rule == "number in talk"
    more = is_word(get(pieces, at + 1), _MORE) and not isinstance(before, AnimalSaid)
    words = set(words_before(pieces, at, _FAR))
    asked = {"how", "many"} <= words
    return [untaken(pieces[at])] if money or more or asked else None


def _but_one(pieces: Sequence[Piece], at: int) -> tuple[str, ...] | None:
    """ "On three feet, not the right front": the other three."""
    cue = get(pieces, past(pieces, at, LINKS))
    foot = next_to(pieces, past(pieces, at, LINKS))
    if not isinstance(cue, (No, Not)) or not isinstance(foot, Foot) or len(foot.value) != 1:
        return None
    return tuple(one for one in ALL_FEET if one not in foot.value)


def _one_small(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Trimmed, one wee abscess": a count of lesions behind something that is no number."""
    piece = pieces[at]
    lesion = get(pieces, past(pieces, at + 1, (*LINKS, *_OF_A_LESION)))
    named = isinstance(get(pieces, back(pieces, at - 1, LINKS)), (AnimalSaid, Number))
    if isinstance(next_to(pieces, at), FEET) and piece.heard == "one" and not named:
        return [silent(piece)] if seek(pieces, 0, (Lesion,), at) is not None else None
    single = isinstance(piece, Number) and piece.heard in ("one", "two", "three")
    return [silent(piece)] if single and not named and at and isinstance(lesion, Lesion) else None


def _left_one(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Both hinds digi, left one m two": half a foot."""
    piece, side = pieces[at], get(pieces, at - 1)
    if piece.heard not in ("one", "un"):
        return None
    if isinstance(side, (HalfFoot, Stage, *_OF_A_LESION)):
        return [silent(piece)]  # "the left one", "a chronic one"
    if not is_side(side):
        return None
    if seek(pieces, 0, FEET, at) is None or side is None:
        return None
    heard = f"{side.heard} {piece.heard}"
    return [turned(piece, HalfFoot, value=side.heard, heard=heard, first=side.first)]


def _one_of_them(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Fast with a plastic one", "the outer is the bad one": a word for what was named."""
    piece, before = pieces[at], get(pieces, at - 1)
    named = seek(pieces, 0, (AnimalSaid, Lesion, *FEET), at) is not None
    if piece.heard != "one" or not named or not isinstance(before, (Filler, Material)):
        return None
    if isinstance(before, Filler) and before.heard not in _POINTING:
        return None
    return [silent(piece)]


def _interdigital(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Interdigital, big growth" says where the growth is."""
    piece = pieces[at]
    if piece.heard != "interdigital":
        return None
    other = past(pieces, at + 1, (*LINKS, *MODIFIERS))
    lesion = get(pieces, other)
    between = isinstance(lesion, Lesion) and lesion.value in _BETWEEN_CLAWS
    if any(is_word(one, frozenset({"and", "plus"})) for one in pieces[at:other]):
        return None
    return [silent(piece)] if between else None


def _four_claws(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "All four claws on the fronts" are those of two feet."""
    piece, claws = pieces[at], get(pieces, at + 1)
    if piece.heard != "all four" or not is_word(claws, frozenset({"claws", "toes", "digits"})):
        return None
    pair = next_to(pieces, at + 1)
    two = isinstance(get(pieces, at + 2), On) and isinstance(pair, Foot) and len(pair.value) > 1
    return [silent(piece)] if two else None


def _a_digit_unread(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Cow two something" is not cow two."""
    piece = pieces[at]
    if not is_word(piece, _SOMETHING) or not isinstance(get(pieces, at - 1), (AnimalSaid, Number)):
        return None
    return [untaken(piece)]


# --- sites ------------------------------------------------------------------------------------


def _but_this(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "All trimmed but the right hind": all without it."""
    before = words_before(pieces, at, _NEAR)
    if pieces[at].heard != "but" or _ALL_OF.isdisjoint(before):
        return None
    return (
        [turned(pieces[at], Except, value="but")] if isinstance(next_to(pieces, at), FEET) else None
    )


def _behind_the(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Right hind outer, behind the toe": where on the claw, and no pair of feet."""
    piece, after = pieces[at], next_to(pieces, at)
    if not isinstance(piece, Foot) or not piece.place or not is_word(get(pieces, at + 1), _THE):
        return None
    named = seek(pieces, 0, FEET, at) is not None
    return [silent(piece)] if named and isinstance(after, (Region, *FINDINGS, *CLAWS)) else None


def _after_all(pieces: Sequence[Piece], at: int) -> bool:
    """Whether nothing more is said of feet, lesions or claws."""
    return not any(isinstance(one, (*FEET, *FINDINGS, *CLAWS, Stage)) for one in pieces[at + 1 :])


def _right_back(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Cut it right back" says how far, where no more is said of a right hind."""
    piece = pieces[at]
    if piece.heard == "both back":
        cut = isinstance(get(pieces, at - 1), ActionSaid)
        two = sum(isinstance(one, FEET) for one in pieces[:at]) > 1
        if cut and two and _after_all(pieces, at):
            return [turned(piece, Filler, value="both", heard="both")]
        return None
    if piece.heard not in ("right back", "left back"):
        return None
    start = back(pieces, at - 1, (Filler, ActionSaid)) + 1
    said = " ".join(one.heard for one in pieces[start:at]).split()
    cuts = not {*_CUTS}.isdisjoint(said)
    more = isinstance(next_to(pieces, at), (*FINDINGS, *CLAWS, *_OF_A_LESION, Stage))
    return [silent(piece)] if cuts and not more else None


def _is_back(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "The ulcer's back, left hind outer": it came back, and the foot is said in full."""
    piece, half, said = pieces[at], get(pieces, at + 1), get(pieces, at - 1)
    words = piece.heard.split()
    if not isinstance(half, HalfFoot) or not half.is_end or words[0] != "back" or said is None:
        return None
    if not _is_copula(said) or half.first != piece.last or len(words) != _BACK_LEFT:
        return None
    middle = piece.first + 1
    lesion = isinstance(said, Lesion) or isinstance(just_before(pieces, at), Lesion)
    kind: type[Piece] = Course if lesion else Filler
    value = "recurrence" if lesion else "back"
    back_again = turned(piece, kind, value=value, heard="back", last=middle, rule="back again")
    side = "L" if words[1] in ("left", "near") else "R"
    foot = turned(
        piece, Foot, value=(side + half.value[0].upper(),), heard=f"{words[1]} {half.heard}",
        first=middle, last=half.last,
    )  # fmt: skip
    return [back_again, foot]


def _came_back(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Wart's back, right front" came back; "wart, back in a week" is seen again."""
    piece, said = pieces[at], get(pieces, at - 1)
    lesion = isinstance(said, Lesion) or isinstance(just_before(pieces, at), Lesion)
    if piece.heard != "back" or said is None or not lesion or not _is_copula(said):
        return None
    if isinstance(next_to(pieces, at), TimeSaid):
        return None
    return [turned(piece, Course, value="recurrence")]


def _is_copula(piece: Piece) -> bool:
    return piece.heard.endswith("'s") or is_word(piece, _IS)


def _same_end(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """The "hind" of "back left hind" has been taken by the foot before."""
    piece, foot = pieces[at], get(pieces, at - 1)
    words = foot.heard.split() if isinstance(foot, Foot) else []
    if not isinstance(piece, HalfFoot) or not words or words[0] != "back" or not piece.is_end:
        return None
    if _is_back(pieces, at - 1, _) is not None:
        return []
    same = isinstance(foot, Foot) and foot.value[0][1] == piece.value[0].upper()
    return [silent(piece)] if same else None


def _named_end(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "M two right front, sprayed the front": that foot; "rear wraps off": both rears."""
    piece, deed = pieces[at], just_before(pieces, at)
    if piece.heard not in _ENDS:
        return None
    end = _ENDS[piece.heard]
    worn = get(pieces, at + 1)
    if isinstance(worn, ActionSaid) and worn.heard.split()[0] in _WORN_ON_ALL:
        both = tuple(foot for foot in ALL_FEET if foot[1] == end)
        return [turned(piece, Foot, value=both)]
    named = {foot for one in pieces[:at] if isinstance(one, Foot) for foot in one.value}
    own = tuple(foot for foot in ALL_FEET if foot in named and foot[1] == end)
    ends = next_to(pieces, at) is None or isinstance(next_to(pieces, at), (ActionSaid, TimeSaid))
    if not isinstance(deed, ActionSaid) or not ends or len(own) != 1:
        return None
    return [turned(piece, Foot, value=own)]


def _left_on_claw(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Both hinds ulcer, left on the outer" leaves nothing on."""
    piece = pieces[at]
    if piece.heard != "left on" or not isinstance(next_to(pieces, at), CLAWS):
        return None
    if isinstance(get(pieces, at - 1), ActionSaid):
        return None  # "block left on the inner"
    middle = piece.last - 1
    return [
        turned(piece, Filler, value="left", heard="left", last=middle),
        turned(piece, On, value="on", heard="on", first=middle),
    ]


def _nothing_much(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Nothing much on the fronts" is said of those feet alone."""
    piece, link = pieces[at], get(pieces, at + 1)
    if not is_word(piece, _NOTHING_MUCH) or not isinstance(link, (On, Filler)):
        return None
    on = link.heard.split()[0] in ("on", "in", "with")
    feet = on and isinstance(next_to(pieces, at), FEET)
    return [turned(piece, Lesion, value="no lesion")] if feet else None


# --- states -----------------------------------------------------------------------------------


def _bad_one(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Now the back left, that's the bad one": of the foot, and no claw."""
    piece, article = pieces[at], get(pieces, at - 1)
    if not piece.heard.endswith(" one") or not is_word(article, frozenset({"the", "a"})):
        return None
    tells = is_word(get(pieces, at - 2), frozenset({"that's", "it's", "is", "this is"}))
    return [silent(piece)] if tells else None


def _long(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Long" alone is overgrown only beside a foot or claw."""
    piece = pieces[at]
    of = isinstance(just_before(pieces, at), _OF_LONG) or isinstance(next_to(pieces, at), FEET)
    return [silent(piece)] if piece.heard == "long" and not of else None


def _should_be_fine(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Shallow white line, pared away, should be fine" finds no clean foot."""
    piece, cue = pieces[at], just_before(pieces, at)
    if not is_clean(piece):
        return None
    hoped = isinstance(cue, Undone) and cue.heard.endswith("be")
    lesion = any(isinstance(one, Lesion) and not is_clean(one) for one in pieces[:at])
    return [silent(piece)] if hoped and lesion else None


def _of_us(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Are you going to the mart": of the people, and not of the cow."""
    said = words_before(pieces, at, _NEAR)
    who = next((word for word in reversed(said) if word in _WHO), "")
    return (
        [silent(pieces[at])] if who in _US and seek(pieces, 0, (AnimalSaid,), at) is None else None
    )


def _dry(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Underneath is hard and dry" is no dry cow."""
    piece, before = pieces[at], just_before(pieces, at)
    link = get(pieces, at - 1)
    if piece.heard not in _DRY or before is None or isinstance(before, (AnimalSaid, StatusSaid)):
        return None
    if is_word(link, frozenset({"she", "she's", "cow"})):
        return None
    if seek(pieces, 0, (Lesion,), at) is not None:
        return [turned(piece, Tissue, value="dry")]
    return [silent(piece)]


# --- times ------------------------------------------------------------------------------------


def _if_not_better(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Vet if she's not better in a week": one time."""
    piece, when = pieces[at], get(pieces, at + 1)
    if not isinstance(piece, TimeSaid) or not isinstance(when, TimeSaid):
        return None
    if not piece.heard.startswith("if ") or when.value.in_days is None:
        return None
    return [silent(piece)]


def _next_trim(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Next trim before drying off": what is due, and when."""
    piece = pieces[at]
    if piece.heard not in _NEXT_TRIM or not isinstance(get(pieces, at + 1), TimeSaid):
        return None
    return [turned(piece, FollowUpSaid, value="trim")]


def _not_her(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Not her, eighteen eighty": another animal, and nothing is denied."""
    piece, cue, number = pieces[at], get(pieces, at - 1), next_to(pieces, at)
    if not is_word(piece, _HER) or not isinstance(cue, Not) or cue.heard != "not":
        return None
    if not isinstance(number, (Number, AnimalSaid)):
        return None
    heard = f"{cue.heard} {piece.heard}"
    rule = "wrongcow: wrong cow"
    return [turned(piece, WrongCow, value="wrong cow", heard=heard, first=cue.first, rule=rule)]


def _meant_to(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "I meant to do her fronts, and forgot": not done, and nothing is put right."""
    to = is_word(get(pieces, at + 1), _TO)
    meant = pieces[at].heard.endswith("meant")
    return [turned(pieces[at], Undone, value="undone", later=True)] if meant and to else None


def _left_feet(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Trimmed the fronts, left the backs", "fronts trimmed and the backs left": not done."""
    piece, before = pieces[at], get(pieces, at - 1)
    deed = seek(pieces, 0, (ActionSaid,), at) is not None
    if piece.heard not in ("left", "left alone") or not deed:
        return None
    foot, behind = get(pieces, past(pieces, at + 1, (Filler,))), get(pieces, at + 1)
    if is_word(behind, _THE) and isinstance(foot, Foot) and len(foot.value) > 1:
        return [turned(piece, Undone, value="undone", heard="leave")]
    pair = isinstance(before, Foot) and len(before.value) > 1
    if pair and (behind is None or is_word(behind, _ALONE)):
        return [turned(piece, LeftUndone, value="left undone", heard="left undone")]
    return None


def _no_need(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Poultice on, vet no need": denies what was said before it."""
    need = pieces[at + 1].heard if at + 2 == len(pieces) else ""
    return [turned(pieces[at], NotNeeded, value="not needed")] if need == "need" else None


def _he_said_leave(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "A block was wanted but he said leave it": it was not done."""
    piece, then = pieces[at], get(pieces, at + 1)
    if not piece.heard.endswith("said") or not isinstance(then, (Filler, Undone)):
        return None
    if then.heard.split()[0] not in _LEAVE or isinstance(next_to(pieces, at), TimeSaid):
        return None
    return [turned(piece, LeftUndone, value=piece.heard)]


def _nah(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Wooden, nah, plastic": no, between two things of one kind."""
    piece, one, other = pieces[at], just_before(pieces, at), next_to(pieces, at)
    if not is_word(piece, _NAH) or one is None or other is None:
        return None
    if isinstance(other, Material) and isinstance(one, ActionSaid):
        one = get(pieces, back(pieces, at - 1, (*LINKS, ActionSaid)))
    kinds = (*FEET, *CLAWS, Material, Stage, Severity, Number, TimeSaid)
    if not isinstance(one, kinds):
        return None
    same = isinstance(other, same_kinds(one)) or (isinstance(one, FEET) and is_side(other))
    return [turned(piece, No, value="no")] if same else None


def _oh(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Oh and the right hind too": no figure, where none stands beside it."""
    numbers = (Number, AnimalSaid, Dangling)
    beside = (get(pieces, at - 1), get(pieces, at + 1))
    alone = (
        pieces[at].heard == "oh" and at > 0 and not any(isinstance(one, numbers) for one in beside)
    )
    return [silent(pieces[at])] if alone else None


def _long_ago(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Weeks ago": how many is not said."""
    ago = get(pieces, at + 1)
    return [silent(pieces[at])] if isinstance(ago, Past) and ago.heard == "ago" else None


def _since(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "On her since tuesday": a day that is over."""
    return [silent(pieces[at])] if is_word(get(pieces, at - 1), _SINCE) else None


_RULES: dict[type[Piece], tuple[Rule, ...]] = {
    ActionSaid: (another_of_kind, without_back, wrapped_and_off, kept_on, of_business),
    CorrectionCue: (_meant_to,),
    No: (_no_need,),
    Dangling: (_long_ago,),
    Filler: (
        the_other,
        _left_feet,
        _not_her,
        _nah,
        _left_one,
        _but_this,
        feet_done,
        did_feet,
        _nothing_much,
        _a_digit_unread,
    ),
    Foot: (_is_back, _behind_the, _four_claws, _right_back),
    FollowUpSaid: (_came_back, put_back),
    HalfFoot: (_same_end,),
    Leftover: (_oh, did_feet, cut_away, said_of_crack, _named_end),
    LeftUndone: (_left_on_claw,),
    Lesion: (_long, _should_be_fine, _interdigital, still_good, way_of_crack),
    OtherClaw: (_bad_one,),
    Number: (_oh, another_one, _in_talk, _counted, _left_one, _one_small, _one_of_them),
    Past: (_he_said_leave,),
    StatusSaid: (_left_feet, _dry, _of_us),
    Undone: (leave_on,),
    TimeSaid: (_since, today, _if_not_better, _next_trim),
}
