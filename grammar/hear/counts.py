"""Where two numbers meet: "zone four | two weeks", "cow four twelve | one small wart".

The count of what follows an animal's number is not the animal's; where it may be, the number says so.
"""

from collections.abc import Sequence
from dataclasses import replace

from grammar.hear.chunks import Chunk, cue_before, number_chunk
from grammar.hear.identifiers import identifier_readings
from grammar.hear.number_runs import IDENTIFIER_CUES, cut_run, ends_a_number
from grammar.hear.quantities import quantity
from grammar.lexicon.lexicon import Lexicon
from grammar.records import How

__all__ = ["cut_numbers"]

_UNITS = frozenset({"UNIT", "TIMEUNIT", "MONTH"})
_COUNTED = frozenset({"LESION", "OBJECT", "ACTION", "MATERIAL"})
_ADJECTIVES = frozenset({"SEVERITY", "TISSUE", "COURSE", "STATUS"})
_SMALL_WORDS = frozenset({"little", "wee", "good", "sound", "clean", "other"})
_THINGS = frozenset({"lesion", "foot", "leg", "claw", "toe"})
_PLACES = frozenset({"toe", "toes"})
_PLURALS = frozenset({"feet", "legs", "claws", "toes", "hinds", "fronts", "lesions", "hooves"})
_COUNT_MAX = 4
"""More than four of a thing are not counted at the chute: it is the number's last digit."""
_PAIR = 2
"""As many claws as a foot has, and as many hind feet as a cow."""
_COUNTED_FEET = frozenset({"feet", "legs"})
_DIGITS_OF_A_NUMBER = 3
"""Digits said one by one that are a number without the count behind it: "one oh six | three feet"."""
_OF_FOUR = frozenset({"two", "three"})
""" "The other two" of a cow's feet."""
_ALL_OF = frozenset({"both", "all", "every"})
_NEAR = 3
"""How far "out of" stands at most from what it counts."""
_TALKED_OF = frozenset({"COUNTEDINTALK", "PRICE"})
_COUNTED_AHEAD = 2
"""An adjective and the thing that is counted."""


def cut_numbers(chunks: Sequence[Chunk], words: Sequence[str], lexicon: Lexicon) -> list[Chunk]:
    """Return the chunks with every number cut where another begins behind it."""
    result: list[Chunk] = []
    for index, said in enumerate(chunks):
        if said.tag != "NUM":
            result.append(said)
            continue
        chunk = said
        if (rest := _behind_other(said, words, lexicon)) is not None:
            result.append(Chunk(tag="FILL", first=said.first, last=rest, text=words[said.first]))
            chunk = number_chunk(words, rest, said.last)
        cue = cue_before(result)
        if cue == "OUTOF" and not any(one.tag == "NUM" for one in result[-_NEAR:]):
            cue = ""  # "a stone out of one oh six"
        runs = cut_run(
            words,
            (chunk.first, chunk.last),
            cue=cue,
            before_unit=_is_before_unit(chunks, index, lexicon)
            and not _is_one_unit(chunk, words, cue),
            numbers=lexicon.numbers,
        )
        result += [number_chunk(words, first, last) for first, last in runs]
        if (cue in IDENTIFIER_CUES or not cue) and len(runs) == 1:
            ahead = chunks[index + 1 : index + 1 + _COUNTED_AHEAD]
            result[-1:] = _without_count(result[-1], words, ahead, lexicon)
    return result


def _behind_other(number: Chunk, words: Sequence[str], lexicon: Lexicon) -> int | None:
    """ "Sprayed the other two | sixty oh one": where the animal's number begins behind the feet's."""
    rest = number.first + 1
    if number.first == 0 or words[number.first - 1] != "other" or rest >= number.last:
        return None
    readings = identifier_readings(words[rest : number.last], lexicon.numbers)
    whole = bool(readings) and len(readings[0]) >= _DIGITS_OF_A_NUMBER
    return rest if words[number.first] in _OF_FOUR and whole else None


def _is_one_unit(number: Chunk, words: Sequence[str], cue: str) -> bool:
    """ "Cow twenty eight twenty eight, month from now": the one month is not counted."""
    ahead = words[number.last : number.last + 2]
    one = len(ahead) > 1 and not ahead[0].endswith("s") and ahead[1] == "from"
    return one and cue in IDENTIFIER_CUES and words[number.last - 1] != "one"


def _without_count(
    number: Chunk, words: Sequence[str], ahead: Sequence[Chunk], lexicon: Lexicon
) -> list[Chunk]:
    """ "four twelve | one small wart", "four oh six | two ulcers": the count is not the animal's."""
    if ahead and ahead[0].tag in _TALKED_OF:
        digits = lexicon.numbers.amounts.get(ahead[0].text.split()[0])
        if digits is not None:
            return _without_amount(number, words, digits, lexicon)
    last = number.last - 1
    said, rest = words[last], words[number.first : last]
    count = lexicon.numbers.digits.get(said, 0)
    if count and rest and ahead and ahead[0].tag == "COUNTEDINTALK":
        if not ends_a_number(rest, lexicon.numbers):
            return [replace(number, count=len(rest) > 1)]  # "three twenty | three times"
        return [number_chunk(words, number.first, last), number_chunk(words, last, number.last)]
    if not 0 < count <= _COUNT_MAX or not rest:
        return [number]
    ahead = [_as_counted(chunk) for chunk in ahead]
    adjective = bool(ahead) and (ahead[0].tag in _ADJECTIVES or ahead[0].text in _SMALL_WORDS)
    thing = ahead[1] if adjective and len(ahead) > 1 else ahead[0] if ahead else None
    if thing is None:
        return [number]
    open_ended = rest[-1] in lexicon.numbers.identifier_digits  # no number ends in "oh"
    pair = count == _PAIR and thing.tag == "FOOT" and _is_pair(thing) and not open_ended
    if not ends_a_number(rest, lexicon.numbers):
        # "four fifty | two tiny ulcers", "four forty | one small wart": the number waits for its
        # unit, so the count only may be one.
        # "Six hundred one crack": a number that ends in hundreds is as often said without a unit.
        hundreds = rest[-1] in lexicon.numbers.scales
        one = thing.text in _THINGS or ((adjective or hundreds) and thing.tag in _COUNTED)
        doubted = pair or _is_plural(thing, lexicon) if count > 1 else one
        tens = rest[-1] in lexicon.numbers.tens
        # "six three | two claws": a foot has two.
        paired = count == _PAIR and thing.text.partition(" ")[0] in lexicon.numbers.paired.words
        whole = tens or hundreds or paired or len(rest) >= _DIGITS_OF_A_NUMBER
        return [replace(number, count=doubted and whole)]
    if count == 1:
        counted = thing.text in _THINGS or (
            thing.tag in _COUNTED
            and not _is_plural(thing, lexicon)
            and (adjective or rest[-1] in lexicon.numbers.teens)
        )
    else:
        grouped = rest[-1] in lexicon.numbers.teens
        plural = _is_plural(thing, lexicon) and (grouped or thing.tag != "FOOT")
        counted = plural or (pair and grouped)
    if not counted:
        doubted = thing.tag in _COUNTED if count == 1 else pair or _is_plural(thing, lexicon)
        grouped = not {*lexicon.numbers.tens, *lexicon.numbers.teens}.isdisjoint(rest)
        return [replace(number, count=doubted and grouped)]
    tag = "NUM" if thing.tag == "OBJECT" else "FILL"
    tail = Chunk(tag=tag, first=last, last=number.last, text=said, count=True)
    return [number_chunk(words, number.first, last), tail]


def _without_amount(
    number: Chunk, words: Sequence[str], digits: int, lexicon: Lexicon
) -> list[Chunk]:
    """ "four twelve | six fifty kilos": the weight is not the animal's, and asks if it may be."""
    cuts: list[tuple[int, bool]] = []
    for at in range(number.first + 1, number.last):
        head, tail = words[number.first : at], words[at : number.last]
        value = quantity(tail, lexicon.numbers)
        spoken = (str(value),) if value is not None else identifier_readings(tail, lexicon.numbers)
        animal = identifier_readings(head, lexicon.numbers)
        if tail[0] in lexicon.numbers.scales or not animal or not spoken:
            continue  # nobody says "hundred kilos" without how many
        hundreds = value is not None and not set(tail).isdisjoint(lexicon.numbers.scales)
        if len(animal[0]) > 1 and (len(spoken[0]) == digits or hundreds):
            cuts.append((at, ends_a_number(head, lexicon.numbers)))
    if not cuts:
        return [number]
    at, whole = cuts[0]
    doubted = len(cuts) > 1 or not whole
    weight = replace(number_chunk(words, at, number.last), count=doubted)
    return [number_chunk(words, number.first, at), weight]


def _is_pair(chunk: Chunk) -> bool:
    """ "Hind feet" are two: "five twenty | two hind feet"."""
    words = chunk.text.split()
    return chunk.term is not None and len(chunk.term.value) == _PAIR and words[0] not in _ALL_OF


def _as_counted(chunk: Chunk) -> Chunk:
    """ "One foot bad", "one claw amputated": a phrase counts by the thing that it begins with.

    Not "one toe ulcer", which names a lesion by its place; one that was repaired does.
    """
    first = chunk.text.split(" ")[0]
    repaired = chunk.term is not None and chunk.term.how is How.REPAIRED
    named = first in _THINGS or first in _PLURALS
    told = repaired or (chunk.tag == "LESION" and first not in _PLACES)
    return replace(chunk, tag="FILL", text=first) if named and told else chunk


def _is_plural(chunk: Chunk, lexicon: Lexicon) -> bool:
    """ "ulcers", "good feet"; but no "dermatitis"."""
    first, last = chunk.text.split(" ")[0], chunk.text.split(" ")[-1]
    if chunk.tag == "ACTION" and first in _COUNTED_FEET:
        return True  # "three | feet trimmed"
    if chunk.tag == "FOOT" and first != last:
        return False  # "cow one thirty five, hind feet"
    if chunk.term is not None and chunk.term.value == "no lesion":
        return last == "feet"
    if chunk.term is not None and chunk.term.value == chunk.text:
        return False  # "scissor claws": the one lesion's own name
    if chunk.tag == "LESION" and "the" in chunk.text.split():
        return False  # "cow eleven oh four, rot between the claws"
    if last in _PLURALS:
        return first not in _ALL_OF and chunk.tag != "ACTION"  # "took a bit off the toes"
    return chunk.tag in _COUNTED and any(
        chunk.text.endswith(end) and chunk.text.removesuffix(end) in lexicon.terms
        for end in ("s", "es")
    )


def _is_before_unit(chunks: Sequence[Chunk], index: int, lexicon: Lexicon) -> bool:
    """ "In two weeks"; "one and three quarters body score", where a whole number may be her own."""
    tag = _tag_after(chunks, index, lexicon)
    fraction = chunks[index].text.split()[-1] in lexicon.numbers.fractions
    return tag in _UNITS or (tag == "CONDITION" and fraction)


def _tag_after(chunks: Sequence[Chunk], index: int, lexicon: Lexicon) -> str:
    """Return the tag after a number, past the `an`, `of an` of "half an inch"."""
    fraction = chunks[index].text.split()[-1] in lexicon.numbers.fractions
    for chunk in chunks[index + 1 : index + 4]:
        if not (fraction and chunk.text in ("a", "an", "of")):
            return chunk.tag
    return ""
