"""Words for clean that say nothing of the foot: "double sole, under it all good", "a clean hole"."""

from grammar.join.cursor import find_back, get, seek
from grammar.join.work import Work
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    UNTAKEN,
    CorrectionCue,
    Course,
    Gone,
    Lesion,
    No,
    Not,
    Past,
    Piece,
    Region,
    Tissue,
    is_clean,
)

__all__ = ["drop_comments", "has_lesion"]

_OTHERWISE = frozenset({
    "else", "otherwise", "under", "underneath", "beneath", "apart", "below", "behind", "inside", "around", "round",
})  # fmt: skip
"""Words of another place than the lesion's, or of all the rest."""
_ADVERBS = frozenset(
    {"good", "lovely", "fine", "nice", "perfect", "grand", "clean", "sound", "clear"}
)
_PARTING = (*UNTAKEN, *CLAWS, No, Not, CorrectionCue, Gone, Past)
"""What may part words for clean from the lesion before."""
_LINKS = frozenset({"on", "the", "in", "at", "her"})
_BUT = frozenset({"but", "and"})
_NOTHING = "nothing"
_NONE = ("no lesion", "couldn't find", "can't find", "no wound")
_SWELLS = ("swollen", "swelling", "swelled", "puffy")
_THERE = frozenset({
    "there", "now", "today", "here", "this", "at", "all", "any", "anymore", "left", "longer", "foot", "feet",
})  # fmt: skip
"""Words behind "nothing" with which the foot itself has nothing (any more)."""


def drop_comments(work: Work) -> None:
    """ "Double sole, under it all good", "healed up good", "overgrown, no disease": no clean foot.

    Only where something was found at the same site before: words for clean then say that nothing
    else is there, how it looks beside it, or that it went well.
    """
    gone: set[int] = set()
    for at in work.at(Lesion):
        piece = work.pieces[at]
        if not is_clean(piece):
            continue
        beside = get(work.pieces, at - 1)
        if (isinstance(beside, Course) and piece.heard in _ADVERBS and not work.before[at]) or (
            _is_comment(work, at, piece) and has_lesion(work, at)
        ):
            gone.add(at)
    work.drop(gone)


def _is_comment(work: Work, at: int, clean: Piece) -> bool:
    before, behind = work.said_before(at), work.said_behind(at)
    if clean.heard.startswith(work.lexicon.lesions["no lesion"].weak):
        return _THERE.isdisjoint(behind[:1])
    if isinstance(get(work.pieces, at + 1), (*FEET, *CLAWS)) and _LINKS.issuperset(behind):
        return False  # "nothing on the right hind"
    if isinstance(get(work.pieces, at - 1), Tissue) and before and _BUT.issuperset(before):
        return True  # "the ulcer was deep but clean"
    if not _OTHERWISE.isdisjoint((*before, *behind)) or _of_a_place(work, at):
        return True
    if isinstance(get(work.pieces, at + 1), (Tissue, Region)) and not behind:
        return True  # "a clean hole", "healthy sole underneath"
    if clean.heard.startswith(_NONE) and _is_swelling(work, at):
        return True
    if clean.heard == _NOTHING and behind and _THERE.isdisjoint(behind):
        return True
    return _is_of_the_lesion(work, at)


def _is_swelling(work: Work, at: int) -> bool:
    """ "Hot and swollen, no lesion": what is denied is a lesion of the horn or the skin."""
    found = find_back(work.pieces, at - 1, FINDINGS, ())
    return found is not None and work.pieces[found].heard.startswith(_SWELLS)


def _is_of_the_lesion(work: Work, at: int) -> bool:
    """ "Pared it and it's clean now", "bruised, both sound": how it is with the lesion itself.

    Not where a word was lost since, which may have been another foot, nor where the lesion was
    taken back; what is wrong with the shape or above the foot may stand beside clean claws.
    """
    found = find_back(work.pieces, at - 1, FINDINGS, ())
    lesion = get(work.pieces, -1 if found is None else found)
    if found is None or work.pieces[at].heard not in _ADVERBS or not isinstance(lesion, Lesion):
        return False
    if "but" in work.said_before(at) or not work.lexicon.compared.had.isdisjoint(
        work.said_before(found)
    ):
        return False  # "was a sole ulcer and now it's clean": the ulcer may be over
    of_claw = work.lexicon.lesions[lesion.value].group in ("horn", "infectious")
    return of_claw and not any(isinstance(one, _PARTING) for one in work.pieces[found:at])


def _of_a_place(work: Work, at: int) -> bool:
    """ "Nothing on the sole, it's between the claws, foul": clean of one place of a sore foot."""
    return isinstance(get(work.pieces, at + 1), Region) and work.link[at + 1]


def has_lesion(work: Work, at: int) -> bool:
    """Whether a lesion was said before of the same foot, or stands behind with none between."""
    behind = seek(work.pieces, at + 1, (*FEET, Lesion))
    if behind is not None and isinstance(work.pieces[behind], Lesion) and _of_a_place(work, at):
        return True
    lesion = find_back(work.pieces, at - 1, FINDINGS, ())
    said = get(work.pieces, -1 if lesion is None else lesion)
    if lesion is None or is_clean(said):
        return False
    first = find_back(work.pieces, lesion - 1, FEET, ()) is None  # "overgrown on all four, …"
    feet = sum(isinstance(piece, FEET) for piece in work.pieces[lesion:at])
    return feet <= first
