"""What the lesion makes of a deed: a crack is not drained, a long toe is cut back into its shape."""

from dataclasses import replace

from grammar.join.cursor import find_back, get, seek
from grammar.join.work import Work
from grammar.pieces import ActionSaid, Lesion, Material, Piece, Tissue

__all__ = ["read_deeds"]

_TRIM, _PARED, _DRAINED = "functional trim", "therapeutic trim", "drained"
_OPENED = frozenset({"opened", "open"})
_CLEANED = frozenset({"cleaned", "cleaned it", "cleaned that", "cleaned them"})
_DRESSED = frozenset({"topical", "wrap"})
"""Behind "cleaned it" these say that it was washed."""
_BACK = "back"


def read_deeds(work: Work) -> None:
    """ "Sand crack, opened it up" drains nothing; "corkscrew, cut it back" trims into shape.

    "White line, cleaned it" cuts out; what is of the skin is only washed.  With pus said of it a crack was drained; "pared" is said of what is sore, whatever it is.
    """
    gone: set[int] = set()
    for at in work.at(ActionSaid):
        deed, lesion = work.pieces[at], find_back(work.pieces, at - 1, (Lesion,), ())
        known = work.pieces[lesion] if lesion is not None else None
        if isinstance(deed, ActionSaid) and deed.heard.removesuffix(" up") in _CLEANED:
            washed = not isinstance(known, Lesion) or work.lexicon.lesions[known.value].on != "horn"
            after = get(work.pieces, at + 1)
            treated = isinstance(after, Material) or _kind(after) in _DRESSED
            if washed or treated:
                gone.add(at)
            continue
        if lesion is None or not isinstance(known, Lesion) or not isinstance(deed, ActionSaid):
            continue
        crack = known.value.endswith("fissure") and not _has_pus(work, lesion)
        shape = work.lexicon.lesions[known.value].group == "shape"
        opened = deed.value == _DRAINED and not _OPENED.isdisjoint(deed.heard.split())
        opened = opened and _DRAINED not in deed.heard
        after = get(work.pieces, at + 1)
        drained = isinstance(after, ActionSaid) and after.value == _DRAINED
        if crack and opened and not drained:
            work.pieces[at] = replace(deed, value=_PARED)
        elif shape and deed.value == _PARED and _BACK in deed.heard.split():
            work.pieces[at] = replace(deed, value=_TRIM)
    work.drop(gone)


def _kind(piece: Piece | None) -> str:
    return piece.value if isinstance(piece, ActionSaid) else ""


def _has_pus(work: Work, lesion: int) -> bool:
    """Whether pus is said of a lesion, or of what is found in it."""
    before = find_back(work.pieces, lesion - 1, (Lesion,), ())
    after = seek(work.pieces, lesion + 1, (Lesion,))
    first = 0 if before is None else before + 1
    said = work.pieces[first:after]
    return any(isinstance(one, Tissue) and one.value == "pus" for one in said)
