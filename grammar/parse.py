"""Words to a reading: the stages in order.

words -> chunks -> repaired chunks -> pieces -> corrected pieces -> animals -> entries -> checks
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from grammar.animals import Found, Roster, find_animal
from grammar.attach import attach
from grammar.checks import Facts, run_checks
from grammar.chunks import Chunk, to_chunks
from grammar.corrections import apply_corrections
from grammar.lexicon import Lexicon, load_lexicon
from grammar.records import Carry, Command, Entry, How, Reading, Slot, Taken, Word
from grammar.slots import Context, Piece, to_pieces
from grammar.words import as_words, texts

__all__ = ["parse"]

BARE_ANIMAL_DIGITS = 3
"""A number without "cow" in the middle of a note is an animal only from this many digits on."""


@dataclass(slots=True, kw_only=True)
class _Part:
    """The pieces of one animal."""

    animal: Piece | None = None
    pieces: list[Piece] = field(default_factory=list)
    cued: bool = True
    same: bool = False
    fresh: bool = False
    """After "next cow": the animal does not carry over."""


def parse(
    words: Sequence[str | Word],
    *,
    roster: Roster | None = None,
    on: date | None = None,
    carry: Carry | None = None,
    aliases: Mapping[str, str] | None = None,
    lexicon: Lexicon | None = None,
) -> Reading:
    """Read one note.

    words: as recognised (or from `split_text`); roster: the farm's animals; on: the clip's own
    date; carry: what the note before handed on; aliases: this speaker's phrase -> lexicon phrase.
    Never raises on any words: what is not understood is in `leftover`, what wants a look in marks.
    """
    lexicon = lexicon or load_lexicon()
    spoken = as_words(words)
    plain = texts(spoken)
    chunks = to_chunks(plain, lexicon)
    chunks, remark, tail = _cut_remark(chunks, plain)
    context = Context(lexicon=lexicon, on=on)
    pieces = _bare_animals(to_pieces(chunks, context), roster)
    kept, commands = apply_corrections(pieces)
    parts = _parts(kept)
    entries, carry_on = _entries(
        parts, remark, commands, roster=roster, on=on, carry=carry or Carry(), lexicon=lexicon
    )
    leftover = tuple(
        i for piece in pieces if piece.kind in ("other", "num", "unit", "timeunit", "month", "ordinal", "weekday")
        and not _corrected(piece, kept) for i in range(piece.first, piece.last)
    )  # fmt: skip
    return Reading(
        words=spoken,
        entries=entries,
        commands=tuple(commands),
        leftover=leftover,
        taken=_taken(pieces, tail),
        carry=carry_on,
    )


def _corrected(piece: Piece, kept: Sequence[Piece]) -> bool:
    """Whether a bare number was taken by a correction ("make that three")."""
    return piece.kind == "num" and any(
        other.first == piece.first and other.kind != "num" for other in kept
    )


def _cut_remark(
    chunks: list[Chunk], words: Sequence[str]
) -> tuple[list[Chunk], str | None, list[Taken]]:
    """Everything after "remark" is kept word for word, up to the end of the note."""
    for index, chunk in enumerate(chunks):
        if chunk.tag != "REMARK":
            continue
        end = len(words)
        closing = chunks[-1]
        tail: list[Chunk] = []
        if closing.tag == "COMMAND" and closing.text == "end of note" and closing is not chunk:
            end, tail = closing.first, [closing]
        taken = [
            Taken(first=chunk.first, last=chunk.last, rule="cue: remark"),
            Taken(first=chunk.last, last=end, rule="remark"),
        ]
        return chunks[:index] + tail, " ".join(words[chunk.last : end]) or None, taken
    return chunks, None, []


def _bare_animals(pieces: list[Piece], roster: Roster | None) -> list[Piece]:
    """A number at the start of a note, or a long one later on, is an animal without "cow"."""
    result: list[Piece] = []
    started = False
    for piece in pieces:
        if piece.kind == "num" and piece.more["identifier"]:
            after_next = bool(result) and result[-1].kind in ("next cow",)
            readings = piece.more["identifier"]
            known = roster is not None and any(roster.fits(reading) for reading in readings)
            long = len(readings[0]) >= BARE_ANIMAL_DIGITS
            corrects = bool(result) and result[-1].kind in ("no", "not", "correction")
            if (not started or after_next or known or (long and roster is None)) and not corrects:
                piece = replace(
                    piece, kind="animal", value=readings, rule="animal by number alone",
                    more={"ending": False, "words": piece.heard.split(), "bare": started and not after_next},
                )  # fmt: skip
        started = started or piece.kind not in ("fill", "on", "other")
        result.append(piece)
    return result


def _parts(pieces: Sequence[Piece]) -> list[_Part]:
    """Cut the pieces where a new animal begins."""
    parts = [_Part()]
    for piece in pieces:
        part = parts[-1]
        if piece.kind == "animal":
            if part.animal is not None and set(part.animal.value) & set(piece.value):
                continue
            if part.animal is not None or (part.same and part.pieces):
                part = _Part()
                parts.append(part)
            part.animal = piece
            part.cued = not piece.more.get("bare", False)
        elif piece.kind == "next cow":
            if part.animal is not None or part.pieces:
                parts.append(_Part(fresh=True))
            else:
                part.fresh = True
        elif piece.kind == "same cow":
            part.same = True
        else:
            part.pieces.append(piece)
    return parts


def _entries(
    parts: Sequence[_Part],
    remark: str | None,
    commands: Sequence[Command],
    *,
    roster: Roster | None,
    on: date | None,
    carry: Carry,
    lexicon: Lexicon,
) -> tuple[tuple[Entry, ...], Carry]:
    entries: list[Entry] = []
    for position, part in enumerate(parts):
        last = position == len(parts) - 1
        attached = attach(part.pieces)
        found = _find(part, roster, lexicon)
        animal = _animal_slot(part, found, carry)
        entry = Entry(
            animal=animal,
            animal_candidates=_candidates(found, animal),
            findings=attached.findings,
            actions=attached.actions,
            follow_ups=attached.follow_ups,
            locomotion=attached.locomotion,
            measures=attached.measures,
            remark=remark if last else None,
            status=attached.status,
            denied=attached.denied,
            corrections=(part.animal.corrections if part.animal else ()) + attached.corrections,
        )
        if part.animal is None and not _said_something(entry, attached.loose):
            continue
        facts = Facts(
            lexicon=lexicon,
            carry=carry,
            on=on,
            found=found,
            loose=attached.loose,
            cued=part.cued,
            stray_numbers=tuple(
                (p.first, p.last, p.heard) for p in part.pieces if p.kind == "num"
            ),
        )
        entries.append(replace(entry, marks=run_checks(entry, facts)))
        if animal is not None:
            seen = carry.seen if animal.value in carry.seen else (*carry.seen, animal.value)
            carry = Carry(animal=animal.value, seen=seen)
        elif part.fresh:
            carry = replace(carry, animal=None)
    return tuple(entries), carry


def _said_something(entry: Entry, loose: Sequence[Piece]) -> bool:
    return bool(
        entry.findings or entry.actions or entry.follow_ups or entry.locomotion or entry.measures
        or entry.remark or entry.status or entry.denied or loose
    )  # fmt: skip


def _find(part: _Part, roster: Roster | None, lexicon: Lexicon) -> Found | None:
    if part.animal is None:
        return None
    return find_animal(
        part.animal.value,
        part.animal.more["words"],
        ending=part.animal.more["ending"],
        roster=roster,
        lexicon=lexicon,
    )


def _animal_slot(part: _Part, found: Found | None, carry: Carry) -> Slot[str] | None:
    piece = part.animal
    if piece is not None and found is not None:
        replaced = tuple(value[0] for value in piece.rejected if isinstance(value, tuple) and value)
        others = tuple(c for c in found.candidates if c != found.value)
        return Slot(
            value=found.value, heard=piece.heard, first=piece.first, last=piece.last,
            how=piece.how, rejected=others + replaced,
        )  # fmt: skip
    if carry.animal is not None and not part.fresh:
        how = How.INFERRED if part.same else How.CARRIED
        return Slot(value=carry.animal, heard="", first=-1, last=-1, how=how)
    return None


def _candidates(found: Found | None, animal: Slot[str] | None) -> tuple[str, ...]:
    if found is not None:
        return found.candidates
    return (animal.value,) if animal is not None else ()


def _taken(pieces: Sequence[Piece], tail: Sequence[Taken]) -> tuple[Taken, ...]:
    made = [
        Taken(first=p.first, last=p.last, rule=p.rule, value=_plain(p))
        for p in pieces
        if p.rule
    ]
    return tuple(sorted([*made, *tail], key=lambda taken: taken.first))


def _plain(piece: Piece) -> str:
    value = piece.value
    if isinstance(value, tuple):
        return ", ".join(str(part) for part in value)
    return "" if piece.kind in ("fill", "when", "on") else str(value)
