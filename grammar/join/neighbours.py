"""Words that the piece next to them gives another meaning, before any correction.

"Trimmed, back in six months" is no "trimmed back"; "fronts done" is a trim; "cut it right back" names
no right hind.  Each rule looks at one kind of piece and says what stands in its place.
"""

from collections.abc import Callable, Sequence
from collections.abc import Set as AbstractSet

from grammar.join.cracks import said_of_crack, way_of_crack
from grammar.join.cursor import back, get, seek
from grammar.join.feet import ALL_FEET
from grammar.join.near import is_word, just_before, next_to, silent, words_before
from grammar.join.neighbour_counts import (
    a_digit_unread,
    counted,
    four_claws,
    in_talk,
    interdigital,
    left_one,
    one_of_them,
    one_small,
)
from grammar.join.neighbour_deeds import (
    DO,
    MINE,
    another_of_kind,
    another_one,
    cut_away,
    did_feet,
    feet_done,
    kept_on,
    leave_on,
    mine,
    of_business,
    put_back,
    still_good,
    the_other,
    today,
    without_back,
    wrapped_and_off,
)
from grammar.join.neighbour_turns import (
    HER,
    NAH,
    ONE,
    feet_later,
    feet_spared,
    he_said_leave,
    left_feet,
    long_ago,
    meant_to,
    nah,
    neither,
    no_need,
    not_her,
    oh,
    one_there,
    since,
)
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    ActionSaid,
    AnimalSaid,
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
    No,
    Not,
    Number,
    On,
    OtherClaw,
    Past,
    Piece,
    Region,
    Severity,
    Stage,
    StatusSaid,
    TimeSaid,
    Tissue,
    Undone,
    is_clean,
    turned,
)

__all__ = ["read_neighbours"]

_OF_A_LESION = (Severity, Tissue, Course)
_OF_LONG = (*FEET, *CLAWS, Region)
"""What "long" alone is said of."""
_DRY = frozenset({"dry", "is dry"})
_IS = frozenset({"is", "now"})
_BACK_LEFT = 2
"""Words of "back left"."""
_NEXT_TRIM = frozenset({"next trim", "at next trim", "next herd trim"})
_ALL_OF = frozenset({"all", "every", "everything", "four"})
_THE = frozenset({"the", "her"})
_US = frozenset({"you", "you're", "we", "we're", "i", "i'm", "they", "they're"})
_WHO = _US | {"she", "she's", "her", "it", "it's", "cow", "this", "he", "him"}
_NEAR = 3
_ENDS = {"front": "F", "fore": "F", "rear": "H", "hind": "H"}
_WORN_ON_ALL = frozenset({"wraps", "bandages", "blocks", "shoes"})
_SOMETHING = frozenset({"something", "odd", "ish"})
_NOTHING_MUCH = frozenset({"nothing much", "nothing special", "nothing serious", "not much"})
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
        plain = type(piece) is Filler
        said = [piece]
        for rule in _OF_WORD.get(piece.heard, ()) if plain else _RULES.get(type(piece), ()):
            changed = rule(pieces, at, lexicon)
            if changed is not None:
                said = changed
                break
        if result and said and said[0].first < result[-1].last:
            result.pop()  # "left one" takes the "left" with it
        result += said
    return result


# --- counts -----------------------------------------------------------------------------------


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


_RULES: dict[type[Piece], tuple[Rule, ...]] = {
    ActionSaid: (another_of_kind, without_back, wrapped_and_off, kept_on, of_business),
    CorrectionCue: (meant_to,),
    No: (no_need,),
    Not: (neither, feet_spared),
    Dangling: (long_ago,),
    Foot: (_is_back, _behind_the, four_claws, _right_back),
    FollowUpSaid: (_came_back, put_back),
    HalfFoot: (_same_end,),
    Leftover: (oh, did_feet, cut_away, said_of_crack, _named_end),
    LeftUndone: (_left_on_claw,),
    Lesion: (_long, _should_be_fine, interdigital, still_good, way_of_crack),
    OtherClaw: (_bad_one,),
    Number: (one_there, oh, another_one, in_talk, counted, left_one, one_small, one_of_them),
    Past: (he_said_leave,),
    StatusSaid: (left_feet, _dry, _of_us),
    Undone: (leave_on, feet_spared),
    TimeSaid: (since, today, feet_later, _if_not_better, _next_trim),
}

_WORD_RULES: tuple[tuple[Rule, AbstractSet[str]], ...] = (
    (the_other, frozenset({"other"})),
    (mine, MINE),
    (one_there, ONE),
    (left_feet, frozenset({"left"})),
    (not_her, HER),
    (nah, NAH),
    (left_one, frozenset({"un"})),
    (_but_this, frozenset({"but"})),
    (feet_done, frozenset({"done"})),
    (did_feet, DO),
    (_nothing_much, _NOTHING_MUCH),
    (a_digit_unread, _SOMETHING),
)
_OF_WORD: dict[str, tuple[Rule, ...]] = {
    word: tuple(rule for rule, words in _WORD_RULES if word in words)
    for _, all_words in _WORD_RULES
    for word in all_words
}
"""Rules of little words, by the word: most words have none."""
