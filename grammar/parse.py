"""Words to a reading: the stages in order.

words -> chunks (repaired) -> pieces -> corrected pieces -> animals' parts -> entries -> checks
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache, partial

from grammar.checks import Facts, run_checks
from grammar.checks.net import cast_net
from grammar.checks.table import mark
from grammar.hear.animals import Found, Roster, find_animal
from grammar.hear.chunks import to_chunks
from grammar.hear.claw_sounds import hear_claws
from grammar.hear.counts import cut_numbers
from grammar.hear.doubts import Doubts, find_doubts
from grammar.hear.identifiers import identifier_readings
from grammar.hear.phrases import Cover, add_aliases, choose_cover, find_terms
from grammar.hear.phrases import Found as Phrases
from grammar.hear.readers import Context
from grammar.hear.repair import repair as repair_terms
from grammar.hear.slots import to_pieces
from grammar.hear.spoken import restore, spoken
from grammar.hear.words import as_words, texts
from grammar.join.attach import Attached, attach
from grammar.join.bare_numbers import bare_animals
from grammar.join.corrections import apply_corrections
from grammar.join.neighbours import read_neighbours
from grammar.join.number_lists import cut_lists
from grammar.join.parts import Part, drop_openers, split_parts
from grammar.join.questions import drop_questions
from grammar.join.second_look import look_again
from grammar.join.several import share_parts
from grammar.lexicon.lexicon import Lexicon
from grammar.lexicon.load import load_lexicon
from grammar.pieces import UNTAKEN, AnimalSaid, Filler, On, Piece, TimeSaid, value_of
from grammar.records import Carry, Entry, How, Reading, Slot, Taken, Word


@dataclass(frozen=True, slots=True, kw_only=True)
class _Setting:
    """What stays the same for all entries of a note."""

    words: tuple[Word, ...]
    heard: list[str]
    """The words up to a remark, as they are read."""
    by_sound: Mapping[int, str]
    """Places of number words taken by their sound -> the words heard."""
    maybe: Mapping[int, str]
    """Places of words that may be a number's last digit -> the digit."""
    tail: tuple[Taken, ...]
    """What took the remark."""
    lexicon: Lexicon
    roster: Roster | None
    on: date | None
    remark: str | None
    carry: Carry


def parse(
    words: Sequence[str | Word],
    *,
    roster: Roster | None = None,
    on: date | None = None,
    carry: Carry | None = None,
    aliases: Mapping[str, str] | None = None,
    repair: bool = True,
    lexicon: Lexicon | None = None,
) -> Reading:
    """Read one note.

    words: as recognised (or from `split_text`); roster: the farm's animals; on: the clip's own
    date; carry: what the note before handed on; aliases: this speaker's phrase -> lexicon phrase;
    repair: whether mis-heard terms are repaired.  Never raises on any words: what is not understood
    is in `leftover`, what wants a person's look in the marks.
    """
    lexicon = lexicon or load_lexicon()
    given = as_words(words)
    plain = texts(given)
    found_remark = _find_remark(plain, lexicon)
    said = spoken(plain, found_remark[0], lexicon)
    end, remark, tail = _find_remark(said.words, lexicon) if said.changed else found_remark
    setting = _Setting(
        words=given, heard=said.words[:end], by_sound=said.by_sound, maybe=said.maybe, tail=tail, lexicon=lexicon,
        roster=roster, on=on, remark=remark, carry=carry or Carry(),
    )  # fmt: skip
    found, cover = _phrases(setting.heard, aliases or {}, lexicon, repair=repair)
    first = reading = _read(found, setting, cover)
    if repair:
        reading = look_again(
            reading, setting.heard, found, partial(_read, setting=setting), lexicon
        )
    without = partial(_read_without, setting=setting, aliases=aliases or {}, repair=repair)
    return restore(cast_net(reading, first, setting.heard, without, lexicon), said, plain)


def _read_without(
    first: int, last: int, *, setting: _Setting, aliases: Mapping[str, str], repair: bool
) -> Reading:
    """Read the note as if some of its words had not been said."""
    gone = last - first
    by_sound, maybe = (
        {at - gone * (at >= last): word for at, word in table.items()}
        for table in (setting.by_sound, setting.maybe)
    )
    heard = [*setting.heard[:first], *setting.heard[last:]]
    rest = replace(setting, heard=heard, by_sound=by_sound, maybe=maybe)
    found, cover = _phrases(heard, aliases, setting.lexicon, repair=repair)
    return _read(found, rest, cover)


def _phrases(
    words: list[str], aliases: Mapping[str, str], lexicon: Lexicon, *, repair: bool
) -> tuple[Phrases, Cover | None]:
    """Find the phrases of the lexicon and the speaker's own; mis-heard ones only with `repair`.

    Returns the best cover too, where it is known.
    """
    found = find_terms(words, lexicon)
    if aliases:
        add_aliases(found, words, aliases, lexicon)
    if repair:
        cover = choose_cover(words, found, lexicon)
        claws = hear_claws(words, found, cover, lexicon)
        return found, None if repair_terms(words, found, cover, lexicon) or claws else cover
    heard = {
        first: [(last, term) for last, term in terms if term.how is not How.REPAIRED]
        for first, terms in found.items()
    }
    return heard, None


def _read(found: Phrases, setting: _Setting, cover: Cover | None = None) -> Reading:
    """Read the note with these phrases in it.  cover: the best cover by them, where it is known."""
    lexicon = setting.lexicon
    cover = cover or choose_cover(setting.heard, found, lexicon)
    chunks = cut_numbers(to_chunks(setting.heard, cover, lexicon), setting.heard, lexicon)
    pieces = to_pieces(chunks, Context(lexicon=lexicon, on=setting.on))
    pieces = drop_questions(read_neighbours(pieces, lexicon))
    pieces = cut_lists(pieces, setting.roster, lexicon)
    pieces = drop_openers(bare_animals(pieces, setting.roster, lexicon))
    corrected = apply_corrections(pieces, lexicon)
    parts = share_parts(split_parts(corrected.pieces))
    doubts = find_doubts(chunks, setting.by_sound, setting.maybe, lexicon)
    entries, carry_on = _entries(parts, setting, corrected.numbers_taken, doubts)
    taken = corrected.numbers_taken
    lost = [p for p in pieces if isinstance(p, UNTAKEN) and p.first not in taken]
    nothing = not entries and not corrected.commands
    return Reading(
        words=setting.words,
        entries=entries,
        commands=tuple(corrected.commands),
        leftover=tuple(i for piece in lost for i in range(piece.first, piece.last)),
        marks=(mark("nothing-understood", "nothing was understood"),) if nothing else (),
        taken=_taken(pieces, setting.tail),
        carry=carry_on,
    )


def _find_remark(words: list[str], lexicon: Lexicon) -> tuple[int, str | None, tuple[Taken, ...]]:
    """Everything after "remark" is kept word for word, up to the end of the note.

    Returns how many words are left to parse, the remark, and what took the rest.
    """
    cues = _remark_words(lexicon)
    cue = next(
        (
            i
            for i, word in enumerate(words)
            if word in cues
            and not any(" ".join(words[at : i + 1]) in lexicon.terms for at in (i - 1, i - 2))
        ),
        None,
    )  # "no remarks" is a phrase of its own
    if cue is None:
        return len(words), None, ()
    remark = " ".join(words[cue + 1 :])
    taken = (
        Taken(first=cue, last=cue + 1, rule="cue: remark"),
        Taken(first=cue + 1, last=len(words), rule="remark, word for word"),
    )
    return cue, remark or None, taken[: 1 + bool(remark)]


@lru_cache(maxsize=4)
def _remark_words(lexicon: Lexicon) -> frozenset[str]:
    return frozenset(word for word, term in lexicon.terms.items() if term.tag == "REMARK")


# --- entries --------------------------------------------------------------------------------


def _entries(
    parts: Sequence[Part], setting: _Setting, numbers_taken: set[int], doubts: Doubts
) -> tuple[tuple[Entry, ...], Carry]:
    """Make the entries in order; an animal named once carries over to the next part."""
    entries: list[Entry] = []
    carry = setting.carry
    doubts = doubts.without_and({part.animal.first for part in parts if part.animal is not None})
    for position, part in enumerate(parts):
        attached = attach(part.pieces, setting.lexicon)
        found = _find(part, setting, doubts)
        animal = _animal_slot(part, found, carry)
        entry = replace(
            attached.entry,
            animal=animal,
            animal_candidates=_candidates(found, animal),
            remark=setting.remark if position == len(parts) - 1 else None,
            corrections=(part.animal.corrections if part.animal else ())
            + attached.entry.corrections,
        )
        if part.animal is None and not _says_something(entry, attached):
            continue
        facts = Facts(
            lexicon=setting.lexicon,
            carry=carry,
            on=setting.on,
            found=found,
            cued=part.cued,
            loose=attached.loose,
            pieces=tuple(part.pieces),
            copied=attached.copied,
            questions=(*attached.questions, *part.questions),
            leftover=_stretches(part.pieces, numbers_taken),
            doubts=doubts.within(*_reach(part)),
        )
        entries.append(replace(entry, marks=run_checks(entry, facts)))
        carry = _carry_on(carry, entry, part)
    return tuple(entries), carry


def _stretches(pieces: Sequence[Piece], taken: set[int]) -> tuple[tuple[int, int, str], ...]:
    """Return the stretches of words that no rule took."""
    found: list[tuple[int, int, str]] = []
    for piece in pieces:
        if not isinstance(piece, UNTAKEN) or piece.first in taken:
            continue
        if found and found[-1][1] == piece.first:
            first, _, said = found.pop()
            found.append((first, piece.last, f"{said} {piece.heard}"))
        else:
            found.append((piece.first, piece.last, piece.heard))
    return tuple(found)


def _says_something(entry: Entry, attached: Attached) -> bool:
    return bool(
        entry.findings or entry.actions or entry.follow_ups or entry.locomotion or entry.measures
        or entry.remark or entry.status or entry.denied or attached.loose or attached.questions
    )  # fmt: skip


def _reach(part: Part) -> tuple[int, int]:
    """Return the first word of a part and one past its last."""
    pieces = [*part.pieces, *([part.animal] if part.animal else [])]
    return min((p.first for p in pieces), default=0), max((p.last for p in pieces), default=0)


def _doubted(animal: AnimalSaid, setting: _Setting, doubts: Doubts) -> tuple[str, ...]:
    """Return what the number is without the words taken by sound, or with its count."""
    words: list[str] = list(animal.words)
    first = animal.last - len(words)
    kept = _unheard(words, first, setting)
    others = [kept] if kept and kept != words else []
    others += [[*words, said] for at, _, said in doubts.counts if at == animal.last]
    others += [[*words, said] for at, _, _, said in doubts.maybe if at == animal.last]
    others += [[said, *words] for _, end, _, said in doubts.maybe if end == first]
    others += [words[:-1] for _, end, _ in doubts.counts if end == animal.last and words[1:]]
    return _without_cue(animal, setting, doubts) + tuple(
        reading
        for said in others
        for reading in identifier_readings(said, setting.lexicon.numbers)[:2]
    )


def _unheard(words: Sequence[str], first: int, setting: _Setting) -> list[str]:
    """Return a number's words less those taken by sound; of "nine tea" the nine stays.

    Where an "and" was only its sound, what stands before it is a number of its own.
    """
    kept: list[str] = []
    for at, word in enumerate(words, first):
        heard = setting.by_sound.get(at)
        if heard is None:
            kept.append(word)
        elif word == "and":
            break
        elif heard.split()[0] in setting.lexicon.number_words:
            kept.append(heard.split()[0])
    return kept


def _without_cue(animal: AnimalSaid, setting: _Setting, doubts: Doubts) -> tuple[str, ...]:
    """Return what the number is where its first word is a misheard "cow"."""
    cue, roster = doubts.cue, setting.roster
    if cue is None or animal.last - len(animal.words) > 0:
        return ()
    known = roster is not None and any(map(roster.fits, animal.value))
    return cue.without[:2] if not known and (cue.uneven or roster is not None) else ()


def _find(part: Part, setting: _Setting, doubts: Doubts) -> Found | None:
    if part.animal is None:
        return None
    return find_animal(
        part.animal.value,
        part.animal.words,
        ending=part.animal.ending,
        roster=setting.roster,
        lexicon=setting.lexicon,
        doubted=_doubted(part.animal, setting, doubts),
    )


def _animal_slot(part: Part, found: Found | None, carry: Carry) -> Slot[str] | None:
    piece = part.animal
    if piece is not None and found is not None:
        replaced = tuple(value[0] for value in piece.rejected if isinstance(value, tuple) and value)
        others = tuple(c for c in found.candidates if c != found.value)
        return Slot(
            value=found.value, heard=piece.heard, first=piece.first, last=piece.last,
            how=piece.how, rejected=others + replaced,
        )  # fmt: skip
    if carry.animal is None or part.fresh:
        return None
    how = How.INFERRED if part.same else How.CARRIED
    return Slot(value=carry.animal, heard="", first=-1, last=-1, how=how)


def _candidates(found: Found | None, animal: Slot[str] | None) -> tuple[str, ...]:
    """Return the readings of the number, then what a correction has replaced."""
    if found is not None:
        replaced = animal.rejected if animal is not None else ()
        return tuple(dict.fromkeys((*found.candidates, *replaced)))
    return (animal.value,) if animal is not None else ()


def _carry_on(carry: Carry, entry: Entry, part: Part) -> Carry:
    if entry.animal is None:
        return replace(carry, animal=None) if part.fresh else carry
    animal = entry.animal.value
    seen = carry.seen if animal in carry.seen else (*carry.seen, animal)
    handed = entry.animal.how in (How.CARRIED, How.INFERRED)
    return Carry(animal=animal, seen=seen, doubted=handed and carry.doubted)


# --- explaining -----------------------------------------------------------------------------


def _taken(pieces: Sequence[Piece], tail: Sequence[Taken]) -> tuple[Taken, ...]:
    made = [
        Taken(first=p.first, last=p.last, rule=p.rule, value=_plain(p)) for p in pieces if p.rule
    ]
    return (*made, *tail)


def _plain(piece: Piece) -> str:
    if isinstance(piece, (Filler, TimeSaid, On)):
        return ""
    value = value_of(piece)
    return ", ".join(str(part) for part in value) if isinstance(value, tuple) else str(value)
