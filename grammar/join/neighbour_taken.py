"""What was taken out of a foot or cut off it: "took the wart off", "stone, pulled it out", "cleaned it"."""

from collections.abc import Sequence

from grammar.join.cursor import back, find_back, get, past, seek
from grammar.join.near import is_word, silent, untaken
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    UNTAKEN,
    ActionSaid,
    Filler,
    FollowUpSaid,
    ForeignBody,
    Lesion,
    No,
    Not,
    Past,
    Piece,
    Region,
    Tissue,
    turned,
    value_of,
)

__all__ = [
    "OFF",
    "TAKES",
    "cleaned",
    "cut_away",
    "pulled_out",
    "taken_off",
    "taken_out",
    "took_it_off",
    "vets_work",
]

OFF = frozenset({"off", "away", "the old one off"})
TAKES = frozenset({"took", "snipped", "nipped", "lifted", "peeled"})
_AWAY = frozenset({"away", "off", "out", "back", "free"})
_ONES = frozenset({"one", "un"})
_OUT = frozenset({"out", "out of"})
_AND = frozenset({"and", "then"})
_FLAPS = frozenset({"double sole"})
_GROWTHS = frozenset({"interdigital hyperplasia", "digital dermatitis", "granulation", "torn"})
_HANGS = frozenset({"hanging", "torn", "ripped", "loose"})
_TIPS = frozenset({"tip", "point", "end"})
_TRIM, _HORN, _SHAPED = "therapeutic trim", "horn removed", "functional trim"
_LIGHT = (Filler, *UNTAKEN)


def cut_away(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Cut the tyloma away", "took the tip off" is one deed around what it was done to."""
    piece, site = pieces[at], past(pieces, at + 1, (Filler,))
    thing = get(pieces, site)
    end = site + 1 + (getattr(get(pieces, site + 1), "heard", "") in _ONES)
    if not is_word(get(pieces, end), _AWAY) or isinstance(thing, ForeignBody):
        return None
    tip = isinstance(thing, Region) and thing.heard in _TIPS
    if not (
        isinstance(thing, FINDINGS) or tip or (piece.heard == "cut" and isinstance(thing, FEET))
    ):
        return None
    then = seek(pieces, site + 1, (Past,))
    if then is not None and not pieces[then].heard.endswith("had"):
        return None  # "took a wart out last visit"; not "took it out, vet had her numbed"
    kind = _TRIM
    if isinstance(thing, Lesion) and thing.value in _FLAPS:
        kind = _HORN
    elif isinstance(thing, Lesion) and lexicon.lesions[thing.value].group == "shape":
        kind = _SHAPED
    return [turned(piece, ActionSaid, value=kind, on_lesion=True)]


def took_it_off(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Double sole, took it off" is loose horn, "proud flesh, took that off" a trim.

    Of anything else that is no block or wrap nobody knows what came off: the words are asked.
    """
    words = lexicon.clauses
    named = pieces[at].heard not in ("off", "away") or is_word(get(pieces, at - 1), words.pronouns)
    verb = get(pieces, at - 2 if pieces[at].heard in ("off", "away") and named else at - 1)
    if verb is None or verb.heard not in words.takes or not isinstance(verb, _LIGHT):
        return None
    head = find_back(pieces, at - 2, (*FINDINGS, Tissue, ActionSaid))
    thing = pieces[head] if head is not None else None
    flap = isinstance(thing, Lesion) and thing.value in _FLAPS
    loose = isinstance(thing, Tissue) and "flap" in thing.heard
    first = pieces[at].first if named else verb.first  # "a loose flap, cut off"
    off = {"heard": "off", "first": first, "on_lesion": True}
    if (flap or loose) and (named or verb.heard != "took"):
        return [turned(pieces[at], ActionSaid, value=_HORN, **off)]
    hangs = thing is not None and not _HANGS.isdisjoint(thing.heard.split())
    if named and thing is not None and (hangs or value_of(thing) in _GROWTHS):
        return [turned(pieces[at], ActionSaid, value=_TRIM, **off)]
    worn = any(not words.worn.isdisjoint(one.heard.split()) for one in pieces[:at])
    last = isinstance(thing, (*FINDINGS, Tissue))
    return [untaken(pieces[at])] if named and last and not worn else None


def taken_out(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Stone, pulled it out" says so of the stone; "double sole, pulled it out" is asked."""
    if value_of(pieces[at]) != "taken out" or find_back(pieces, at - 1, (ForeignBody,)) is not None:
        return None
    head = find_back(pieces, at - 1, (*FINDINGS, Tissue, ActionSaid))
    thing = pieces[head] if head is not None else None
    dirt = thing is not None and not lexicon.clauses.dirt.isdisjoint(thing.heard.split())
    if dirt or (isinstance(thing, Lesion) and thing.object):
        return None
    return [untaken(pieces[at]) if isinstance(thing, Lesion) else silent(pieces[at])]


def pulled_out(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Pulled a piece of wire out from between the toes": the wire is out."""
    out = pieces[at].heard in _OUT and isinstance(get(pieces, at - 1), ForeignBody)
    before = {one.heard for one in pieces[max(0, at - 5) : at - 1]}
    if not out:
        return None
    if before.isdisjoint(lexicon.clauses.takes | lexicon.clauses.pulls):
        return None
    return [turned(pieces[at], Tissue, value="taken out")]


def cleaned(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "White line, cleaned": as "cleaned it" (deeds_of_lesions.py)."""
    found = find_back(pieces, at - 1, FINDINGS) is not None
    led = isinstance(get(pieces, at - 1), Filler)  # "only cleaned", "i cleaned"
    site = isinstance(get(pieces, at - 1), (*FEET, *CLAWS, *FINDINGS))
    ends = not isinstance(get(pieces, at + 1), (Filler, *FEET, *CLAWS))
    told = found and (led or site) and ends
    return [turned(pieces[at], ActionSaid, value=_TRIM, on_lesion=True)] if told else None


def taken_off(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Double sole on both outers, taken off" is the loose horn; a block's is read with the block."""
    head = find_back(pieces, at - 1, (*FINDINGS, ActionSaid))
    thing = pieces[head] if head is not None else None
    if not isinstance(thing, Lesion) or thing.value not in _FLAPS | _GROWTHS:
        return None
    if isinstance(get(pieces, (head or 0) - 1), (No, Not)):
        return None  # "no dermatitis, only a flap, off it came"
    kind = _HORN if thing.value in _FLAPS else _TRIM
    return [turned(pieces[at], ActionSaid, value=kind, on_lesion=True)]


def vets_work(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "Vet to open it and drain it", "she'll want the vet to freeze it and cut it down": none of ours."""
    it = lexicon.clauses.pronouns
    deed, joined = pieces[at], is_word(get(pieces, at - 1), _AND)
    of_it = not it.isdisjoint(deed.heard.split()[1:]) or is_word(get(pieces, at + 1), it)
    first = back(pieces, at - 2, _LIGHT)
    vet = get(pieces, first)
    if not joined or not of_it or deed.heard.split()[0].endswith("ed"):
        return None
    told = [word for one in pieces[first:at] for word in one.heard.split()]
    called = isinstance(vet, FollowUpSaid) and vet.value == "vet" and "to" in told
    return [silent(deed)] if called else None
