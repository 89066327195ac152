"""How far a note, an entry or an animal is; apart from the tables, which pages and commands never import."""

from enum import StrEnum

from dictate.texts import noted


class NoteState(StrEnum):
    """How far a note has come. Each step is committed, so work goes on from here after a stop."""

    HEARD = "heard"
    PARSED = "parsed"
    WAITING = "waiting"
    CONFIRMED = "confirmed"
    """No entry waits any more and at least one was confirmed."""
    REJECTED = "rejected"
    """Every entry was rejected."""


class EntryState(StrEnum):
    WAITING = "waiting"
    CONFIRMED = "confirmed"
    REJECTED = "rejected"


class AnimalStatus(StrEnum):
    PRESENT = noted("present")
    SOLD = noted("sold")
    DEAD = noted("dead")
    OFF_ROSTER = noted("off the roster")
    """No longer on the roster, reason unknown."""
