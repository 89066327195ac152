"""Feet and claws told by the words next to them: "cut it right back", "wart's back", "all but the left"."""

from collections.abc import Sequence

from grammar.join.cursor import back, find_back, get, seek
from grammar.join.feet import ALL_FEET
from grammar.join.near import is_word, just_before, next_to, silent, words_before
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    ActionSaid,
    AnimalSaid,
    CorrectionCue,
    Course,
    Except,
    Filler,
    Foot,
    HalfFoot,
    Lesion,
    No,
    Number,
    On,
    OtherClaw,
    Piece,
    Region,
    Severity,
    Stage,
    StatusSaid,
    TimeSaid,
    Tissue,
    turned,
)

__all__ = [
    "NOTHING_MUCH",
    "behind_the",
    "but_this",
    "came_back",
    "is_back",
    "left_on_claw",
    "mate",
    "named_end",
    "nothing_much",
    "of_status",
    "right_back",
    "same_end",
]

NOTHING_MUCH = frozenset({"nothing much", "nothing special", "nothing serious", "not much"})
_NEAR = 3

_OF_A_LESION = (Severity, Tissue, Course)
_IS = frozenset({"is", "now"})
_BACK_LEFT = 2
"""Words of "back left"."""
_ALL_OF = frozenset({"all", "every", "everything", "four"})
_THE = frozenset({"the", "her"})
_RIGHT_BEHIND = "right behind"
_OF_HER = frozenset({"foot", "claw", "hoof", "leg"})
_ENDS = {"front": "F", "fore": "F", "rear": "H", "hind": "H"}
_WORN_ON_ALL = frozenset({"wraps", "bandages", "blocks", "shoes"})
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


def mate(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Shoe on its mate": the other claw, and no other foot; "her mate four sixteen": an animal."""
    if isinstance(get(pieces, at + 1), (Number, AnimalSaid)):
        return None if pieces[at].heard.endswith("side") else [silent(pieces[at])]
    deed = just_before(pieces, at)
    block = isinstance(deed, ActionSaid) and deed.value == "block"
    if not block or not pieces[at].heard.endswith("mate"):
        return None
    return [turned(pieces[at], OtherClaw, value="sound")]


def but_this(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "All trimmed but the right hind": all without it."""
    before = words_before(pieces, at, _NEAR)
    if pieces[at].heard != "but" or _ALL_OF.isdisjoint(before):
        return None
    return (
        [turned(pieces[at], Except, value="but")] if isinstance(next_to(pieces, at), FEET) else None
    )


def behind_the(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Right hind outer, behind the toe": where on the claw, and no pair of feet.

    So is "the skin right behind the foot", where another foot is named.
    """
    piece, after = pieces[at], next_to(pieces, at)
    other = any(isinstance(one, Foot) and one is not piece for one in pieces)
    if piece.heard == _RIGHT_BEHIND and other and is_word(get(pieces, at + 2), _OF_HER):
        return [silent(piece)] if is_word(get(pieces, at + 1), _THE) else None
    if not isinstance(piece, Foot) or not piece.place or not is_word(get(pieces, at + 1), _THE):
        return None
    named = seek(pieces, 0, FEET, at) is not None
    return [silent(piece)] if named and isinstance(after, (Region, *FINDINGS, *CLAWS)) else None


def of_status(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Lame on the right hind, left hind outer ulcer": the first is where she is lame, and no more."""
    on = back(pieces, at - 1, (Filler,))
    of = isinstance(get(pieces, on), On) and isinstance(get(pieces, on - 1), StatusSaid)
    return [silent(pieces[at])] if of and isinstance(get(pieces, at + 1), Foot) else None


def _after_all(pieces: Sequence[Piece], at: int) -> bool:
    """Whether nothing more is said of feet, lesions or claws."""
    return not any(isinstance(one, (*FEET, *FINDINGS, *CLAWS, Stage)) for one in pieces[at + 1 :])


def right_back(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
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


def is_back(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
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


def came_back(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
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


def same_end(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """The "hind" of "back left hind" has been taken by the foot before."""
    piece, foot = pieces[at], get(pieces, at - 1)
    words = foot.heard.split() if isinstance(foot, Foot) else []
    if not isinstance(piece, HalfFoot) or not words or words[0] != "back" or not piece.is_end:
        return None
    if is_back(pieces, at - 1, _) is not None:
        return []
    same = isinstance(foot, Foot) and foot.value[0][1] == piece.value[0].upper()
    return [silent(piece)] if same else None


def named_end(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "M two right front, sprayed the front": that foot; "rear wraps off": both rears.

    "Left hind, no, front" is the left front.
    """
    piece, deed = pieces[at], just_before(pieces, at)
    if piece.heard not in _ENDS:
        return None
    end = _ENDS[piece.heard]
    if isinstance(get(pieces, at - 1), (No, CorrectionCue)):
        last = find_back(pieces, at - 1, (Foot,))
        foot = get(pieces, last) if last is not None else None
        old = foot.value if isinstance(foot, Foot) else ()
        whole = "front" if end == "F" else "hind"
        return [turned(piece, HalfFoot, value=whole)] if {f[1] for f in old} - {end} else None
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


def left_on_claw(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Both hinds ulcer, left on the outer", "did the left on monday" leaves nothing on."""
    piece, the = pieces[at], get(pieces, at - 1)
    if piece.heard != "left on":
        return None
    named = isinstance(next_to(pieces, at), TimeSaid) and the is not None and the.heard == "the"
    if not named and not isinstance(next_to(pieces, at), CLAWS):
        return None
    if isinstance(get(pieces, at - 1), ActionSaid):
        return None  # "block left on the inner"
    middle = piece.last - 1
    if named:
        return [turned(piece, HalfFoot, value="left", heard="the left", last=middle)]
    return [
        turned(piece, Filler, value="left", heard="left", last=middle),
        turned(piece, On, value="on", heard="on", first=middle),
    ]


def nothing_much(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Nothing much on the fronts" is said of those feet alone."""
    piece, link = pieces[at], get(pieces, at + 1)
    if not is_word(piece, NOTHING_MUCH) or not isinstance(link, (On, Filler)):
        return None
    on = link.heard.split()[0] in ("on", "in", "with")
    feet = on and isinstance(next_to(pieces, at), FEET)
    return [turned(piece, Lesion, value="no lesion")] if feet else None
